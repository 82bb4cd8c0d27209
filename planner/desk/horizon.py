"""The practices until the next game: at a glance, and planned together from the gym calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from planner.build.horizon import Days, Tell, ceiling_before, plan_days
from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.changes import merged
from planner.desk.desk import Desk
from planner.desk.locks import held, put_back
from planner.desk.practice import DEFAULT_MINUTES, DEFAULT_START, Wishes, make_brief, store_plan
from planner.desk.printing import titles
from planner.desk.versions import version_of
from planner.desk.wishes import wishes_from
from planner.need.estimate import Needs
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import GameInfo, PracticeInfo
from planner.text import plural

if TYPE_CHECKING:
    from sqlmodel import Session

MOST_DAYS = 6
"""Practices planned together at most; the nearest ones."""

WITHOUT_GAME = 7
"""Days looked ahead where no game is known."""


@dataclass(frozen=True, slots=True)
class PracticeDay:
    """A practice before the game, planned or only in the gym calendar.

    ``load`` is that of the plan, ``ceiling`` what may be loaded so near to the game (None: no ceiling is
    set). ``minutes_for`` maps principle id to planned minutes, most first. ``open`` gym days have no plan.
    """

    date: dt.date
    start: int
    minutes: int
    state: Literal["planned", "open", "done"]
    ceiling: float | None = None
    load: float | None = None
    minutes_for: Mapping[str, float] | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the day for a program."""
        return {
            "date": self.date.isoformat(),
            "start": clock_text(self.start),
            "minutes": self.minutes,
            "state": self.state,
            "ceiling": self.ceiling,
            "load": self.load,
            "minutes_per_principle": dict(self.minutes_for or {}),
        }


@dataclass(frozen=True, slots=True)
class DaysAhead:
    """The practices before a game (None: none is ahead), oldest first; ``more`` are left off."""

    game: GameInfo | None
    days: tuple[PracticeDay, ...]
    more: int = 0

    def as_json(self) -> dict[str, Any]:
        """Return the days for a program."""
        game = self.game
        return {
            "game": {"date": game.date.isoformat(), "opponent": game.opponent} if game else None,
            "days": [one.as_json() for one in self.days],
            "more": self.more,
        }


@dataclass(frozen=True, slots=True)
class UntilGame:
    """The game, the plans before it, what they were asked for, and the numbers of those kept."""

    game: GameInfo
    days: Days
    practices: tuple[int, ...]
    wishes: tuple[Wishes, ...] = ()
    seen: tuple[int, ...] = ()
    needs: Needs | None = None

    def plan_of(self, day: dt.date) -> Plan | None:
        """Return the plan of a day, None where that day was not planned."""
        return next((one for one in self.days.plans if one.date == day), None)


# ---- at a glance -----------------------------------------------------------------------------------------


def days_ahead(desk: Desk, day: dt.date | None = None) -> DaysAhead:
    """Return the practices until the game after ``day`` (today) as planned by now; nothing is built."""
    with desk.reading() as session:
        first, game = _stretch(session, desk.today, day or desk.today)
        last = game.date if game else first + dt.timedelta(days=WITHOUT_GAME)
        settings = queries.settings(session)
        found = [
            _glance(session, settings, date, known, game) for date, known in _practices(session, first, last)
        ]
    return DaysAhead(game, tuple(found[:MOST_DAYS]), max(0, len(found) - MOST_DAYS))


def _stretch(session: Session, today: dt.date, day: dt.date) -> tuple[dt.date, GameInfo | None]:
    """Return the first day of the stretch between two games that holds ``day``, and the game that ends it."""
    first = today
    while True:
        game = queries.next_game(session, first + dt.timedelta(days=1))
        if game is None or game.date > day:
            return first, game
        first = game.date


def _practices(session: Session, first: dt.date, game: dt.date) -> list[tuple[dt.date, PracticeInfo | None]]:
    """Return what the calendar holds from the first day to the day before the game.

    Days whose gym is open and that have no practice yet stand with None.
    """
    known = queries.practices(session, since=first, until=game - dt.timedelta(days=1))
    rules = queries.gym_rules(session)
    found: list[tuple[dt.date, PracticeInfo | None]] = []
    for day in _days(first, game):
        here = [one for one in known if one.date == day]
        if here:
            found += [(day, one) for one in here]
            continue
        holding = [one for one in rules if one.holds_on(day)]
        if any(one.halves for one in [own for own in holding if own.date] or holding):
            found.append((day, None))
    return found


def _glance(
    session: Session,
    settings: Mapping[str, Any],
    day: dt.date,
    known: PracticeInfo | None,
    game: GameInfo | None,
) -> PracticeDay:
    usual = settings.get("load-ceiling")
    ceiling = ceiling_before(game.date, day, float(usual)) if game and usual else usual
    if known is not None:
        plan = queries.plan_of(session, known.id) if known.has_plan else None
        state: Literal["planned", "open", "done"] = "done" if known.state == "done" else "planned"
        minutes_for = most_minutes(plan) if plan else None
        load = plan.load if plan else known.load
        return PracticeDay(day, known.start, known.minutes, state, ceiling, load, minutes_for)
    opens = [one.start for one in queries.gym_on(session, day) if one.halves]
    start = int(min(opens, default=settings.get("start", DEFAULT_START)))
    return PracticeDay(day, start, int(settings.get("minutes", DEFAULT_MINUTES)), "open", ceiling)


def most_minutes(plan: Plan) -> dict[str, float]:
    """Return principle id -> minutes of a plan, most first."""
    minutes: dict[str, float] = {}
    for one in plan.segments:
        for principle, length in one.minutes_per_principle.items():
            minutes[principle] = minutes.get(principle, 0.0) + length
    return {one: minutes[one] for one in sorted(minutes, key=lambda p: (-minutes[p], p))}


# ---- planned together ------------------------------------------------------------------------------------


def until_game(
    desk: Desk, wishes: Wishes, keep: bool = False, *, again: bool = False, tell: Tell | None = None
) -> UntilGame:
    """Plan every practice day from the wishes' date to the day before the next game after it, together.

    ``again`` begins each day from the wishes that its stored plan was built from. ``tell`` hears which day
    is next; stop the work with ``planner.stopping``.

    Raises:
        Refusal: no game is ahead, the gym calendar has no day before it, or a day cannot be planned.
        Overtaken: another coach changed a day meanwhile; what was built for it is kept beside that.

    """
    first = max(wishes.date, desk.today)
    with desk.reading() as session:
        game = queries.next_game(session, first + dt.timedelta(days=1))
        settings = queries.settings(session)
        if game is None:
            raise Refusal("No game is ahead; add one with 'stopsheet team game DATE OPPONENT'.")
        found = [one for one in _practices(session, first, game.date) if not one[1] or one[1].state != "done"]
    if not found:
        raise Refusal(
            f"The gym calendar has no practice before {game.date.isoformat()} v {game.opponent};"
            " 'stopsheet team gym' adds one, 'stopsheet plan --on DATE' plans without it."
        )
    asked = [_wishes(wishes, day, known, again) for day, known in found[:MOST_DAYS]]
    made = [make_brief(desk, one) for one in asked]
    with desk.reading() as session:
        seen = [version_of(queries.find_practice(session, one.date, one.start)) for one, _, _ in made]
    briefs = [held(brief, one.locks) for (brief, _, _), one in zip(made, asked, strict=True)]
    days = plan_days(briefs, game.date, float(settings.get("half-life", 14)), titles(desk), tell)
    plans = zip(days.plans, asked, made, strict=True)
    warned = [
        replace(put_back(plan, one.locks), warnings=(*notes, *plan.warnings))
        for plan, one, (_, _, notes) in plans
    ]
    together = UntilGame(game, replace(days, plans=tuple(warned)), (), tuple(asked), tuple(seen), made[0][1])
    return replace(together, practices=keep_days(desk, together)) if keep else together


def _wishes(wishes: Wishes, day: dt.date, known: PracticeInfo | None, again: bool) -> Wishes:
    """Return what is asked of a day; one that is planned already keeps its time."""
    mine = wishes
    if again and known is not None and "date" in known.wishes:
        mine = merged(wishes_from(known.wishes), wishes)
    start = wishes.start if known is None else known.start
    return replace(mine, date=day, start=start, by_hand=False)


def _days(first: dt.date, game: dt.date) -> list[dt.date]:
    return [first + dt.timedelta(days=n) for n in range((game - first).days)]


def keep_days(desk: Desk, found: UntilGame, chosen: Collection[dt.date] | None = None) -> tuple[int, ...]:
    """Store the days planned together (those ``chosen``); each is one thing that can be undone, newest first.

    Raises:
        Refusal: a day that was chosen is not among them.
        Overtaken: another coach changed a day meanwhile; what was built for it is kept beside that.

    """
    known = {one.date for one in found.days.plans}
    for one in chosen or ():
        if one not in known:
            raise Refusal(f"{one.isoformat()} is not among the days that were planned.")
    return tuple(
        store_plan(desk, plan, wishes, found.needs, seen)
        for plan, wishes, seen in zip(found.days.plans, found.wishes, found.seen, strict=True)
        if chosen is None or plan.date in chosen
    )


# ---- in words --------------------------------------------------------------------------------------------


def in_words(found: UntilGame) -> list[str]:
    """Return the days in a few lines: when, how heavy, what they teach most."""
    count = plural(len(found.days.plans), "practice")
    game = f"{found.game.date.isoformat()} v {found.game.opponent}"
    lines = [f"{count} until {game}; together worth {found.days.worth:.2f} points per 100 on that day."]
    lines += [
        f"{_when(plan.date, plan.start, plan.minutes)}  load {plan.load:4.0f}  {_taught(most_minutes(plan))}"
        for plan in found.days.plans
    ]
    if found.days.settled:
        lines.append("No single day can be bettered while the others stay; all days at once are not proven.")
    else:
        lines.append("Another look might still better a day; nothing here is proven for all days at once.")
    return lines


def ahead_in_words(found: DaysAhead) -> list[str]:
    """Return the practices before the game in a line each: when, how heavy, and what they work on most."""
    if found.game is None:
        lines = [f"No game is ahead; the next {WITHOUT_GAME} days:"]
    else:
        lines = [f"Until {found.game.date:%a} {found.game.date.isoformat()} v {found.game.opponent}:"]
    for one in found.days:
        when = _when(one.date, one.start, one.minutes)
        most = f"at most {one.ceiling:.0f}" if one.ceiling else "no ceiling"
        if one.load is None:
            lines.append(f"{when}  not planned, load {most}")
        else:
            load = f"{'run, ' if one.state == 'done' else ''}load {one.load:.0f}, {most}"
            lines.append(f"{when}  {load}  {_taught(one.minutes_for or {})}".rstrip())
    if found.more:
        lines.append(f"and {found.more} more")
    if not found.days:
        lines.append("no practice in the gym calendar; 'stopsheet team gym' adds one")
    return lines


def _when(day: dt.date, start: int, minutes: int) -> str:
    return f"{day:%a} {day.isoformat()} {clock_text(start)} {minutes:3} min"


def _taught(minutes: Mapping[str, float]) -> str:
    most: Sequence[str] = list(minutes)[:3]
    return ", ".join(f"{one} {minutes[one]:.0f}" for one in most)
