"""The practices until the next game, from the gym calendar, planned together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.build.horizon import Days, plan_days
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.desk.practice import Wishes, make_brief
from planner.desk.printing import titles
from planner.desk.versions import version_of
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import GameInfo
from planner.text import plural

MOST_DAYS = 6
"""Practices planned together at most; the nearest ones."""


@dataclass(frozen=True, slots=True)
class UntilGame:
    """The game, the plans before it, and their numbers in the store where they were kept."""

    game: GameInfo
    days: Days
    practices: tuple[int, ...]


def until_game(desk: Desk, wishes: Wishes, keep: bool = False) -> UntilGame:
    """Plan every practice day from the wishes' date to the day before the next game.

    Raises:
        Refusal: no game is ahead, the gym calendar has no day before it, or a day cannot be planned.

    """
    with desk.reading() as session:
        game = queries.next_game(session, desk.today + dt.timedelta(days=1))
        settings = queries.settings(session)
        if game is None:
            raise Refusal("No game is ahead; add one with 'stopsheet team game DATE OPPONENT'.")
        dates = [
            day
            for day in _days(max(wishes.date, desk.today), game.date)
            if any(window.halves for window in queries.gym_on(session, day))
        ]
    if not dates:
        raise Refusal(
            f"The gym calendar has no practice before {game.date.isoformat()} v {game.opponent};"
            " 'stopsheet team gym' adds one, 'stopsheet plan --on DATE' plans without it."
        )
    dates = dates[:MOST_DAYS]
    briefs = [make_brief(desk, replace(wishes, date=day))[0] for day in dates]
    with desk.reading() as session:
        seen = [version_of(queries.find_practice(session, one.date, one.start)) for one in briefs]
    days = plan_days(briefs, game.date, float(settings.get("half-life", 14)), titles(desk))
    return UntilGame(game, days, _kept(desk, days, wishes, seen) if keep else ())


def _days(first: dt.date, game: dt.date) -> list[dt.date]:
    return [first + dt.timedelta(days=n) for n in range((game - first).days)]


def _kept(desk: Desk, days: Days, wishes: Wishes, seen: Sequence[int]) -> tuple[int, ...]:
    """Store all days as one thing that can be undone day by day, newest first."""
    from planner.desk.practice import store_plan

    return tuple(
        store_plan(desk, plan, replace(wishes, date=plan.date), seen=version)
        for plan, version in zip(days.plans, seen, strict=True)
    )


def in_words(found: UntilGame) -> list[str]:
    """Return the days in a few lines: when, how heavy, what they teach most."""
    count = plural(len(found.days.plans), "practice")
    game = f"{found.game.date.isoformat()} v {found.game.opponent}"
    lines = [f"{count} until {game}; together worth {found.days.worth:.2f} points per 100 on that day."]
    for plan in found.days.plans:
        minutes: dict[str, float] = {}
        for one in plan.segments:
            for principle, length in one.minutes_per_principle.items():
                minutes[principle] = minutes.get(principle, 0.0) + length
        most = sorted(minutes, key=lambda p: (-minutes[p], p))[:3]
        taught = ", ".join(f"{p} {minutes[p]:.0f}" for p in most)
        lines.append(
            f"{plan.date:%a} {plan.date.isoformat()} {clock_text(plan.start)} {plan.minutes:3} min"
            f"  load {plan.load:4.0f}  {taught}"
        )
    if found.days.settled:
        lines.append("No single day can be bettered while the others stay; all days at once are not proven.")
    else:
        lines.append("Another look might still better a day; nothing here is proven for all days at once.")
    return lines
