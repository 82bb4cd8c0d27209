"""Play seasons: three practices a week, a game every Friday and every second Tuesday."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.build.brief import Rules
from planner.data import drill_library
from planner.drills.library import read_drills, read_vocabulary
from planner.drills.vocabulary import Vocabulary
from tests.sim.court import Habits, Shelf, choose, shelf
from tests.sim.policies import Maker
from tests.sim.truth import ROSTER, Teams, World, film, make_teams

Array = NDArray[Any]
FIRST_DAY = dt.date(2026, 10, 5)
WEEKS_BEFORE = 3
WEEKS = 22
PRACTICE_DAYS = (0, 2, 3)


@cache
def library() -> tuple[Vocabulary, Shelf]:
    """Return the shipped vocabulary and drills."""
    root = drill_library()
    texts = [(root / name).read_text("utf-8") for name in ("principles.toml", "breakdowns.toml")]
    vocabulary, _ = read_vocabulary(*texts)
    files = sorted((root / "drills").glob("*.toml"))
    drills, _ = read_drills([(one.name, one.read_text("utf-8")) for one in files], vocabulary)
    return vocabulary, shelf(drills, vocabulary)


def calendar(weeks: int = WEEKS) -> list[str]:
    """Return what each day holds: ``practice``, ``game`` or nothing."""
    days = [""] * (7 * (WEEKS_BEFORE + weeks))
    for week in range(WEEKS_BEFORE + weeks):
        for day in PRACTICE_DAYS:
            days[7 * week + day] = "practice"
        if week >= WEEKS_BEFORE:
            days[7 * week + 4] = "game"
            if week % 2:
                days[7 * week + 1] = "game"
    return days


@dataclass(frozen=True)
class Played:
    """Per season: points conceded per 100 (mean over its games), and minutes per principle in all."""

    conceded: Array
    minutes: Array


def play(teams: Teams, maker: Maker, days: Sequence[str], kit: Shelf) -> Played:
    """Return how the seasons go under one policy."""
    policy = maker(teams)
    seasons, principles = len(teams), teams.shares.shape[1]
    lives = np.asarray(teams.world.half_lives)
    mind = np.zeros((len(lives), seasons, principles))
    habits, rules = Habits.none(seasons, len(kit.drills)), Rules()
    given, lost = np.zeros((seasons, principles)), []
    practice = 0
    for number, what in enumerate(days):
        mind *= 2.0 ** (-1.0 / lives)[:, None, None]
        policy.slept(1.0)
        if what == "practice":
            squads, fresh = teams.squads[:, practice], habits.fresh(rules)
            minutes = choose(kit, policy.wants(mind.sum(axis=0)), fresh, squads)
            true = minutes * teams.quality * (squads / ROSTER)[:, None]
            if teams.world.stages:
                mind += (true * fresh) @ kit.worths / len(lives)
            else:
                mind += true @ kit.raw / len(lives)
            policy.practised(minutes @ kit.raw, (minutes * fresh) @ kit.worths)
            habits.ran(minutes)
            given += minutes @ kit.raw
            practice += 1
        elif what == "game":
            game = len(lost)
            lost.append(teams.conceded(mind.sum(axis=0), game))
            if policy.watches:
                rates = teams.rates(mind.sum(axis=0), game)
                date = FIRST_DAY + dt.timedelta(days=number)
                for season in np.flatnonzero(teams.watched[:, game]):
                    policy.saw(int(season), film(teams, int(season), game, rates[season], date))
    return Played(np.mean(lost, axis=0), given)


def draw(world: World, seasons: int, seed: int, weeks: int = WEEKS) -> Teams:
    """Return the teams of a world."""
    vocabulary, kit = library()
    days = calendar(weeks)
    return make_teams(
        world, vocabulary, seasons, days.count("game"), days.count("practice"), len(kit.drills), seed
    )


def compare(
    world: World, makers: Mapping[str, Maker], seasons: int, seed: int, weeks: int = WEEKS
) -> dict[str, Played]:
    """Return name -> seasons played; the chances are the same for every policy."""
    teams, kit = draw(world, seasons, seed, weeks), library()[1]
    return {name: play(teams, maker, calendar(weeks), kit) for name, maker in makers.items()}
