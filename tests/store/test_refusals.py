from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from planner.store.refusals import in_words

WHERE = Path("/home/coach/stopsheet.db")


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (sqlite3.OperationalError("database is locked"), "in use by another stopsheet"),
        (sqlite3.OperationalError("database or disk is full"), "disk that holds"),
        (sqlite3.OperationalError("attempt to write a readonly database"), "cannot be written to"),
        (sqlite3.OperationalError("unable to open database file"), "cannot be opened"),
        (sqlite3.DatabaseError("file is not a database"), "is not a stopsheet database"),
        (sqlite3.DatabaseError("database disk image is malformed"), "is damaged; restore"),
        (sqlite3.OperationalError("disk I/O error"), "could not be used (disk i/o error)"),
        (PermissionError(13, "Permission denied"), "could not be used"),
        (sqlite3.IntegrityError("CHECK constraint failed: ck_game_venue"), "home, away or neutral"),
        (sqlite3.IntegrityError("CHECK constraint failed: ck_new_rule"), "outside its limits (ck_new_rule)"),
        (sqlite3.IntegrityError("UNIQUE constraint failed: player.jersey"), "already there (player.jersey)"),
        (sqlite3.IntegrityError("NOT NULL constraint failed: game.date"), "a value is missing (game.date)"),
        (sqlite3.IntegrityError("FOREIGN KEY constraint failed"), "something that is not there"),
        (sqlite3.IntegrityError("datatype mismatch"), "datatype mismatch"),
    ],
)
def test_each_failure_is_one_sentence(error: Exception, said: str) -> None:
    """What SQLite says comes out as one sentence that ends in a full stop."""
    told = str(in_words(error, WHERE))
    assert said in told
    assert told.endswith(".")
    assert "\n" not in told
