"""Copies and exports that are made while another part of the program keeps writing."""

from __future__ import annotations

import json
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

from planner.desk import copies
from planner.desk.desk import Desk
from planner.desk.upkeep import back_up, export
from planner.store import backup, queries
from planner.store.engine import open_store
from planner.store.values import PlayerInfo
from tests.running import NOW, TODAY

COPIES = 12


class Writer(threading.Thread):
    """Writes two places within one unit of work, over and over, until it is told to stop."""

    def __init__(self, home: Path) -> None:
        super().__init__()
        self.home = home
        self.stop = threading.Event()
        self.begun = threading.Event()
        self.written = 0

    def run(self) -> None:
        """Write until it is enough."""
        with open_store(self.home) as store:
            while not self.stop.is_set():
                number = self.written + 1
                with store.session() as session:
                    queries.set_setting(session, "minutes", number)
                    queries.save_player(session, PlayerInfo("99", f"Player {number}"))
                self.written = number
                self.begun.set()


def pair(path: Path) -> tuple[int, int]:
    """Return the number in either place of a database file."""
    with closing(sqlite3.connect(path)) as connection:
        minutes = connection.execute("SELECT value FROM setting WHERE key = 'minutes'").fetchone()[0]
        name = connection.execute("SELECT name FROM player WHERE jersey = '99'").fetchone()[0]
    return int(minutes), int(name.removeprefix("Player "))


def test_each_copy_is_of_one_moment(season_home: Path, tmp_path: Path) -> None:
    """No copy or export taken while another writes holds half of a unit of work or goes back."""
    desk = Desk(season_home, TODAY, lambda: NOW)
    assert desk.has_team()
    writer = Writer(season_home)
    writer.start()
    try:
        assert writer.begun.wait(60)
        numbers = []
        for place in range(COPIES):
            known = writer.written
            if place % 2:
                made = export(desk, tmp_path / f"{place}.json")
                assert isinstance(made, Path)
                tables = json.loads(made.read_text("utf-8"))["tables"]
                minutes = next(row["value"] for row in tables["setting"] if row["key"] == "minutes")
                name = next(row["name"] for row in tables["player"] if row["jersey"] == "99")
                found = (int(minutes), int(name.removeprefix("Player ")))
            else:
                members = copies.unzipped(back_up(desk, tmp_path), "it")[1]
                file = tmp_path / f"{place}.db"
                file.write_bytes(members[copies.DATABASE])
                assert backup.verify(file).ok
                found = pair(file)
            assert found[0] == found[1] >= known
            numbers.append(found[0])
    finally:
        writer.stop.set()
        writer.join()
    desk.close()
    assert numbers == sorted(numbers)
    assert writer.written > numbers[0], "it wrote meanwhile"
