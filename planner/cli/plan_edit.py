"""``stopsheet plan edit``: changing the stored plan by hand."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable, Sequence

from planner.build.edit import plain
from planner.build.plan import Plan, Segment
from planner.cli.show import say, say_json
from planner.clock import clock_text, parse_date
from planner.desk import hand
from planner.desk.desk import UNDO_HINT, Desk
from planner.desk.practice import find_plan
from planner.desk.printing import plan_json
from planner.desk.undo import undo_last
from planner.desk.wishes import whole_minutes
from planner.problem import Refusal
from planner.text import clean_line

USAGE = (
    "stopsheet plan edit longer|shorter WHERE [MIN], earlier|later WHERE, swap WHERE DRILL [OUT],"
    " insert WHERE DRILL|water|set-up|TITLE [MIN], remove|pin|lock WHERE, show, undo or redo"
)
MOST_BY = 60


def edit(desk: Desk, arguments: Namespace) -> int:
    """Do one edit and say what it brings; WHERE is a clock time, a drill or the number of a row."""
    words = [clean_line(one, 80) for one in arguments.edit]
    if words[0] != "edit":
        raise Refusal(f"'{words[0]}' is one word too many; see 'stopsheet plan -h'.")
    what = words[1] if len(words) > 1 else "show"
    if what in {"undo", "redo"}:
        say(undo_last(desk) if what == "undo" else f"Done again: {hand.redo(desk)}.")
        return 0
    day = None if arguments.on == "tomorrow" else parse_date(arguments.on, desk.today)
    plan = find_plan(desk, day)
    if what == "show":
        return _show(desk, plan, arguments)
    if what not in _VERBS or len(words) < 3:
        raise Refusal(f"That is no edit; write it as: {USAGE}.")
    place = _end_or_place(plan, words[2]) if what == "insert" else hand.place_of(plan, words[2])
    if what in {"lock", "unlock", "pin"}:
        said = (hand.pin_as_it_is if what == "pin" else hand.lock)(desk, plan, place)
        say(f"{said[0].upper()}{said[1:]}. {UNDO_HINT}.")
        return 0
    made, said = _VERBS[what](desk, plan, place, words[3:])
    done = hand.edit_plan(desk, plan, made, said, keep=not arguments.what_if)
    if arguments.json:
        say_json({**plan_json(desk, done.plan), "edit": {"what": said, **done.brought.as_json()}})
        return 0
    tell(done)
    say("Only looked at; nothing was stored." if arguments.what_if else f"Stored. {UNDO_HINT}.")
    return 0


def tell(done: hand.Edited) -> None:
    """Show what an edit did and what it brings."""
    say(f"{done.words[0].upper()}{done.words[1:]}.")
    for line in done.brought.in_words():
        say(line)


def _show(desk: Desk, plan: Plan, arguments: Namespace) -> int:
    if arguments.json:
        say_json(plan_json(desk, plan))
        return 0
    locked = hand.locked_starts(desk, plan)
    for number, one in enumerate(plan.segments, 1):
        mark = " (locked)" if one.start in locked else ""
        drills = f"  {' + '.join(sorted(one.drills))}" if one.drills else ""
        say(f"{number:3}  {clock_text(one.start)} {one.minutes:3}  {clean_line(one.title, 80)}{drills}{mark}")
    say(f"Change it with: {USAGE}.")
    return 0


def _end_or_place(plan: Plan, said: str) -> int:
    return len(plan.segments) if said in {"end", "last"} else hand.place_of(plan, said)


def _by(rest: Sequence[str]) -> int:
    minutes = whole_minutes(rest[0]) if rest else 1
    if not minutes or minutes > MOST_BY:
        raise Refusal(f"'{rest[0]}' is no number of minutes to change by; give 1 to {MOST_BY}.")
    return minutes


Verb = Callable[[Desk, Plan, int, Sequence[str]], tuple[hand.Made, str]]


def _resize(sign: int) -> Verb:
    def verb(_: Desk, plan: Plan, place: int, rest: Sequence[str]) -> tuple[hand.Made, str]:
        by = _by(rest)
        word = "longer" if sign > 0 else "shorter"
        return (lambda h: h.resize(place, sign * by)), f"{_named(plan, place)} {by} min {word}"

    return verb


def _move(by: int) -> Verb:
    def verb(_: Desk, plan: Plan, place: int, _rest: Sequence[str]) -> tuple[hand.Made, str]:
        word = "later" if by > 0 else "earlier"
        return (lambda h: h.move(place, by)), f"{_named(plan, place)} {word}"

    return verb


def _swap(desk: Desk, plan: Plan, place: int, rest: Sequence[str]) -> tuple[hand.Made, str]:
    if not rest:
        raise Refusal("Say which drill goes in: stopsheet plan edit swap WHERE DRILL.")
    card = hand.card_of(desk, rest[0])
    out = rest[1] if len(rest) > 1 else None
    return (lambda h: h.swap(place, card, out)), f"{card.id} in place of {out or _named(plan, place)}"


def _insert(desk: Desk, plan: Plan, place: int, rest: Sequence[str]) -> tuple[hand.Made, str]:
    if not rest:
        raise Refusal("Say what goes in: stopsheet plan edit insert WHERE DRILL|water|set-up|TITLE [MIN].")
    what, minutes = rest[0], whole_minutes(rest[1]) if len(rest) > 1 else None
    if len(rest) > 1 and not minutes:
        raise Refusal(f"'{rest[1]}' is no whole number of minutes.")
    card = desk.library.by_id.get(what)
    where = f"before {_named(plan, place)}" if place < len(plan.segments) else "at the end"
    if card is not None:
        return (lambda h: h.insert(place, h.drill(card, minutes))), f"{card.id} {where}"
    segment = _plain(what, minutes)
    return (lambda h: h.insert(place, segment)), f"{segment.title.lower()} {where}"


def _plain(what: str, minutes: int | None) -> Segment:
    usual = {"water": 2, "set-up": 1}
    if what not in usual and minutes is None:
        raise Refusal(f"There is no drill '{what}'; for a block of that name say its minutes too.")
    return plain(what, minutes or usual[what], what)


def _remove(_: Desk, plan: Plan, place: int, _rest: Sequence[str]) -> tuple[hand.Made, str]:
    return (lambda h: h.remove(place)), f"{_named(plan, place)} out"


def _named(plan: Plan, place: int) -> str:
    one = plan.segments[place]
    return f"{'+'.join(sorted(one.drills)) or one.title.lower()} at {clock_text(one.start)}"


def _mark(*_: object) -> tuple[hand.Made, str]:
    raise AssertionError


_VERBS: dict[str, Verb] = {
    "longer": _resize(1),
    "shorter": _resize(-1),
    "earlier": _move(-1),
    "later": _move(1),
    "swap": _swap,
    "insert": _insert,
    "remove": _remove,
    "lock": _mark,
    "unlock": _mark,
    "pin": _mark,
}
