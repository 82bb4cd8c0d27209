"""Which of the guessed parameters does a plan depend on? One at a time, and a screening of them together.

Run: ``python -m tests.sim.sensitivity --teams 12``. For teams with eight games of film and three weeks of
practice behind them it prints how many of a practice's minutes go to another principle when one parameter
moves from its default to either end of its range, and the mean elementary effect (Morris, Technometrics 33,
1991; in minutes moved when the parameter crosses a half of its range,
from points spread by Sobol's sequence).
"""

from __future__ import annotations

import argparse
import datetime as dt
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

from planner.build.brief import Rules
from planner.need.settings import NeedSettings
from tests.sim.court import DRILL_MINUTES, Habits, choose
from tests.sim.play import draw, library
from tests.sim.policies import Ours
from tests.sim.truth import BELIEVED, Teams, film

Array = NDArray[Any]
GAMES = 8
DEFAULTS: Mapping[str, float] = {
    "r": Rules().r,
    "tau": Rules().tau,
    "half-life of minutes": 14.0,
    "half-life of film": NeedSettings().half_life_games,
    "weight of usual rates": NeedSettings().prior_possessions,
    "spread of costs": NeedSettings().cost_sd,
    "base": NeedSettings().base,
}
RANGES: Mapping[str, tuple[float, float]] = {
    "r": (0.15, 0.6),
    "tau": (15.0, 60.0),
    "half-life of minutes": (7.0, 28.0),
    "half-life of film": (3.0, 12.0),
    "weight of usual rates": (30.0, 120.0),
    "spread of costs": (0.12, 0.5),
    "base": (0.5, 0.86),
}


@dataclass(frozen=True)
class Past:
    """Teams with film of so many games and so many practices, days ago with minutes per principle."""

    teams: Teams
    practices: tuple[tuple[float, Array], ...]


def past(teams: int, seed: int) -> Past:
    """Return teams in mid-season: practised by the template, filmed eight times."""
    drawn = draw(BELIEVED, teams, seed, weeks=GAMES)
    dice = np.random.default_rng(seed)
    size = (teams, drawn.shares.shape[1])
    days = [float(7 * week + day) for week in range(3) for day in (1, 3, 4)]
    return Past(drawn, tuple((day, dice.gamma(1.0, DRILL_MINUTES / size[1], size)) for day in days))


def minutes_of(before: Past, values: Mapping[str, float]) -> Array:
    """Return the minutes per principle that the plan gives, teams x principles."""
    settings = NeedSettings(
        half_life_games=values["half-life of film"],
        prior_possessions=values["weight of usual rates"],
        cost_sd=values["spread of costs"],
        base=values["base"],
    )
    ours = Ours(before.teams, rules=Rules(r=values["r"], tau=values["tau"]), settings=settings, films=False)
    for season in range(len(before.teams)):
        for game in range(GAMES):
            date = dt.date(2026, 11, 2) + dt.timedelta(days=7 * game)
            ours.games[season].append(film(before.teams, season, game, before.teams.level[season], date))
        ours.needs[season] = ours._need(season)
    life = values["half-life of minutes"]
    ours.carried = np.sum([given * 2.0 ** (-day / life) for day, given in before.practices], axis=0)
    kit = library()[1]
    fresh = Habits.none(len(before.teams), len(kit.drills)).fresh(Rules())
    squads = np.full(len(before.teams), 11)
    found: Array = choose(kit, ours.wants(ours.carried), fresh, squads) @ kit.raw
    return found


def moved(one: Array, other: Array) -> float:
    """Return the minutes that go to another principle, mean over teams."""
    return float(0.5 * np.abs(one - other).sum(axis=1).mean())


def one_at_a_time(before: Past) -> dict[str, tuple[float, float]]:
    """Return the minutes moved at the low and the high end of each parameter."""
    usual = minutes_of(before, DEFAULTS)
    return {
        name: tuple(moved(usual, minutes_of(before, {**DEFAULTS, name: end})) for end in ends)  # type: ignore[misc]
        for name, ends in RANGES.items()
    }


def screening(before: Past, paths: int, seed: int = 1) -> dict[str, float]:
    """Return the mean absolute elementary effect of each parameter, in minutes moved per half range.

    Every path starts at a point of Sobol's sequence in the lower or upper half of each range and crosses
    one parameter at a time, in a drawn order.
    """
    names = list(RANGES)
    points = qmc.Sobol(len(names), seed=seed).random(paths)
    dice = np.random.default_rng(seed)
    effects: dict[str, list[float]] = {name: [] for name in names}
    for point in points:
        here = point.copy()
        now = minutes_of(before, _values(here))
        for at in dice.permutation(len(names)):
            here[at] += 0.5 if here[at] < 0.5 else -0.5
            then = minutes_of(before, _values(here))
            effects[names[at]].append(moved(now, then))
            now = then
    return {name: float(np.mean(found)) for name, found in effects.items()}


def _values(point: Array) -> dict[str, float]:
    """Return parameter values for a point of the unit cube, even on the logarithm."""
    return {
        name: float(low * (high / low) ** part)
        for part, (name, (low, high)) in zip(point, RANGES.items(), strict=True)
    }


def main(arguments: Sequence[str] | None = None) -> int:
    """Print both tables."""
    parser = argparse.ArgumentParser(prog="python -m tests.sim.sensitivity", description=__doc__)
    parser.add_argument("--teams", type=int, default=12)
    parser.add_argument("--paths", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    before = past(given.teams, given.seed)
    ends, effects = one_at_a_time(before), screening(before, given.paths)
    lines = [f"minutes of {DRILL_MINUTES:.0f} that go to another principle, mean of {given.teams} teams"]
    lines.append(f"{'':24}{'default':>9}{'range':>14}{'low':>7}{'high':>7}{'effect':>8}")
    for name in sorted(RANGES, key=lambda one: -effects[one]):
        low, high = RANGES[name]
        lines.append(
            f"{name:24}{DEFAULTS[name]:9.2f}{f'{low:g} to {high:g}':>14}"
            f"{ends[name][0]:7.1f}{ends[name][1]:7.1f}{effects[name]:8.1f}"
        )
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
