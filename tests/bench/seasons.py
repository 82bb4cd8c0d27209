"""Ten seasons in a data folder: the demo season over and over, each copy further back."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

COPIES = 27
"""Copies beside the demo season: about 280 games with 14,000 possessions."""
A_SEASON, BETWEEN = 364, 37
"""Days by which a year of copies, and each of the three copies within a year, lies further back."""

Row = Mapping[str, Any]


def plant_ten(home: Path) -> dict[str, int]:
    """Multiply what a data folder holds; return how many rows of each kind there are then."""
    with closing(sqlite3.connect(home / "stopsheet.db")) as database:
        database.row_factory = sqlite3.Row
        once = _Copier(database)
        games = [dict(one) for one in database.execute("select * from game")]
        done = [dict(one) for one in database.execute("select * from practice where state = 'done'")]
        for number in range(1, COPIES + 1):
            days = A_SEASON * (number // 3 + 1) + number % 3 * BETWEEN
            for one in games:
                once.game(one, days, number)
            for one in done:
                once.practice(one, days)
        database.commit()
        counted = ("game", "possession", "sighting", "practice", "segment")
        return {one: database.execute(f"select count(*) from {one}").fetchone()[0] for one in counted}


class _Copier:
    """Copies rows with what hangs on them."""

    def __init__(self, database: sqlite3.Connection) -> None:
        self._database = database

    def game(self, game: Row, days: int, number: int) -> None:
        """Copy a game with its film, so many days back."""
        readings = [one for one in self._rows("intake", "game_id", game["id"]) if not one["undone"]]
        if not readings:
            return
        copied = self._copy("game", game, date=_back(game["date"], days))
        for one in readings:
            note = next(self._rows("film_note", "id", one["film_note_id"]))
            digest = f"{number:04x}{note['digest'][4:]}"
            new = self._copy("film_note", note, digest=digest)
            reading = self._copy("intake", one, game_id=copied, film_note_id=new)
            for trip in self._rows("possession", "intake_id", one["id"]):
                self._copy("possession", trip, intake_id=reading)
            for seen in self._rows("sighting", "intake_id", one["id"]):
                if seen["unclear_id"] is None:
                    self._with(seen, "sighting", "sighting_player", "sighting_id", intake_id=reading)

    def practice(self, practice: Row, days: int) -> None:
        """Copy a practice that was run, so many days back."""
        day = _back(practice["date"], days)
        if any(one["start"] == practice["start"] for one in self._rows("practice", "date", day)):
            return
        copied = self._copy("practice", practice, date=day)
        for one in self._rows("segment", "practice_id", practice["id"]):
            segment = self._with(one, "segment", "station", "segment_id", practice_id=copied)
            for result in self._rows("drill_result", "segment_id", one["id"]):
                self._copy("drill_result", result, segment_id=segment)

    def _with(self, row: Row, table: str, below: str, by: str, **changed: Any) -> int:
        copied = self._copy(table, row, **changed)
        for one in self._rows(below, by, row["id"]):
            self._copy(below, one, **{by: copied})
        return copied

    def _rows(self, table: str, by: str, value: Any) -> Iterator[Row]:
        for one in self._database.execute(f"select * from {table} where {by} = ?", (value,)).fetchall():
            yield dict(one)

    def _copy(self, table: str, row: Row, **changed: Any) -> int:
        kept = {name: value for name, value in {**row, **changed}.items() if name != "id"}
        names, marks = ", ".join(f'"{one}"' for one in kept), ", ".join("?" * len(kept))
        told = self._database.execute(f"insert into {table} ({names}) values ({marks})", tuple(kept.values()))
        return int(told.lastrowid or 0)


def _back(day: str, days: int) -> str:
    return (dt.date.fromisoformat(day) - dt.timedelta(days=days)).isoformat()
