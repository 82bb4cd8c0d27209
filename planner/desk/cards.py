"""Printing drill cards: a PDF for one drill or a pack, one diagram as SVG, text, or JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from planner.court.describe import describe
from planner.court.sheet import CARD
from planner.court.svg import frame_svg
from planner.desk.desk import Desk
from planner.desk.drills import court_rules, find_drill
from planner.desk.library import court_of
from planner.desk.printing import PrintedFile, make_folder, titles
from planner.drills.card import Drill
from planner.drills.pictures import frames_of
from planner.drills.plain import plain
from planner.problem import Refusal
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from planner.court.frame import Frame

ENDINGS = (".pdf", ".svg", ".txt", ".json")
Cards = list[tuple[Drill, "tuple[Frame, ...]"]]


def print_drills(
    desk: Desk,
    ids: Sequence[str],
    to: Path | None = None,
    *,
    paper: str = "letter",
    large: bool = False,
    frame: int | None = None,
    court: str | None = None,
    overwrite: bool = False,
) -> PrintedFile:
    """Write drill cards as the file's ending asks: .pdf, .svg (one diagram), .txt or .json.

    Raises:
        Refusal: no drill or an unknown one is named, the ending is none of these, or the file cannot be
            written.

    """
    from planner.paper.files import write_atomically

    if not ids:
        raise Refusal("Name at least one drill to print; 'stopsheet drills list' shows all.")
    drills = [find_drill(desk.library, one) for one in dict.fromkeys(ids)]
    rules = court_of(court or court_rules(desk))
    cards = [(one, frames_of(desk.library, one.id, rules)) for one in drills]
    target = to or _default_path(desk, drills)
    ending = target.suffix.lower()
    if ending not in ENDINGS:
        raise Refusal(f"'{clean_line(target.name, 60)}' ends in none of {', '.join(ENDINGS)}.")
    if frame is not None and ending != ".svg":
        raise Refusal("--frame chooses the diagram of an .svg; the other files hold all of them.")
    if to is None:
        make_folder(target.parent)
    notes: tuple[str, ...] = ()
    if ending == ".pdf":
        data, notes = _pdf(desk, cards, paper, large)
    elif ending == ".svg":
        data = _svg(cards, frame)
    elif ending == ".txt":
        data = _text(desk, cards)
    else:
        data = _json(cards)
    return PrintedFile(write_atomically(target, data, overwrite), notes)


def _default_path(desk: Desk, drills: Sequence[Drill]) -> Path:
    more = f"-and-{len(drills) - 1}-more" if len(drills) > 1 else ""
    return desk.home / "prints" / f"drill-{drills[0].id}{more}.pdf"


def _pdf(desk: Desk, cards: Cards, paper: str, large: bool) -> tuple[bytes, tuple[str, ...]]:
    from planner.paper.cards import CardPage, drill_cards

    if paper not in {"letter", "a4"}:
        raise Refusal(f"'{clean_line(paper, 20)}' is no paper; say letter or a4.")
    printed = drill_cards(
        [CardPage(drill, frames) for drill, frames in cards],
        titles(desk),
        {one.id: one.title for one in desk.library.drills},
        desk.today,
        paper="a4" if paper == "a4" else "letter",
        large=large,
    )
    return printed.data, (*printed.dropped, *printed.notes)


def _svg(cards: Cards, frame: int | None) -> bytes:
    from planner.paper.files import MADE_BY

    if len(cards) > 1:
        raise Refusal("An .svg holds one diagram; name one drill, or print the pack to .pdf.")
    drill, frames = cards[0]
    wanted = 1 if frame is None else frame
    if not 1 <= wanted <= len(frames):
        have = plural(len(frames), "diagram") if frames else "no diagram"
        raise Refusal(f"There is no diagram {wanted}: '{drill.id}' has {have}.")
    return f"{frame_svg(frames[wanted - 1], CARD)}<!-- {MADE_BY} -->\n".encode()


def _text(desk: Desk, cards: Cards) -> bytes:
    from planner.paper.card import CardNotes, card_view
    from planner.paper.files import MADE_BY
    from planner.paper.frame import plain_text

    parts = [
        plain_text(card_view(drill, CardNotes(titles(desk), frames)))
        + "".join(f"\nFrame {number}: {describe(one)}\n" for number, one in enumerate(frames, 1))
        for drill, frames in cards
    ]
    body = "\n\n".join(parts)
    return f"{body}\n{MADE_BY}\n".encode()


def _json(cards: Cards) -> bytes:
    from planner.paper.files import MADE_BY

    drills = [
        {
            **plain(drill),
            "diagrams": [
                {"caption": one.caption, "words": describe(one), "svg": frame_svg(one, CARD)}
                for one in frames
            ],
        }
        for drill, frames in cards
    ]
    return json.dumps({"made": MADE_BY, "drills": drills}, indent=2, ensure_ascii=False).encode() + b"\n"
