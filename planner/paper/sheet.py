"""The court-side sheet: the whole practice on one page, for a clipboard and a pen."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.paper.files import MADE_BY
from planner.paper.printable import day_in_words, paper_size, printable, sentence, shortened
from planner.paper.rows import SheetNotes, Step, equipment_of, ladder, rows_of
from planner.paper.typesetter import Typeset, typeset
from planner.problem import Refusal
from planner.text import listed, plural

__all__ = ["Printed", "SheetNotes", "court_side_sheet"]

_MOST_ON_ONE_PAGE = 30
_SMALLEST_AT_ARMS_LENGTH = 9.6
_CARE = (
    "Knock to the head or signs of concussion: off the floor at once, back only when cleared by a licensed "
    "professional under local rules. Heat, contact and load: follow local rules."
)
_WORDS = {
    "clock": "Clock",
    "min": "Min",
    "what": "What, who, what to say",
    "done": "Ran",
    "score": "Score",
    "of": "of",
    "target": "Target:",
    "why": "Why:",
    "needs": "What costs us most",
    "bring": "Bring",
    "present": "Present",
    "started": "Started",
    "care": "Safety.",
    "notes": "Notes",
}
_LOST = {
    "teaches": "what the drill teaches",
    "why": "the reason",
    "rule": "the scoring rule",
    "picture": "the diagram",
    "who": "the groups",
    "target": "the target",
}
_CUES_LEFT = ("any cue", "more than one cue", "the third cue")
_TIMES_NAMED = 5


@dataclass(frozen=True, slots=True)
class Printed:
    """A printed document; ``dropped`` says in sentences what did not fit, ``notes`` what else gave way.

    ``size`` is the text size in points.
    """

    data: bytes
    pages: int
    dropped: tuple[str, ...]
    notes: tuple[str, ...] = ()
    size: float = 0.0


def court_side_sheet(
    plan: Plan,
    notes: SheetNotes,
    paper: Literal["letter", "a4"] = "letter",
    large: bool = False,
    why: bool = True,
    ppi: int | None = None,
) -> Printed:
    """Return the plan as a PDF of one page (up to 30 segments always; more if they fit at 8.4 pt).

    ``large`` starts from large print (14 pt), ``why`` prints the reasons. With ``ppi`` the page is a PNG of
    so many pixels an inch. The same arguments give the same bytes.

    Raises:
        Refusal: the plan is empty, the paper unknown, or the typesetter missing.

    """
    named = paper_size(paper)
    if not plan.segments:
        raise Refusal("The plan has no segments, so there is nothing to print; build a plan first.")
    steps = ladder(plan, large=large, whole_page=len(plan.segments) <= _MOST_ON_ONE_PAGE)
    inputs = _inputs(plan, notes, named, large, why)
    inputs["ladder"] = [one.as_json() for one in steps]
    done, undrawn = _set(inputs, plan, notes, ppi)
    lost = [steps[n] for n in done.facts["gone"]]
    size, pages = float(done.facts["size"]), done.pages
    dropped = _said(lost, plan) + undrawn
    if size < _SMALLEST_AT_ARMS_LENGTH:
        dropped += (
            f"The text is {size:g} points: hold it nearer than arm's length, or plan fewer segments.",
        )
    if pages > 1:
        dropped += (f"The plan runs over {pages} pages.",)
    return Printed(done.data, pages, dropped, done.notes, size)


def _set(
    inputs: dict[str, Any], plan: Plan, notes: SheetNotes, ppi: int | None
) -> tuple[Typeset, tuple[str, ...]]:
    try:
        return typeset("court_side.typ", inputs, plan.date, ppi), ()
    except Refusal:
        if not notes.diagrams:
            raise
    inputs = {**inputs, "rows": rows_of(plan, notes, with_diagrams=False), "pictures": [0]}
    return typeset("court_side.typ", inputs, plan.date, ppi), ("The diagrams could not be drawn.",)


def _inputs(plan: Plan, notes: SheetNotes, named: str, large: bool, why: bool) -> dict[str, Any]:
    team = printable(notes.team, 60) or "Practice"
    day = day_in_words(plan.date)
    under = [printable(one, 110) for one in (notes.practice, notes.next_game)]
    rows = rows_of(plan, notes)
    drawn = any(part["svg"] for row in rows for part in row["parts"])
    end = clock_text(plan.start + plan.minutes)
    return {
        "words": _WORDS,
        "title": f"{team}: practice plan, {day}",
        "mark": MADE_BY,
        "date": {"year": plan.date.year, "month": plan.date.month, "day": plan.date.day},
        "lang": notes.lang if re.fullmatch("[a-z]{2,3}", notes.lang) else "en",
        "paper": named,
        "clip": min(max(notes.clip, 8.0), 40.0),
        "team": team,
        "under": " · ".join(one for one in under if one),
        "day": day,
        "hours": f"{clock_text(plan.start)}–{end}, {plural(plan.minutes, 'minute')}",
        "present": [printable(one, 12) for one in notes.present[:40]],
        "needs": [sentence(printable(one, 150)) for one in notes.needs[:3]],
        "equipment": printable(equipment_of(plan, notes.drills), 260),
        "care": _CARE,
        "cautions": " ".join(sentence(shortened(one, 130)) for one in dict.fromkeys(notes.cautions[:4])),
        "rows": rows,
        "sizes": _sizes(16.0, 14.0) if large else _sizes(12.0, _SMALLEST_AT_ARMS_LENGTH),
        "pictures": [33, 27] if drawn else [0],
        "why": why,
        "must": len(plan.segments) <= _MOST_ON_ONE_PAGE,
    }


def _sizes(largest: float, smallest: float) -> list[float]:
    steps = round((largest - smallest) / 0.2)
    return [round(largest - 0.2 * n, 1) for n in range(steps + 1)]


def _said(lost: Sequence[Step], plan: Plan) -> tuple[str, ...]:
    """Return one sentence for each kind of thing that was dropped, with the clock times of its rows."""
    rows: dict[str, list[int]] = {}
    fewest: dict[int, int] = {}
    for one in lost:
        if one.row is None or one.key == "tight":
            continue
        if one.key == "cues":
            fewest[one.row] = min(one.to, fewest.get(one.row, 3))
            continue
        rows.setdefault(_LOST[one.key], []).append(one.row)
    for row, left in fewest.items():
        rows.setdefault(_CUES_LEFT[left], []).append(row)
    return tuple(f"No room for {what} at {_times(where, plan)}." for what, where in rows.items())


def _times(where: Sequence[int], plan: Plan) -> str:
    clocks = [clock_text(plan.segments[n].start) for n in sorted(set(where))]
    more = len(clocks) - _TIMES_NAMED
    return listed([*clocks[:_TIMES_NAMED], f"{more} more"] if more > 1 else clocks)
