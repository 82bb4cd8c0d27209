"""The assistant's card: the same plan for one basket, with the set-up to read and the faults to look for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any, Literal

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.paper.files import MADE_BY
from planner.paper.printable import day_in_words, paper_size, printable
from planner.paper.rows import SheetNotes, rows_of
from planner.paper.sheet import Printed
from planner.paper.typesetter import typeset
from planner.problem import Refusal
from planner.text import plural

_NAMES = {"A": "Half A", "B": "Half B", "full": "Whole floor"}
_WORDS = {
    "set_up": "Set-up",
    "see": "See",
    "say": "Say",
    "bring": "Bring",
    "target": "Target:",
    "elsewhere": "Other basket",
    "care": "Safety.",
    "basket": "Assistant's card",
}
_CARE = (
    "Knock to the head or signs of concussion: off the floor at once, back only when cleared by a licensed "
    "professional under local rules. Heat, contact and load: follow local rules."
)


def assistant_card(
    plan: Plan, notes: SheetNotes, paper: Literal["letter", "a4"] = "letter", large: bool = False
) -> Printed:
    """Return the plan as a tagged PDF with one card per basket, each beginning a page of its own.

    A basket's card holds what runs there or on the whole floor; what the other basket does meanwhile takes
    one line. ``large`` starts from large print. The same arguments give the same bytes.

    Raises:
        Refusal: the plan is empty, the paper unknown, or the typesetter missing.

    """
    named = paper_size(paper)
    if not plan.segments:
        raise Refusal("The plan has no segments, so there is nothing to print; build a plan first.")
    baskets = baskets_of(plan)
    team = printable(notes.team, 60) or "Practice"
    day = day_in_words(plan.date)
    end = clock_text(plan.start + plan.minutes)
    inputs = {
        "words": _WORDS,
        "title": f"{team}: assistant's card, {day}",
        "mark": MADE_BY,
        "date": {"year": plan.date.year, "month": plan.date.month, "day": plan.date.day},
        "paper": named,
        "team": team,
        "day": day,
        "hours": f"{clock_text(plan.start)}–{end}, {plural(plan.minutes, 'minute')}",
        "care": _CARE,
        "sizes": [15.0, 14.0] if large else [12.0, 11.5, 11.0, 10.5, 10.0, 9.6],
        "cards": [{"name": _NAMES[one], "rows": _rows(plan, notes, one)} for one in baskets],
    }
    done = typeset("assistant_card.typ", inputs, plan.date)
    return Printed(done.data, done.pages, (), done.notes, float(done.facts["size"]))


def baskets_of(plan: Plan) -> tuple[str, ...]:
    """Return the halves at which something runs by itself; the whole floor where nothing does."""
    halves = {one.half for segment in plan.segments for one in segment.stations} & {"A", "B"}
    return tuple(sorted(halves)) or ("full",)


def _rows(plan: Plan, notes: SheetNotes, basket: str) -> list[dict[str, Any]]:
    segments = [_at(segment, basket) for segment in plan.segments]
    rows = rows_of(replace(plan, segments=tuple(segments)), notes)
    # What stands on the card already, for the group before, is not told again.
    before: dict[str, None] = {}
    for segment, whole, row in zip(segments, plan.segments, rows, strict=True):
        away = bool(whole.stations) and not segment.stations
        row["slim"] = row["slim"] or away
        row["elsewhere"] = away
        row["title"] = row["title"] or printable(segment.title, 90)
        drills = dict.fromkeys(one.drill for one in segment.stations)
        again = bool(drills) and drills == before
        before = drills or before
        for drill, part in zip(drills, row["parts"], strict=False):
            card = None if again else notes.drills.get(drill)
            if again:
                part.update({"cues": [], "target": "", "rule": "", "svg": "", "shape": 1.0})
            part["set_up"] = printable(card.set_up, 700) if card else ""
            part["bring"] = printable(", ".join(card.equipment), 160) if card else ""
            part["faults"] = [
                {"seen": printable(one.seen, 240), "say": printable(one.say, 160)}
                for one in (card.faults[:4] if card else ())
            ]
        if away:
            row["parts"] = []
    return rows


def _at(segment: Segment, basket: str) -> Segment:
    """Return the segment as this basket sees it."""
    here = tuple(one for one in segment.stations if basket == "full" or one.half in {basket, "full"})
    if len(here) == len(segment.stations) or not here:
        return replace(segment, stations=here)
    return replace(segment, stations=here, title=_title(segment, here))


def _title(segment: Segment, here: Sequence[Station]) -> str:
    """Return the titles of what runs here, out of a title that joins those of all drills."""
    drills = list(dict.fromkeys(one.drill for one in segment.stations))
    parts = segment.title.split(" / ")
    if len(parts) != len(drills):
        return segment.title
    wanted: Iterable[str] = (one.drill for one in here)
    kept = set(wanted)
    return " / ".join(title for drill, title in zip(drills, parts, strict=True) if drill in kept)
