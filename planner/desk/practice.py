"""Tomorrow: from what the store knows and the coach wishes to a stored plan."""

from __future__ import annotations

import datetime as dt
import re
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from planner.build.brief import Brief, FixedBlock, Pin, Rules, SquadPlayer, Weight
from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.desk.needs import assess_needs
from planner.desk.team import clean_jersey
from planner.desk.versions import Overtaken, keep_overtaken, version_of
from planner.drills.card import Drill, Kind
from planner.need.estimate import Needs
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from sqlmodel import Session

DEFAULT_MINUTES = 90
DEFAULT_START = 15 * 60 + 30
LONGEST = 300
"""Minutes of the longest practice that is planned."""

MOST_PLAYERS = 99
MOST_LOAD = 5000
"""CR-10 rating x minutes."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the coach asks of one practice; None leaves it to the team's settings and gym.

    ``start`` is a minute of the day. ``squad`` is how many will be there, ``away`` the jerseys that will not.
    """

    date: dt.date
    minutes: int | None = None
    start: int | None = None
    squad: int | None = None
    away: tuple[str, ...] = ()
    pins: tuple[Pin, ...] = ()
    keep_out: tuple[str, ...] = ()
    fixed: tuple[FixedBlock, ...] = ()
    coaches: int | None = None
    load_ceiling: float | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the wishes as plain values, for the store."""
        return {
            "date": self.date.isoformat(),
            "minutes": self.minutes,
            "start": self.start,
            "squad": self.squad,
            "away": list(self.away),
            "pins": [[one.drill, one.minutes] for one in self.pins],
            "keep_out": list(self.keep_out),
            "fixed": [[one.title, one.minutes, one.at, one.effort, one.halves] for one in self.fixed],
            "coaches": self.coaches,
            "load_ceiling": self.load_ceiling,
        }


COSTS_KEPT = 3
"""Needs kept with a plan, largest first."""


@dataclass(frozen=True, slots=True)
class Built:
    """A plan with what it was built from, and its number in the store (None: only looked at).

    ``doubts`` says in whole sentences where the plan hangs on a guess.
    """

    plan: Plan
    brief: Brief
    needs: Needs
    practice: int | None
    notes: tuple[str, ...] = field(default=())
    doubts: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the plan in the words of the JSON contract, with its doubts."""
        return {**self.plan.as_json(), "doubts": list(self.doubts)}


def build_plan(desk: Desk, wishes: Wishes, keep: bool = True, seen: int | None = None) -> Built:
    """Build the best plan for the wishes; ``keep`` stores it in place of an earlier one for that time.

    ``seen`` is the version of the plan that the coach looked at when wishing (None: the one that stands now).

    Raises:
        Refusal: the date is past, the practice was run already, or the wishes cannot be met.
        Overtaken: another coach changed the plan meanwhile; this one is kept beside it.

    """
    from planner.build.make import make_plan

    if wishes.date < desk.today:
        raise Refusal(
            f"{wishes.date.isoformat()} is past (today is {desk.today.isoformat()}); plan a day to come."
        )
    brief, needs, notes = make_brief(desk, wishes)
    stands = _refuse_logged(desk, brief)
    seen = stands if seen is None else seen
    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
    began = time.perf_counter()
    plan = make_plan(brief, titles)
    plan = replace(plan, seconds=round(time.perf_counter() - began, 3), warnings=(*notes, *plan.warnings))
    number = store_plan(desk, plan, wishes, needs, seen) if keep else None
    return Built(plan, brief, needs, number, notes, _doubts(brief, plan, needs, titles))


def _doubts(brief: Brief, plan: Plan, needs: Needs, titles: Mapping[str, str]) -> tuple[str, ...]:
    """Say where the plan hangs on a guessed cost; before any film all of it does, which the notes say."""
    from planner.build.doubt import doubts

    if not needs.games:
        return ()
    told = {one.principle: one.cost_film_share for one in needs.principles}
    return tuple(one.sentence(titles) for one in doubts(brief, plan, told))


def why_not(desk: Desk, wishes: Wishes, drill: str) -> str:
    """Return in one sentence what it would cost to have ``drill`` in the plan, exactly.

    Raises:
        Refusal: there is no such drill, or it cannot be in any plan for these wishes.

    """
    free = build_plan(desk, wishes, keep=False).plan
    if any(one.drill == drill for segment in free.segments for one in segment.stations):
        return f"'{drill}' is in the plan."
    pinned = build_plan(desk, replace(wishes, pins=(*wishes.pins, Pin(drill))), keep=False).plan
    loss = max(0.0, free.objective - pinned.objective)
    sure = "" if free.proven and pinned.proven else "about "
    return (
        f"With '{drill}' the best plan is worth {pinned.objective:.2f} instead of {free.objective:.2f}:"
        f" it costs {sure}{loss:.2f} points per 100. Pin it with --pin {drill}."
    )


def _refuse_logged(desk: Desk, brief: Brief) -> int:
    """Refuse before the long search what the store would refuse after it; return the version that stands."""
    with desk.reading() as session:
        known = queries.find_practice(session, brief.date, brief.start)
    if known is not None and known.state == "done":
        raise Refusal(
            f"The practice of {brief.date.isoformat()} {clock_text(brief.start)} has been logged;"
            " undo the log before planning it anew."
        )
    return version_of(known)


def store_plan(
    desk: Desk, plan: Plan, wishes: Wishes, needs: Needs | None = None, seen: int | None = None
) -> int:
    """Store a plan in place of an earlier one for its time; return the practice's number.

    The largest of the needs it was built for are kept with it: the sheet says them as they stood then.
    ``seen`` is the version the coach worked from (0: there was none; None: whatever stands is covered).

    Raises:
        Overtaken: another version stands by now; this plan is kept beside it.

    """
    row = wishes.as_json()
    if needs is not None:
        row["costs"] = [[one.principle, one.points_per_100] for one in needs.principles[:COSTS_KEPT]]
    done = desk.work(lambda session: _store(desk, session, plan, row, seen))
    if isinstance(done, Overtaken):
        raise done
    return done


def _store(
    desk: Desk, session: Session, plan: Plan, row: Mapping[str, Any], seen: int | None
) -> int | Overtaken:
    before = queries.plan_on(session, plan.date, plan.start)
    earlier = queries.find_practice(session, plan.date, plan.start)
    if seen is not None and version_of(earlier) != seen:
        return keep_overtaken(desk, session, plan, row, earlier)
    number = queries.save_plan(session, plan, row)
    payload = {
        "practice": number,
        "before": queries.pack_plan(before) if before else None,
        "wishes": dict(earlier.wishes) if earlier else {},
    }
    desk.note(session, "plan", f"plan for {plan.date.isoformat()} {clock_text(plan.start)}", payload)
    return number


def make_brief(desk: Desk, wishes: Wishes) -> tuple[Brief, Needs, tuple[str, ...]]:
    """Return the brief for the wishes, the needs behind it, and what the coach should know about it."""
    needs = assess_needs(desk, as_of=wishes.date)
    with desk.reading() as session:
        settings = queries.settings(session)
        gym = queries.gym_on(session, wishes.date)
        squad, notes = _squad(session, wishes)
        recent = (*queries.recent_drills(session, wishes.date, 2), frozenset(), frozenset())
        passed = queries.progress_on(session, wishes.date)
        fixed = (*queries.fixed_on(session, wishes.date), *wishes.fixed)
        open_from = [
            one.start for one in queries.gym_rules(session) if one.halves and one.holds_on(wishes.date)
        ]
    start = _first(wishes.start, min(open_from, default=None), settings.get("start"), DEFAULT_START)
    minutes = int(_first(wishes.minutes, settings.get("minutes"), DEFAULT_MINUTES))
    if minutes < 1:
        raise Refusal(f"A practice of {plural(minutes, 'minute')} is none; give at least 1.")
    if minutes > LONGEST:
        raise Refusal(f"A practice of {minutes} minutes is too long; give at most {LONGEST}.")
    warm_up, cool_down = int(settings.get("warm-up", 10)), int(settings.get("cool-down", 5))
    brief = Brief(
        date=wishes.date,
        start=int(start),
        minutes=minutes,
        squad=squad,
        drills=desk.library.drills,
        weights=_weights(needs, passed),
        warm_up=_card(desk, "warm-up", warm_up, recent[0]),
        warm_up_minutes=warm_up,
        cool_down=_card(desk, "cool-down", cool_down, recent[0]),
        cool_down_minutes=cool_down,
        gym=gym,
        coaches=int(_first(wishes.coaches, settings.get("coaches"), 2)),
        fixed=fixed,
        pins=wishes.pins,
        keep_out=frozenset(wishes.keep_out),
        ran_last=recent[0],
        ran_before=recent[1],
        rules=_rules(settings, wishes),
    )
    return brief, needs, notes


def _first(*values: Any) -> Any:
    return next((one for one in values if one is not None), None)


def _weights(needs: Needs, passed: Mapping[str, Any]) -> dict[str, Weight]:
    return {
        one.principle: Weight(one.points_per_100, one.carry_over_minutes, passed.get(one.principle))
        for one in needs.principles
    }


def _rules(settings: Mapping[str, Any], wishes: Wishes) -> Rules:
    plain = Rules()
    ceiling = _first(wishes.load_ceiling, settings.get("load-ceiling"))
    if ceiling is not None and not 0 <= ceiling <= MOST_LOAD:
        raise Refusal(f"A load ceiling of {ceiling:g} is out of range; give 0 (for none) to {MOST_LOAD}.")
    return replace(
        plain,
        water_every=int(settings.get("water-every", plain.water_every)),
        water_minutes=int(settings.get("water-minutes", plain.water_minutes)),
        set_up_minutes=int(settings.get("set-up-minutes", plain.set_up_minutes)),
        load_ceiling=float(ceiling) if ceiling else None,
        r=float(settings.get("r", plain.r)),
        tau=float(settings.get("tau", plain.tau)),
    )


def _squad(session: Session, wishes: Wishes) -> tuple[tuple[SquadPlayer, ...], tuple[str, ...]]:
    """Return who will be there; numbers stand in for players that the roster does not know."""
    if wishes.squad is not None and wishes.squad < 1:
        raise Refusal(f"A squad of {wishes.squad} cannot practise; give at least 1.")
    if wishes.squad is not None and wishes.squad > MOST_PLAYERS:
        raise Refusal(f"A squad of {wishes.squad} is more than one gym holds; give at most {MOST_PLAYERS}.")
    roster = queries.players(session, active=True)
    away = {clean_jersey(one) for one in wishes.away}
    unknown = sorted(away - {one.jersey for one in roster})
    if unknown:
        raise Refusal(f"No player wears {unknown[0]}; 'stopsheet team' shows the roster.")
    there = [SquadPlayer(one.jersey, one.position, one.name) for one in roster if one.jersey not in away]
    if wishes.squad is None:
        if not there:
            raise Refusal("Nobody is on the roster; say how many will be there with --squad 11.")
        return tuple(there), ()
    if wishes.squad < len(there):
        left = [one.jersey for one in there[wishes.squad :]]
        note = (
            f"{wishes.squad} of {len(there)} players: planned without {', '.join(left)}; --away names others."
        )
        return tuple(there[: wishes.squad]), (note,)
    extra = wishes.squad - len(there)
    guests = tuple(SquadPlayer(f"P{number}") for number in range(1, extra + 1))
    if not extra:
        return tuple(there), ()
    note = f"{plural(extra, 'player')} without a jersey on the roster stand as P1 and on."
    return (*there, *guests), (note,)


def _card(desk: Desk, kind: Kind, minutes: int, ran_last: frozenset[str]) -> Drill | None:
    """Return the first card of its kind that fits the minutes and was not run last time."""
    fitting = [one for one in desk.library.of_kind(kind) if one.minutes.min <= minutes <= one.minutes.max]
    fresh = [one for one in fitting if one.id not in ran_last]
    return next(iter(fresh or fitting), None)


def parse_pins(raw: Sequence[str]) -> tuple[Pin, ...]:
    """Return pins for texts such as ``two-side-box`` or ``two-side-box=8``.

    Raises:
        Refusal: the minutes are no whole number.

    """
    pins = []
    for text in raw:
        drill, found, minutes = text.partition("=")
        length = whole_minutes(minutes) if found else None
        if found and length is None:
            said = clean_line(text, 60)
            raise Refusal(f"'{said}' pins a drill for no whole number of minutes; write it as DRILL=8.")
        pins.append(Pin(clean_line(drill, 60), length))
    return tuple(pins)


def whole_minutes(text: str) -> int | None:
    """Return the minutes that one to four digits give, None where the text is anything else."""
    return int(text) if re.fullmatch(r"[0-9]{1,4}", text) else None


def find_plan(desk: Desk, date: dt.date | None = None) -> Plan:
    """Return the stored plan of a day, or the next one not yet done.

    Raises:
        Refusal: there is none.

    """
    from planner.desk.season import planned_on

    with desk.reading() as session:
        if date is None:
            plan = queries.next_plan(session, desk.today)
        else:
            known = planned_on(session, date)
            plan = queries.plan_of(session, known.id) if known else None
    if plan is None:
        when = f"for {date.isoformat()}" if date else "ahead"
        raise Refusal(f"There is no plan {when}; build one with 'stopsheet plan'.")
    return plan
