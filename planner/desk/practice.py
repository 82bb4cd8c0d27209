"""Tomorrow: from what the store knows and the coach wishes to a stored plan."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from planner.build.brief import Brief, Pin, Rules, SquadPlayer, Weight
from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.desk.equipment import equipment_in
from planner.desk.film_session import film_block
from planner.desk.locks import held, put_back
from planner.desk.needs import FirstIn, assess_needs
from planner.desk.team import clean_jersey
from planner.desk.versions import Overtaken, keep_overtaken, version_of
from planner.desk.wishes import Wishes, parse_pins, whole_minutes
from planner.drills.card import Drill, Kind
from planner.need.estimate import Needs
from planner.problem import Refusal
from planner.store import queries
from planner.text import plural

if TYPE_CHECKING:
    from sqlmodel import Session

__all__ = [
    "Built",
    "Wishes",
    "build_plan",
    "doubts_of",
    "find_plan",
    "make_brief",
    "parse_pins",
    "store_plan",
    "whole_minutes",
    "why_not",
]

DEFAULT_MINUTES = 90
DEFAULT_START = 16 * 60 + 30
LONGEST = 300
"""Minutes of the longest practice that is planned."""

DEFAULT_WAITING = 0.3
"""Part of a minute lost on a player who waits for his turn: our choice, no source."""

MOST_PLAYERS = 99
MOST_LOAD = 5000
"""CR-10 rating x minutes."""


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


def build_plan(
    desk: Desk, wishes: Wishes, keep: bool = True, seen: int | None = None, near: Plan | None = None
) -> Built:
    """Build the best plan for the wishes; ``keep`` stores it in place of an earlier one for that time.

    ``seen`` is the version of the plan that the coach looked at when wishing (None: the one that stands now).
    With ``near``, a plan that stands, the answer comes at once and may stay unproven.

    Raises:
        Refusal: the date is past, the practice was run already, or the wishes cannot be met.
        Overtaken: another coach changed the plan meanwhile; this one is kept beside it.

    """
    from planner.build.make import make_plan
    from planner.build.near import Quick

    wishes = replace(wishes, by_hand=False)
    if wishes.date < desk.today:
        raise Refusal(
            f"{wishes.date.isoformat()} is past (today is {desk.today.isoformat()}); plan a day to come."
        )
    brief, needs, notes = make_brief(desk, wishes)
    _refuse_too_late(brief)
    stands = _refuse_logged(desk, brief)
    seen = stands if seen is None else seen
    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
    began = time.perf_counter()
    quick = Quick(near) if near else None
    plan = put_back(make_plan(held(brief, wishes.locks), titles, quick), wishes.locks)
    plan = replace(plan, seconds=round(time.perf_counter() - began, 3), warnings=(*notes, *plan.warnings))
    number = store_plan(desk, plan, wishes, needs, seen) if keep else None
    return Built(plan, brief, needs, number, notes, doubts_of(desk, brief, plan, needs))


def doubts_of(desk: Desk, brief: Brief, plan: Plan, needs: Needs) -> tuple[str, ...]:
    """Say where the plan hangs on a guessed cost; before any film all of it does, which the notes say."""
    from planner.build.doubt import doubts

    if not needs.games:
        return ()
    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
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


def _refuse_too_late(brief: Brief) -> None:
    end = brief.start + brief.minutes
    for one in brief.squad:
        if one.arrives >= end:
            raise Refusal(
                f"{one.jersey} comes at {clock_text(one.arrives)}, practice ends at {clock_text(end)};"
                f" say --away {one.jersey}."
            )
    if all(one.arrives > brief.start for one in brief.squad):
        raise Refusal("Nobody is there when practice begins; begin later with --start.")


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
    desk: Desk,
    plan: Plan,
    wishes: Wishes,
    needs: Needs | None = None,
    seen: int | None = None,
    words: str = "",
) -> int:
    """Store a plan in place of an earlier one for its time; return the practice's number.

    The largest of the needs it was built for are kept with it: the sheet says them as they stood then.
    ``seen`` is the version the coach worked from (0: there was none; None: whatever stands is covered).
    ``words`` say what was done by hand, for undo.

    Raises:
        Overtaken: another version stands by now; this plan is kept beside it.

    """
    row = wishes.as_json()
    if needs is not None:
        row["costs"] = [[one.principle, one.points_per_100] for one in needs.principles[:COSTS_KEPT]]
    done = desk.work(lambda session: _store(desk, session, plan, row, seen, words))
    if isinstance(done, Overtaken):
        raise done
    return done


def _store(
    desk: Desk, session: Session, plan: Plan, row: dict[str, Any], seen: int | None, words: str
) -> int | Overtaken:
    before = queries.plan_on(session, plan.date, plan.start)
    earlier = queries.find_practice(session, plan.date, plan.start)
    if seen is not None and version_of(earlier) != seen:
        return keep_overtaken(desk, session, plan, row, earlier)
    if words and earlier is not None and "costs" in earlier.wishes:
        row["costs"] = earlier.wishes["costs"]
    number = queries.save_plan(session, plan, row)
    payload = {
        "practice": number,
        "before": queries.pack_plan(before) if before else None,
        "wishes": dict(earlier.wishes) if earlier else {},
        "after": queries.pack_plan(plan),
        "after_wishes": row,
    }
    said = words or f"plan for {plan.date.isoformat()} {clock_text(plan.start)}"
    desk.note(session, "plan", said, payload)
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
    if wishes.film:
        fixed = (film_block(desk, *wishes.film, int(start), needs), *fixed)
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
        stations=wishes.stations,
        station_pins=wishes.station_pins,
        group_by=wishes.group_by or "need",
        first_in=FirstIn(desk, wishes.date),
        equipment=equipment_in(settings),
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
        rotation_minutes=int(settings.get("rotation-minutes", plain.rotation_minutes)),
        waiting=float(settings.get("waiting", DEFAULT_WAITING)),
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
    comes = _late(wishes, away, {one.jersey for one in roster})
    there = [
        SquadPlayer(one.jersey, one.position, one.name, comes.get(one.jersey, 0))
        for one in roster
        if one.jersey not in away
    ]
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


def _late(wishes: Wishes, away: set[str], roster: set[str]) -> dict[str, int]:
    comes = dict(wishes.late)
    for jersey in comes:
        if jersey not in roster:
            raise Refusal(f"No player wears {jersey}; 'stopsheet team' shows the roster.")
        if jersey in away:
            raise Refusal(f"{jersey} is away and comes late; drop one of the two.")
    return comes


def _card(desk: Desk, kind: Kind, minutes: int, ran_last: frozenset[str]) -> Drill | None:
    """Return the first card of its kind that fits the minutes and was not run last time."""
    fitting = [one for one in desk.library.of_kind(kind) if one.minutes.min <= minutes <= one.minutes.max]
    fresh = [one for one in fitting if one.id not in ran_last]
    return next(iter(fresh or fitting), None)


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
