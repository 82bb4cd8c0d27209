"""Is the stand-in fit to speak for the solver? The same practices planned by both, side by side.

Run: ``python -m tests.sim.validate --practices 30``. For random needs and minutes carried over it prints the
minutes the real plan leaves for drills, how much of the real plan's worth the stand-in reaches, and how
alike the minutes per principle are.
"""

from __future__ import annotations

import argparse
import datetime as dt
import sys
from dataclasses import dataclass

import numpy as np

from planner.build.brief import Brief, FixedBlock, Rules, SquadPlayer, Weight
from planner.build.make import solve_brief
from planner.build.reasons import effective_minutes
from planner.build.worth import total_worth
from planner.drills.vocabulary import Vocabulary
from tests.sim.court import DRILL_MINUTES, FLOOR_MINUTES, Habits, Shelf, choose
from tests.sim.play import library

BLOCKS = (
    FixedBlock("Warm-up", 10, 0),
    FixedBlock("Offence", 10, 45, effort=4),
    FixedBlock("Free throws", 6, "last"),
)
"""What a usual practice of 90 minutes holds besides our drills."""


@dataclass(frozen=True)
class Pair:
    """One practice planned twice: drill minutes of the real plan, worth of both, likeness of the minutes.

    ``overlap`` is the part of the effective minutes that both give to the same principle (1: all).
    """

    drill_minutes: int
    drills: int
    standin_drills: int
    set_ups: int
    real: float
    standin: float
    overlap: float

    @property
    def reached(self) -> float:
        """Return the stand-in's worth as a part of the real plan's."""
        return self.standin / self.real


def pair(seed: int) -> Pair:
    """Return one random practice planned both ways."""
    vocabulary, kit = library()
    dice = np.random.default_rng(seed)
    names = [one.id for one in vocabulary.principles]
    usual = sum(
        np.array([one.usual_rate * one.usual_cost * one.shares.get(name, 0.0) for name in names])
        for one in vocabulary.breakdowns
    )
    needs = usual * np.exp(0.6 * dice.standard_normal(len(names)))
    carried = 60.0 * dice.random(len(names))
    brief = _brief(vocabulary, kit, needs, carried, int(dice.integers(8, 13)), dice)
    plan, solution = solve_brief(brief, {})
    chosen = solution.ordered.choice.placed
    minutes = _standin(brief, kit, needs, carried)
    taught = minutes @ kit.worths
    real = np.array([effective_minutes(solution).get(one, 0.0) for one in names])
    worth = total_worth(brief, [(dict(zip(names, map(float, taught), strict=True)), 1.0)])
    shares = [one / one.sum() for one in (real, taught)]
    return Pair(
        drill_minutes=sum(one.minutes for one in chosen),
        drills=len(chosen),
        standin_drills=int((minutes > 0).sum()),
        set_ups=sum(one.minutes for one in plan.segments if one.kind == "set-up"),
        real=plan.objective,
        standin=worth,
        overlap=float(np.minimum(*shares).sum()),
    )


def _brief(
    vocabulary: Vocabulary,
    kit: Shelf,
    needs: np.ndarray,
    carried: np.ndarray,
    squad: int,
    dice: np.random.Generator,
) -> Brief:
    weights = {
        one.id: Weight(float(need), float(before))
        for one, need, before in zip(vocabulary.principles, needs, carried, strict=True)
    }
    return Brief(
        date=dt.date(2026, 11, 26),
        start=930,
        minutes=FLOOR_MINUTES,
        fixed=BLOCKS,
        squad=tuple(SquadPlayer(str(number + 4)) for number in range(squad)),
        drills=kit.drills,
        weights=weights,
        rules=Rules(),
    )


def _standin(brief: Brief, kit: Shelf, needs: np.ndarray, carried: np.ndarray) -> np.ndarray:
    r, tau = brief.rules.r, brief.rules.tau
    fresh = Habits.none(1, len(kit.drills)).fresh(brief.rules)
    scale = (needs * r / tau)[None, :]
    found = choose(
        kit,
        lambda taught: scale * np.exp(-(carried + taught) / tau),
        fresh,
        np.array([len(brief.squad)]),
    )
    return found[0]


def main(arguments: list[str] | None = None) -> int:
    """Print the comparison."""
    parser = argparse.ArgumentParser(prog="python -m tests.sim.validate", description=__doc__)
    parser.add_argument("--practices", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    pairs = [pair(given.seed + number) for number in range(given.practices)]
    rows = {
        "drill minutes of the real plan (stand-in has " + f"{DRILL_MINUTES:.0f})": [
            p.drill_minutes for p in pairs
        ],
        "set-up minutes of the real plan": [p.set_ups for p in pairs],
        "drills in the real plan": [p.drills for p in pairs],
        "drills in the stand-in": [p.standin_drills for p in pairs],
        "worth of the stand-in / real": [p.reached for p in pairs],
        "overlap of minutes by principle": [p.overlap for p in pairs],
    }
    for name, values in rows.items():
        found = np.asarray(values, dtype=float)
        sys.stdout.write(
            f"{name:50} mean {found.mean():6.2f}  from {found.min():6.2f} to {found.max():6.2f}\n"
        )
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
