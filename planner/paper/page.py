"""The court-side page: the plan as one HTML file that runs on a phone without a network."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.paper.files import MADE_BY
from planner.paper.page_rows import Picture, everyone, foot, said, segment_row, tag
from planner.paper.phone import plan_digest
from planner.paper.printable import day_in_words
from planner.paper.rows import SLIM, SheetNotes
from planner.problem import Refusal

__all__ = ["RATING_WORDS", "Picture", "court_side_page"]

RATING_WORDS: Mapping[int, str] = {
    0: "Rest",
    1: "Very, very easy",
    2: "Easy",
    3: "Moderate",
    4: "Somewhat hard",
    5: "Hard",
    7: "Very hard",
    10: "Maximal",
}
"""What the CR-10 ratings are called: the list of Foster et al., J Strength Cond Res 15(1):109-115, 2001."""

_HERE = Path(__file__).resolve().parent / "templates"
_SCRIPTS = ("page_time.js", "page_finish.js", "page.js")
_SLOT = re.compile(r"\{\{([a-z]+)\}\}")


def court_side_page(
    plan: Plan,
    notes: SheetNotes,
    pictures: Mapping[str, Sequence[Picture]] | None = None,
    *,
    why: bool = True,
) -> bytes:
    """Return the page as UTF-8 HTML; the same arguments give the same bytes.

    ``pictures`` maps drill id to its diagrams in order; without it the sheet's own diagrams are used. The
    page asks nothing of any network, and its own policy forbids it to.

    Raises:
        Refusal: the plan is empty.

    """
    if not plan.segments:
        raise Refusal("The plan has no segments, so there is nothing to print; build a plan first.")
    shown = pictures if pictures is not None else _of_sheet(notes)
    style = _text("page.css")
    script = "(() => {\n" + '"use strict";\n' + "\n".join(_text(one) for one in _SCRIPTS) + "})();"
    squad = everyone(plan)
    rows = [segment_row(one, squad, notes, shown, why=why) for one in plan.segments]
    under = (said(one, 110) for one in (day_in_words(plan.date), notes.practice, notes.next_game) if one)
    team = said(notes.team, 60) or "Practice"
    slots = {
        "lang": notes.lang if re.fullmatch("[a-z]{2,3}", notes.lang) else "en",
        "policy": html.escape(_policy(style, script)),
        "mark": MADE_BY,
        "title": html.escape(f"{team}, {plan.date.isoformat()} {clock_text(plan.start)}"),
        "css": style,
        "js": script,
        "data": _data(plan, notes),
        "team": html.escape(team),
        "under": " · ".join(html.escape(one) for one in under),
        "rows": "".join(rows),
        "foot": foot(plan, notes),
        "absent": _absent(squad),
        "rating": _rating(),
    }
    return _SLOT.sub(lambda found: slots[found[1]], _text("page.html")).encode()


def _text(name: str) -> str:
    return (_HERE / name).read_text("utf-8")


def _of_sheet(notes: SheetNotes) -> dict[str, tuple[Picture, ...]]:
    texts = notes.diagram_texts
    return {drill: (Picture(svg, texts.get(drill, "")),) for drill, svg in notes.diagrams.items()}


def _policy(style: str, script: str) -> str:
    """Return the page's content security policy: its own style and script by their hashes, nothing else."""
    return (
        f"default-src 'none'; script-src {_hash(script)}; style-src {_hash(style)}; img-src data:; "
        "base-uri 'none'; form-action 'none'; require-trusted-types-for 'script'; trusted-types 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _data(plan: Plan, notes: SheetNotes) -> str:
    """Return what the script reads, as JSON that cannot end its element."""
    data = {
        "digest": plan_digest(plan),
        "made": MADE_BY,
        "date": plan.date.isoformat(),
        "day": day_in_words(plan.date),
        "start": plan.start,
        "minutes": plan.minutes,
        "jerseys": _jerseys(everyone(plan)),
        "segments": [_segment(one, notes) for one in plan.segments],
    }
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _segment(one: Segment, notes: SheetNotes) -> dict[str, Any]:
    card = notes.drills.get(one.stations[0].drill) if one.stations else None
    scoring = card.scoring if card else None
    # A log holds one score per segment, that of its first drill.
    scored = [s for s in one.stations if s.drill == one.stations[0].drill]
    several = len(scored) > 1
    return {
        "title": said(one.title, 90) or one.kind,
        "minutes": one.minutes,
        "slim": one.kind in SLIM,
        "groups": [said(s.group, 24) if several else "" for s in scored] if one.kind == "drill" else [],
        "counts": said(scoring.counts, 40) if scoring else "stops",
        "target": scoring.target if scoring else None,
        "of": scoring.tries if scoring else None,
    }


def _jerseys(squad: Sequence[str]) -> list[str]:
    return list(dict.fromkeys(said(one, 12) for one in squad))


def _absent(squad: Sequence[str]) -> str:
    if not squad:
        return ""
    ticks = "".join(_tick("checkbox", "absent", one, one) for one in _jerseys(squad))
    return _fields("Who was missing", ticks, "")


def _rating() -> str:
    ticks = "".join(
        _tick("radio", "rating", str(n), f"{n} {RATING_WORDS[n]}" if n in RATING_WORDS else str(n))
        for n in range(11)
    )
    return _fields("How hard was it? Ask about half an hour after", ticks, "rating")


def _fields(legend: str, ticks: str, name: str) -> str:
    inside = tag("legend", html.escape(legend)) + tag("div", ticks, {"class": "ticks"})
    return tag("fieldset", inside, {"class": name} if name else {}) + "\n"


def _tick(kind: str, name: str, value: str, words: str) -> str:
    box = f'<input type="{kind}" name="{name}" value="{html.escape(value)}" autocomplete="off">'
    return tag("label", box + html.escape(words), {"class": "tick"})
