"""What the benchmark's figures are made of."""

from __future__ import annotations

import sys

import pytest

from tests.bench.measure import Cost, Growth, Line, best, exponent, growths, process, table


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
