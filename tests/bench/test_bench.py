"""What the benchmark's figures are made of."""

from __future__ import annotations

import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.bench.keys import Taken
from tests.bench.keys import table as key_table
from tests.bench.measure import Cost, Growth, Line, best, exponent, growths, process, table
from tests.bench.seasons import COPIES, plant_ten


@pytest.mark.parametrize("power", [0.0, 1.0, 2.0])
def test_exponents_are_those_of_the_power(power: float) -> None:
    """Seconds that grow as a power of the size give that power, whatever one unit takes."""
    sizes = (10, 20, 50, 100)
    assert exponent(sizes, [0.03 * size**power for size in sizes]) == pytest.approx(power, abs=1e-9)


def test_best_is_the_shortest_run() -> None:
    """Of several runs the quickest counts, and the work is done as often as asked."""
    done: list[int] = []
    assert best(lambda: done.append(1), 4).seconds >= 0
    assert len(done) == 4


@pytest.mark.skipif(
    not hasattr(__import__("os"), "wait4"), reason="the system does not tell a child's memory"
)
def test_a_process_tells_its_memory() -> None:
    """A process that holds sixty megabytes more is told to hold about that much more."""
    small = process(["-c", "pass"], runs=1)
    large = process(["-c", "held = bytearray(60 * 2**20)"], runs=1)
    assert small.megabytes is not None
    assert large.megabytes is not None
    assert 50 < large.megabytes - small.megabytes < 80


def test_a_process_that_fails_is_not_measured() -> None:
    """What ended badly gives an error instead of a figure."""
    with pytest.raises(RuntimeError, match="ended with 3"):
        process(["-c", "raise SystemExit(3)"], runs=1)


def test_tables_show_ratio_and_exponent() -> None:
    """The printed rows hold the ratio and the exponent."""
    line = Line("ours", Cost(0.6, 40.0), "bare", Cost(0.2))
    assert table([line]).splitlines()[1].endswith("3.0")
    grown = Growth("work", (1, 10), (0.1, 1.0))
    assert " 1.00 " in growths([grown])
    assert sys.executable


def test_keys_are_told_by_their_share() -> None:
    """Of a hundred keys the 95th percentile is the ninety-sixth; what paints nothing is left out."""
    taken = Taken("somewhere", tuple(one / 1000 for one in range(100)))
    assert taken.part(0.95) == pytest.approx(0.095)
    assert taken.part(0.5) == pytest.approx(0.050)
    assert "1.90" in taken.row(), "95 ms of 50"
    assert "nothing was painted" in Taken("elsewhere", ()).row()
    assert "      100" in key_table("keys", [taken]).splitlines()[-1]


def test_ten_seasons_are_as_sound_as_one(season_home: Path) -> None:
    """Every copy of a season holds what the season holds, and the program finds nothing wrong with it."""
    before = counts(season_home)
    after = plant_ten(season_home)
    assert after["game"] >= 10 * before["game"]
    assert after["possession"] == (COPIES + 1) * before["possession"]
    assert after["segment"] > 10 * before["segment"]
    with closing(sqlite3.connect(season_home / "stopsheet.db")) as database:
        assert database.execute("pragma foreign_key_check").fetchall() == []
        assert database.execute("pragma integrity_check").fetchone() == ("ok",)


def counts(home: Path) -> dict[str, int]:
    """Return how many rows there are of what is planted."""
    with closing(sqlite3.connect(home / "stopsheet.db")) as database:
        names = ("game", "possession", "segment")
        return {one: database.execute(f"select count(*) from {one}").fetchone()[0] for one in names}
