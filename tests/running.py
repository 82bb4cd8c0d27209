"""What the tests of the desk and of the command line share: the day, the demo, a command as it is typed."""

from __future__ import annotations

import datetime as dt
import json
import types
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from planner.build.brief import Brief
from planner.build.plan import Plan
from planner.cli import main
from planner.store.backup import dump

TODAY = dt.date(2027, 1, 13)
NOW = dt.datetime(2027, 1, 13, 20, 15, tzinfo=dt.UTC)
PRACTICE_DAY = TODAY + dt.timedelta(days=1)
PRACTICE_HOUR = dt.datetime(2027, 1, 14, 18, 15, tzinfo=dt.UTC)


@dataclass
class Watch:
    """A clock that tests turn by hand, at first at the hour of the demo's practice."""

    moment: dt.datetime = PRACTICE_HOUR

    def __call__(self) -> dt.datetime:
        """Return what the clock shows."""
        return self.moment

    def go(self, minutes: float) -> None:
        """Let minutes go by."""
        self.moment += dt.timedelta(minutes=minutes)


@dataclass(frozen=True)
class Planted:
    """The demo season: its folder, tomorrow's plan and brief, and what was printed."""

    home: Path
    plan: Plan
    brief: Brief
    pdf: Path
    text: Path


@dataclass(frozen=True)
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Return what was printed as JSON."""
        return json.loads(self.out)


@dataclass
class Stopsheet:
    """The command line with a data folder and a day of its own."""

    home: Path
    patch: pytest.MonkeyPatch
    capsys: pytest.CaptureFixture[str]

    def on(self, day: dt.date) -> None:
        """Let it be another day, in the evening."""

        class Clock(dt.datetime):
            @classmethod
            def now(cls, tz: dt.tzinfo | None = None) -> Clock:
                return cls(day.year, day.month, day.day, 12, tzinfo=dt.UTC)

        self.patch.setattr(
            "planner.desk.desk.dt", types.SimpleNamespace(datetime=Clock, date=dt.date, UTC=dt.UTC)
        )

    def __call__(self, *argv: str) -> Ran:
        """Run a command as it is typed; every run is a fresh start of the program."""
        self.patch.setenv("STOPSHEET_HOME", str(self.home))
        self.capsys.readouterr()
        try:
            code = main(list(argv))
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = self.capsys.readouterr()
        return Ran(code, said.out, said.err)


def everything(home: Path) -> dict[str, list[dict[str, Any]]]:
    """Return every row of the database in a data folder, nothing where there is none."""
    path = home / "stopsheet.db"
    return dump(path) if path.is_file() else {}


def rows(home: Path, *besides: str) -> dict[str, list[dict[str, Any]]]:
    """Return every row but the journal's and those of the tables named: what undo has to bring back."""
    return {table: kept for table, kept in everything(home).items() if table not in {"journal", *besides}}


def assert_refused(ran: Ran, *words: str) -> None:
    """Assert one clean sentence on stderr that holds the words, exit code 2, and nothing on stdout."""
    assert ran.code == 2, ran
    assert ran.out == ""
    assert ran.err.startswith("stopsheet: ")
    assert ran.err.endswith((".\n", "?\n", "--help')\n"))
    assert ran.err.count("\n") == 1
    assert "fault of stopsheet" not in ran.err
    assert "Traceback" not in ran.err
    assert is_clean(ran.err)
    for word in words:
        assert word in ran.err, (word, ran.err)


def is_clean(text: str) -> bool:
    """Return whether text holds no escape, control or turned-round writing (line ends aside)."""
    hostile = {*map(chr, range(32)), *map(chr, range(0x7F, 0xA0)), "\u202e", "\u2066", "\u200f"} - {"\n"}
    return not hostile.intersection(text)
