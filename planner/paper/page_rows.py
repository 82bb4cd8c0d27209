"""The court-side page's own list of the practice; it reads without a script too, and all text is escaped."""

from __future__ import annotations

import html
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.drills.card import Drill, Scoring
from planner.paper.drawing import inline_drawing
from planner.paper.printable import printable, sentence, without_breaks
from planner.paper.rows import SLIM, SheetNotes, equipment_of

_CARE = (
    "Knock to the head or signs of concussion: off the floor at once, back only when cleared by a licensed "
    "professional under local rules. Heat, contact and load: follow local rules."
)
_HALVES = {"A": "half A", "B": "half B", "full": "full court"}
_EVERYBODY = frozenset({"", "all", "everyone"})


@dataclass(frozen=True, slots=True)
class Picture:
    """One diagram: SVG text, the words for those who cannot see it, and what stands under it."""

    svg: str
    words: str
    caption: str = ""


def said(raw: str, limit: int) -> str:
    """Return text from outside as one clean line, not yet escaped."""
    return without_breaks(printable(raw, limit))


def tag(name: str, inside: str, attributes: Mapping[str, str] | None = None) -> str:
    """Return an element around finished markup; attribute values are escaped here."""
    said_ = "".join(f' {key}="{html.escape(value)}"' for key, value in (attributes or {}).items())
    return f"<{name}{said_}>{inside}</{name}>"


def everyone(plan: Plan) -> tuple[str, ...]:
    """Return the jerseys of the plan, in the order of their numbers."""
    there = {jersey for one in plan.segments for station in one.stations for jersey in station.players}
    return tuple(sorted(there, key=lambda one: (int(one) if one.isdecimal() else 1000, one)))


def segment_row(
    segment: Segment,
    squad: Sequence[str],
    notes: SheetNotes,
    pictures: Mapping[str, Sequence[Picture]],
    *,
    why: bool,
) -> str:
    """Return one segment of the list: its line, and in it (unless a line is enough) all about its drills."""
    at = clock_text(segment.start)
    line = (
        f'<span class="at">{at}</span>'
        + tag("span", _name(segment) + f'<span class="was" data-at="{at}" hidden></span>', {"class": "name"})
        + f'<span class="long">{segment.minutes} min</span>'
    )
    if segment.kind in SLIM or not segment.stations:
        about = sentence(said(segment.why, 240)) if segment.kind == "fixed" else ""
        content = tag("p", html.escape(about), {"dir": "auto"}) if about else ""
        return tag("li", tag("div", line, {"class": "line"}) + content) + "\n"
    cues, rest = _about(segment, squad, notes, pictures, why=why)
    inside = tag("div", cues, {"data-part": "cues"}) + tag("div", rest, {"data-part": "rest"})
    body = tag("summary", line, {"class": "line"}) + tag("div", inside, {"class": "inside"})
    return f"<li><details open>{body}</details></li>\n"


def _name(segment: Segment) -> str:
    return tag("span", html.escape(said(segment.title, 90) or segment.kind), {"dir": "auto"})


def _about(
    segment: Segment,
    squad: Sequence[str],
    notes: SheetNotes,
    pictures: Mapping[str, Sequence[Picture]],
    *,
    why: bool,
) -> tuple[str, str]:
    """Return the cues of a segment's drills, and the rest about them."""
    by_drill: dict[str, list[Station]] = {}
    for one in segment.stations:
        by_drill.setdefault(one.drill, []).append(one)
    cues, rest = "", ""
    for drill, stations in by_drill.items():
        card = notes.drills.get(drill)
        title = html.escape(said(card.title if card else drill, 90))
        heading = tag("h3", title, {"dir": "auto"}) if len(by_drill) > 1 else ""
        cues += heading + _cues(card)
        rest += heading + "".join(_group(one, squad) for one in stations)
        rest += _facts(card, segment.why if why and not heading else "")
        rest += "".join(_figure(one) for one in pictures.get(drill, ()))
        rest += _manual(card)
    return cues, rest


def _cues(card: Drill | None) -> str:
    lines = [tag("li", html.escape(said(one, 90)), {"dir": "auto"}) for one in (card.cues if card else ())]
    return tag("ul", "".join(lines[:4]), {"class": "cues"}) if lines else ""


def _group(one: Station, squad: Sequence[str]) -> str:
    where = html.escape(_HALVES.get(one.half, said(one.half, 12)))
    if set(one.players) == set(squad):
        return tag("p", f'<span class="who">All {len(squad)}</span>, {where}', {"class": "group"})
    name = said(one.group, 24)
    named = f'<span class="who">{html.escape(name)}</span>, ' if name not in _EVERYBODY | {one.half} else ""
    shirts = "".join(tag("li", html.escape(said(jersey, 12))) for jersey in one.players)
    label = {"class": "jerseys", "aria-label": "Jerseys"}
    return tag("div", tag("p", named + where) + tag("ul", shirts, label), {"class": "group"})


def _facts(card: Drill | None, why: str) -> str:
    found = [("Target", _target(card.scoring))] if card and card.scoring else []
    if card and card.scoring:
        found.append(("Score", sentence(said(card.scoring.rule, 240))))
    if card and card.equipment:
        found.append(("Bring", ", ".join(said(one, 40) for one in card.equipment)))
    if card and card.cautions:
        found.append(("Mind", " ".join(sentence(said(one, 240)) for one in card.cautions[:2])))
    found.append(("Why", sentence(said(why, 240))))
    rows = (
        tag("dt", name) + tag("dd", html.escape(words), {"dir": "auto"}) for name, words in found if words
    )
    return tag("dl", "".join(rows))


def _target(scoring: Scoring) -> str:
    of = f" of {scoring.tries}" if scoring.tries is not None else ""
    return f"{scoring.target} {said(scoring.counts, 40)}{of}"


def _figure(one: Picture) -> str:
    drawn = inline_drawing(one.svg, said(one.words, 1_000) or "Diagram")
    caption = html.escape(said(one.caption, 200))
    under = tag("figcaption", caption, {"dir": "auto"}) if caption else ""
    return tag("figure", drawn + under) if drawn else ""


def _manual(card: Drill | None) -> str:
    if card is None:
        return ""
    faults = [(f"If: {said(one.seen, 120)}", f"Say: {said(one.say, 120)}") for one in card.faults[:6]]
    found = [("Set-up", said(card.set_up, 1_200)), ("How it runs", said(card.how, 1_200)), *faults]
    rows = "".join(
        tag("dt", html.escape(name), {"dir": "auto"}) + tag("dd", html.escape(words), {"dir": "auto"})
        for name, words in found
        if words
    )
    return (
        tag("details", "<summary>How it runs</summary>" + tag("dl", rows), {"class": "quiet"}) if rows else ""
    )


def foot(plan: Plan, notes: SheetNotes) -> str:
    """Return what stands under the list: what to bring, what costs us most, and care."""
    parts = [("Bring", equipment_of(plan, notes.drills), 400)]
    parts += [("Costs us most", "; ".join(notes.needs[:3]), 400)] if notes.needs else []
    lines = "".join(
        tag("dt", name) + tag("dd", html.escape(said(words, limit)), {"dir": "auto"})
        for name, words, limit in parts
        if words
    )
    return tag("dl", lines) + "\n" + tag("p", html.escape(_CARE), {"class": "care"}) + "\n"
