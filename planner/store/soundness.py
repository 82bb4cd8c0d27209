"""A close look at the stored rows: what SQLite cannot know, because only the program knows what they mean."""

from __future__ import annotations

import hashlib
import json
import sqlite3
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

from planner.clock import clock_text
from planner.store import backup

_MOST = 20


def faults_in(path: Path) -> tuple[str, ...]:
    """Return what is wrong with the database, a sentence each; empty when it can be relied on.

    Looked at are its pages, foreign keys and revision, JSON, the bytes of film notes, what was sorted, and
    that no minute of a practice is lost or counted twice.

    Raises:
        Refusal: it cannot be opened.

    """
    from planner.store.migrate import HEAD

    checked = backup.verify(path)
    if checked.revision is None or checked.problems:
        return checked.problems
    if checked.revision != HEAD:
        return (f"the tables are of revision {checked.revision}, this program's are {HEAD}",)
    try:
        with closing(backup.open_file(path)) as connection:
            connection.execute("BEGIN")
            found = [fault for look in _LOOKS for fault in look(connection)]
    except sqlite3.DatabaseError as error:
        return (str(error),)
    return tuple(found[:_MOST])


def _json(connection: sqlite3.Connection) -> Iterator[str]:
    for table in backup.tables_of(connection):
        for column in connection.execute(f'PRAGMA table_info("{table}")').fetchall():
            if column[2] == "JSON":
                asked = f'SELECT rowid, "{column[1]}" FROM "{table}"'  # noqa: S608
                for row, value in connection.execute(asked):
                    if isinstance(value, str) and not _is_json(value):
                        yield f"row {row} of {table}: '{column[1]}' is not JSON"


def _is_json(text: str) -> bool:
    try:
        json.loads(text)
    except ValueError:
        return False
    return True


def _film(connection: sqlite3.Connection) -> Iterator[str]:
    for number, packed, size, digest, raw in connection.execute(
        "SELECT id, packed, size, digest, raw FROM film_note"
    ):
        try:
            data = zlib.decompressobj().decompress(raw, size + 1) if packed else raw
        except zlib.error:
            data = b""
        if len(data) != size or hashlib.sha256(data).hexdigest() != digest:
            yield f"the bytes of film note {number} are not those that were read in"


def _sorted(connection: sqlite3.Connection) -> Iterator[str]:
    asked = """SELECT sighting.id FROM sighting JOIN unclear ON unclear.id = sighting.unclear_id
        WHERE unclear.sorted_as IS NULL OR unclear.intake_id <> sighting.intake_id"""
    for (number,) in connection.execute(asked):
        yield f"breakdown {number} was sorted from a line that waits to be sorted"
    asked = """SELECT sighting.id FROM sighting WHERE possession IS NOT NULL AND NOT EXISTS (
        SELECT 1 FROM possession WHERE possession.intake_id = sighting.intake_id
        AND possession.number = sighting.possession)
        AND EXISTS (SELECT 1 FROM possession WHERE possession.intake_id = sighting.intake_id)"""
    for (number,) in connection.execute(asked):
        yield f"breakdown {number} belongs to a possession that its film note does not have"


def _minutes(connection: sqlite3.Connection) -> Iterator[str]:
    """See that a plan's segments fill its length, one after another, without gap or overlap."""
    asked = "SELECT id, date, start, minutes FROM practice WHERE objective IS NOT NULL"
    for number, date, start, minutes in connection.execute(asked).fetchall():
        named = f"the plan of {date} {clock_text(start)}"
        parts = connection.execute(
            "SELECT start, seconds, position FROM segment WHERE practice_id = ? AND side = 'planned'"
            " ORDER BY position",
            (number,),
        ).fetchall()
        total = sum(one[1] for one in parts)
        if total != minutes * 60:
            yield f"{named} holds {total / 60:g} of its {minutes} minutes"
            continue
        at = start
        for place, (begins, seconds, position) in enumerate(parts):
            if begins != at or position != place:
                yield f"{named} has a gap or an overlap at segment {place + 1}"
                break
            at = begins + seconds // 60
    asked = """SELECT id, date, start FROM practice WHERE state = 'done' AND NOT EXISTS
        (SELECT 1 FROM segment WHERE practice_id = practice.id AND side = 'done')"""
    for _, date, start in connection.execute(asked):
        yield f"the practice of {date} {clock_text(start)} is logged without a minute"
    asked = """SELECT date, practice.start FROM practice JOIN segment ON practice_id = practice.id
        WHERE state = 'planned' AND side = 'done' GROUP BY practice.id"""
    for date, start in connection.execute(asked):
        yield f"the practice of {date} {clock_text(start)} has minutes done and is not logged"


def _shares(connection: sqlite3.Connection) -> Iterator[str]:
    """See that the principles' shares of a minute never make more than the minute."""
    asked = "SELECT id, shares FROM segment UNION ALL SELECT -id, shares FROM fixed_block"
    for number, packed in connection.execute(asked):
        shares = json.loads(packed) if isinstance(packed, str) and _is_json(packed) else {}
        if not isinstance(shares, dict) or any(
            not isinstance(one, int) or one < 0 for one in shares.values()
        ):
            yield f"the shares of {_owner(number)} are not whole twentieths"
        elif sum(shares.values()) > _TWENTIETHS:
            yield f"the shares of {_owner(number)} make more than the whole"


def _owner(number: int) -> str:
    return f"segment {number}" if number > 0 else f"fixed block {-number}"


def _results(connection: sqlite3.Connection) -> Iterator[str]:
    asked = """SELECT drill_result.id FROM drill_result JOIN segment ON segment.id = segment_id
        WHERE side = 'planned'"""
    for (number,) in connection.execute(asked):
        yield f"score {number} belongs to a plan instead of a practice that was run"


_TWENTIETHS = 20
_LOOKS: tuple[Callable[[sqlite3.Connection], Iterator[str]], ...] = (
    _json,
    _film,
    _sorted,
    _minutes,
    _shares,
    _results,
)
