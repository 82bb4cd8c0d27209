"""A stored plan changed by hand: each edit is kept, and it can be undone and redone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from planner.build.advice import Consequences, consequences, judged
from planner.build.brief import Pin
from planner.build.edit import Edit, Hand, unit_at
from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.desk.changes import seen_wishes, stored_wishes
from planner.desk.desk import Desk
from planner.desk.practice import make_brief, store_plan
from planner.desk.wishes import Wishes, wishes_from
from planner.drills.card import Drill
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line


@dataclass(frozen=True, slots=True)
class Edited:
    """A plan edited by hand, what was done in words, and what it brings."""

    before: Plan
    plan: Plan
    words: str
    brought: Consequences


Made = Callable[[Hand], Edit]


def edit_plan(desk: Desk, plan: Plan, made: Made, words: str, keep: bool = True) -> Edited:
    """Change a stored plan by hand, as ``made`` from what the hand knows; ``keep`` stores it.

    Raises:
        Refusal: the plan is no longer stored, the edit cannot be, or a locked stretch would move.

    """
    wishes, seen = seen_wishes(desk, plan)
    hand = _hand(desk, plan, wishes)
    after = judged(plan, made(hand)(plan), hand.brief)
    if keep:
        locks = tuple(one for one in after.segments if one.start in hand.locked)
        wished = replace(wishes, start=plan.start, locks=locks, by_hand=True)
        store_plan(desk, after, wished, seen=seen, words=f"by hand: {words}")
    return Edited(plan, after, words, consequences(plan, after, hand.brief))


def lock(desk: Desk, plan: Plan, number: int) -> str:
    """Let a stretch stay at its time, by hand and when the plan is built anew; or let it go again."""
    wishes = stored_wishes(desk, plan)
    unit = unit_at(plan, number)
    chosen = plan.segments[unit.first : unit.last + 1]
    one = chosen[0]
    if one.kind not in {"drill", "fixed"}:
        raise Refusal(f"'{one.title}' is no drill and no block; only these are locked.")
    starts = {each.start for each in chosen}
    others = tuple(each for each in wishes.locks if each.start not in starts)
    locked = len(others) == len(wishes.locks)
    said = f"{one.title} at {clock_text(one.start)} {'locked' if locked else 'let go'}"
    locks = (*others, *chosen) if locked else others
    store_plan(desk, plan, replace(wishes, start=plan.start, locks=locks), words=f"by hand: {said}")
    return said


def pin_as_it_is(desk: Desk, plan: Plan, number: int) -> str:
    """Keep a drill, for the minutes it has, when the plan is built anew; nothing changes now."""
    unit = unit_at(plan, number)
    one = plan.segments[unit.first]
    if len(one.drills) != 1:
        raise Refusal(f"'{one.title}' is no single drill; lock it, so that it stays.")
    drill = one.stations[0].drill
    wishes = stored_wishes(desk, plan)
    pins = (*(each for each in wishes.pins if each.drill != drill), Pin(drill, one.minutes))
    kept = tuple(each for each in wishes.keep_out if each != drill)
    said = f"{drill} pinned for {one.minutes} min"
    store_plan(
        desk, plan, replace(wishes, start=plan.start, pins=pins, keep_out=kept), words=f"by hand: {said}"
    )
    return said


def redo(desk: Desk) -> str:
    """Do again what was undone last on a plan, if the plan still stands as it stood then.

    Raises:
        Refusal: nothing was undone, or the plan was changed since.

    """
    with desk.reading() as session:
        for entry in queries.journal(session, 200):
            payload = entry.payload
            if entry.verb != "plan" or not entry.undone or "after" not in payload:
                continue
            after = queries.unpack_plan(payload["after"])
            now = queries.plan_on(session, after.date, after.start)
            info = queries.find_practice(session, after.date, after.start)
            stands = queries.pack_plan(now) if now else None
            wishes = dict(info.wishes) if info and now else {}
            if stands == payload["before"] and (not now or wishes == payload["wishes"]):
                found = (after, wishes_from(payload["after_wishes"]), entry.words)
                break
        else:
            raise Refusal("There is nothing to do again on a plan.")
    plan, wishes_then, words = found
    store_plan(desk, plan, wishes_then, words=words)
    return words


def place_of(plan: Plan, said: str) -> int:
    """Return the number (from 0) of the segment meant by a clock time, a drill or a number from 1.

    Raises:
        Refusal: nothing in the plan is meant.

    """
    text = clean_line(said, 60)
    for number, one in enumerate(plan.segments):
        if text in {clock_text(one.start), clock_text(one.start).lstrip("0"), *one.drills}:
            return number
    if text.isascii() and text.isdigit() and 1 <= int(text) <= len(plan.segments):
        return int(text) - 1
    raise Refusal(f"Nothing in the plan is '{text}'; say a clock time such as {clock_text(plan.start)}.")


def card_of(desk: Desk, drill: str) -> Drill:
    """Return the card of a drill.

    Raises:
        Refusal: there is none.

    """
    name = clean_line(drill, 60)
    card = desk.library.by_id.get(name)
    if card is None:
        raise Refusal(f"There is no drill '{name}'; 'stopsheet drills list' shows their ids.")
    return card


def locked_starts(desk: Desk, plan: Plan) -> frozenset[int]:
    """Return the minutes of the day at which something in the plan is locked."""
    return frozenset(one.start for one in stored_wishes(desk, plan).locks)


def _hand(desk: Desk, plan: Plan, wishes: Wishes) -> Hand:
    brief, _, _ = make_brief(desk, replace(wishes, date=plan.date, start=plan.start))
    locks: tuple[Segment, ...] = wishes.locks
    return Hand(brief, frozenset(one.start for one in locks))
