"""Drill cards on paper: one drill a page, its diagrams large, a key to the marks on every page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from planner.court.describe import describe
from planner.court.frame import Frame
from planner.court.legend import legend
from planner.court.sheet import CARD, THUMB
from planner.court.svg import frame_svg
from planner.drills.card import SHARE_UNIT, Drill
from planner.drills.vocabulary import Stage
from planner.paper.files import MADE_BY
from planner.paper.printable import paper_size, printable, sentence
from planner.paper.sheet import Printed
from planner.paper.typesetter import typeset
from planner.problem import Refusal

MOST_CARDS = 150
_WORDS = {
    "set_up": "Set-up",
    "how": "How it runs",
    "say": "Say",
    "see": "See",
    "then": "Then say",
    "score": "Score",
    "target": "Target",
    "rounds": "Rounds",
    "few": "Few players",
    "one": "One basket",
    "mind": "Mind",
    "easier": "Easier",
    "harder": "Harder",
    "bring": "Bring",
    "key": "Key",
    "teaches": "Teaches",
}
_CARE = "Contact, heat and load: follow your local rules and licensed professionals."


@dataclass(frozen=True, slots=True)
class CardPage:
    """One card: the drill and its pictures."""

    drill: Drill
    frames: tuple[Frame, ...] = ()


def drill_cards(
    pages: Sequence[CardPage],
    principles: Mapping[str, str],
    drills: Mapping[str, str],
    day: dt.date,
    *,
    paper: Literal["letter", "a4"] = "letter",
    large: bool = False,
) -> Printed:
    """Return the cards as a tagged PDF (PDF/UA-1), one drill a page.

    ``principles`` and ``drills`` map ids to titles. ``day`` is the document's date; the same arguments give
    the same bytes. ``large`` starts from large print.

    Raises:
        Refusal: there is nothing to print, or too much, or the typesetter is missing.

    """
    named = paper_size(paper)
    if not pages:
        raise Refusal("There is no drill to print; name at least one.")
    if len(pages) > MOST_CARDS:
        raise Refusal(f"{len(pages)} cards are too many for one print; name at most {MOST_CARDS}.")
    first = printable(pages[0].drill.title, 90)
    inputs = {
        "words": _WORDS,
        "title": f"Drill card: {first}" if len(pages) == 1 else f"{len(pages)} drill cards",
        "mark": MADE_BY,
        "date": {"year": day.year, "month": day.month, "day": day.day},
        "paper": named,
        "sizes": _sizes(14.0, 8.0) if large else _sizes(11.0, 8.0),
        "stages": [one.value for one in Stage],
        "key": [{"svg": one.svg, "words": one.words} for one in legend(THUMB)],
        "care": _CARE,
        "cards": [_card(one, principles, drills) for one in pages],
    }
    done = typeset("drill_card.typ", inputs, day)
    over = done.pages - len(pages)
    dropped = ("The text of a card runs over onto another page.",) if over > 0 else ()
    return Printed(done.data, done.pages, dropped, done.notes, float(done.facts["size"]))


def _sizes(largest: float, smallest: float) -> list[float]:
    return [round(largest - 0.25 * n, 2) for n in range(round((largest - smallest) / 0.25) + 1)]


def _card(page: CardPage, principles: Mapping[str, str], drills: Mapping[str, str]) -> dict[str, Any]:
    one = page.drill
    ranked = sorted(one.shares.items(), key=lambda share: -share[1])
    return {
        "title": printable(one.title, 90) or one.id,
        "id": one.id,
        "stage": one.stage.value if one.stage else "",
        "kind": one.kind,
        "facts": _facts(one),
        "bring": printable(", ".join(one.equipment), 200),
        "teaches": [
            f"{printable(principles.get(key, key), 40)} {units * 100 // SHARE_UNIT} %"
            for key, units in ranked
        ],
        "pictures": [_picture(frame, number) for number, frame in enumerate(page.frames, 1)],
        "set_up": printable(one.set_up, 3_000),
        "how": printable(one.how, 5_000),
        "cues": [printable(cue, 90) for cue in one.cues[:8]],
        "faults": [{"seen": printable(f.seen, 240), "say": printable(f.say, 160)} for f in one.faults[:8]],
        "rule": sentence(printable(one.scoring.rule, 600)) if one.scoring else "",
        "target": _target(one),
        "few": printable(one.few_players, 600),
        "one": printable(one.one_basket, 600),
        "mind": [sentence(printable(caution, 300)) for caution in one.cautions[:6]],
        "easier": [printable(drills.get(other, other), 90) for other in one.easier[:6]],
        "harder": [printable(drills.get(other, other), 90) for other in one.harder[:6]],
    }


def _facts(one: Drill) -> list[str]:
    return [
        f"{one.players_min}–{one.players_max} players",
        "full court" if one.half_courts == 2 else "half court",
        f"{one.minutes.min}–{one.minutes.max} min, usually {one.minutes.usual}",
        f"effort {one.effort} of 10",
    ]


def _target(one: Drill) -> str:
    if one.scoring is None:
        return ""
    out_of = f" out of {one.scoring.tries}" if one.scoring.tries else ""
    return f"{one.scoring.target} {printable(one.scoring.counts, 40)}{out_of}"


def _picture(frame: Frame, number: int) -> dict[str, Any]:
    return {
        "svg": frame_svg(frame, CARD),
        "alt": printable(describe(frame), 1_500),
        "caption": printable(frame.caption, 90),
        "number": str(number),
    }
