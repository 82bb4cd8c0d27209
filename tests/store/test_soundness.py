from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from planner.store import soundness
from planner.store.engine import Store


def change(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        if "DELETE FROM segment" in statements[0]:
            connection.execute("PRAGMA foreign_keys = ON")
        for one in statements:
            connection.execute(one)
        connection.commit()


def test_a_full_store_is_sound(full: Store) -> None:
    """Rows in every table, none of them at fault."""
    assert soundness.faults_in(full.path) == ()


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        (
            "UPDATE segment SET seconds = 60 WHERE side = 'planned' AND position = 0",
            "holds 23 of its 30 minutes",
        ),
        (
            "UPDATE segment SET start = start + 1 WHERE side = 'planned' AND position = 2",
            "a gap or an overlap",
        ),
        ("UPDATE practice SET minutes = 31", "holds 30 of its 31 minutes"),
        ("DELETE FROM segment WHERE side = 'done'", "is logged without a minute"),
        ("UPDATE practice SET state = 'planned', began = NULL", "has minutes done and is not logged"),
        ('UPDATE segment SET shares = \'{"tag":15,"talk":6}\' WHERE id = 2', "make more than the whole"),
        ("UPDATE segment SET shares = '{\"tag\":0.5}' WHERE id = 2", "are not whole twentieths"),
        ("UPDATE fixed_block SET shares = '{\"tag\":21}'", "the shares of fixed block 1 make more"),
        ("UPDATE game SET chances = '{'", "row 1 of game: 'chances' is not JSON"),
        ("UPDATE film_note SET raw = x'00'", "the bytes of film note 1 are not those"),
        ("UPDATE film_note SET size = size - 1", "the bytes of film note 1 are not those"),
        ("UPDATE unclear SET sorted_as = NULL", "was sorted from a line that waits"),
        ("UPDATE sighting SET possession = 9 WHERE id = 1", "a possession that its film note does not have"),
        ("UPDATE segment SET side = 'planned', position = 9 WHERE id = 6", "belongs to a plan instead"),
        ("UPDATE alembic_version SET version_num = '0000'", "the tables are of revision 0000"),
        ("DELETE FROM game", "belongs to a game that is not there"),
    ],
)
def test_each_fault_is_found(full: Store, statement: str, said: str) -> None:
    """A minute lost or counted twice, and every other thing that rows can get wrong, is told in words."""
    change(full.path, statement)
    assert any(said in one for one in soundness.faults_in(full.path)), soundness.faults_in(full.path)


def test_damaged_pages_are_told(full: Store) -> None:
    """A file that SQLite itself cannot read is told in its words, without a traceback."""
    full.close()
    raw = full.path.read_bytes()
    full.path.write_bytes(raw[:8192] + b"\xff" * (len(raw) - 8192))
    assert soundness.faults_in(full.path)
