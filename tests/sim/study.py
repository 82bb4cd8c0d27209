"""Would our plan have done better? Many invented seasons, the same chances for every way to choose practice.

Run: ``python -m tests.sim.study --seasons 200``. For every world (``tests/sim/truth.py``) it prints the true
points conceded per 100 possessions, what our plan saves against each other way (mean over paired seasons
with its 95 % interval) and in which part of the seasons it does better. The oracle knows the truth and is
there to show how much could be had at all.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tests.sim.play import WEEKS, Played, compare
from tests.sim.policies import LastGame, Maker, Oracle, Ours, even, template
from tests.sim.truth import WORLDS, World

OURS, ORACLE, UNWATCHED = "our plan", "oracle", "our plan without film"
RIVALS: Mapping[str, Maker] = {"even split": even, "fixed template": template, "last game only": LastGame}
MAKERS: Mapping[str, Maker] = {
    **RIVALS,
    UNWATCHED: lambda teams: Ours(teams, films=False),
    OURS: Ours,
    ORACLE: Oracle,
}
Z95 = 1.959963984540054
"""Standard normal quantile at 0.975."""


@dataclass(frozen=True)
class Row:
    """One policy in one world: mean conceded, what ours saves against it with half its interval, and wins.

    ``won`` is the part of the seasons in which ours concedes less.
    """

    world: str
    policy: str
    conceded: float
    saved: float
    half: float
    won: float


def rows(world: World, played: Mapping[str, Played]) -> list[Row]:
    """Return the policies of a world set against ours."""
    ours = played[OURS].conceded
    found = []
    for name, one in played.items():
        saved = one.conceded - ours
        half = Z95 * float(saved.std(ddof=1)) / np.sqrt(len(saved))
        won = float((saved > 0).mean())
        found.append(Row(world.name, name, float(one.conceded.mean()), float(saved.mean()), half, won))
    return found


def won_all(played: Mapping[str, Played]) -> float:
    """Return the part of the seasons in which ours beats every rival at once."""
    best = np.min([played[name].conceded for name in RIVALS], axis=0)
    return float((played[OURS].conceded < best).mean())


def told(world: World, played: Mapping[str, Played], seconds: float) -> str:
    """Return a world's table."""
    seasons = len(played[OURS].conceded)
    lines = [f"{world.name}: {world.about} ({seasons} seasons, {seconds:.0f} s)"]
    lines.append(f"  {'':24}{'per 100':>9}{'ours saves':>12}{'95 % interval':>20}{'won':>7}")
    for one in rows(world, played):
        line = f"  {one.policy:24}{one.conceded:9.2f}"
        if one.policy != OURS:
            low, high = one.saved - one.half, one.saved + one.half
            line += f"{one.saved:12.3f}{f'{low:.3f} to {high:.3f}':>20}{one.won:7.0%}"
        lines.append(line)
    lines.append(f"  better than every rival at once in {won_all(played):.0%} of the seasons")
    return "\n".join(lines)


def main(arguments: Sequence[str] | None = None) -> int:
    """Play and print, world by world."""
    parser = argparse.ArgumentParser(prog="python -m tests.sim.study", description=__doc__)
    parser.add_argument("--seasons", type=int, default=200)
    parser.add_argument("--weeks", type=int, default=WEEKS, help="weeks with games, after three without")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--world", action="append", choices=[one.name for one in WORLDS], help="default: all")
    given = parser.parse_args(arguments)
    for world in WORLDS:
        if given.world and world.name not in given.world:
            continue
        began = time.perf_counter()
        played = compare(world, MAKERS, given.seasons, given.seed, given.weeks)
        sys.stdout.write(told(world, played, time.perf_counter() - began) + "\n\n")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(max(0, 10 - os.nice(0)))
    raise SystemExit(main())
