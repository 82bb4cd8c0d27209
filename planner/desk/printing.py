"""Putting a plan on paper: the notes a sheet needs, and the file it goes to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.need.estimate import Needs
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.paper.sheet import SheetNotes

ENDINGS = (".pdf", ".txt", ".json")


@dataclass(frozen=True, slots=True)
class PrintedFile:
    """Where a print went, and what the coach should know about it."""

    path: Path
    notes: tuple[str, ...]


def print_plan(
    desk: Desk,
    plan: Plan,
    to: Path | None = None,
    *,
    paper: str = "letter",
    large: bool = False,
    why: bool = True,
    overwrite: bool = False,
) -> PrintedFile:
    """Write the plan as its file's ending asks: .pdf, .txt or .json.

    Raises:
        Refusal: the ending is none of these, or the file cannot be written.

    """
    from planner.paper.files import write_atomically

    target = to or default_path(desk, plan)
    ending = target.suffix.lower()
    if ending not in ENDINGS:
        raise Refusal(f"'{clean_line(target.name, 60)}' ends in none of {', '.join(ENDINGS)}.")
    if to is None:
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    if ending == ".pdf":
        data, notes = _sheet(desk, plan, paper, large, why)
    elif ending == ".txt":
        data, notes = plan_as_text(desk, plan).encode(), ()
    else:
        data, notes = _json(plan), ()
    return PrintedFile(write_atomically(target, data, overwrite), notes)


def default_path(desk: Desk, plan: Plan) -> Path:
    """Return where a plan's PDF goes when no file is named."""
    start = clock_text(plan.start).replace(":", "")
    return desk.home / "prints" / f"practice-{plan.date.isoformat()}-{start}.pdf"


def plan_as_text(desk: Desk, plan: Plan, width: int = 80) -> str:
    """Return the plan as plain text."""
    from planner.paper.terminal import plan_text

    return plan_text(plan, titles(desk), width)


def titles(desk: Desk) -> dict[str, str]:
    """Return principle id -> title."""
    return {one.id: one.title for one in desk.library.vocabulary.principles}


def _json(plan: Plan) -> bytes:
    import json

    from planner.paper.files import MADE_BY

    return json.dumps({**plan.as_json(), "made": MADE_BY}, indent=2, ensure_ascii=False).encode() + b"\n"


def _sheet(desk: Desk, plan: Plan, paper: str, large: bool, why: bool) -> tuple[bytes, tuple[str, ...]]:
    from planner.paper.sheet import court_side_sheet

    if paper not in {"letter", "a4"}:
        raise Refusal(f"'{clean_line(paper, 20)}' is no paper; say letter or a4.")
    notes = _sheet_notes(desk, plan)
    printed = court_side_sheet(plan, notes, "a4" if paper == "a4" else "letter", large, why)
    return printed.data, (*printed.dropped, *printed.notes)


def _sheet_notes(desk: Desk, plan: Plan) -> SheetNotes:
    from planner.desk.needs import assess_needs
    from planner.paper.sheet import SheetNotes

    needs = assess_needs(desk, as_of=plan.date)
    with desk.reading() as session:
        team = queries.team(session)
        game = queries.next_game(session, plan.date)
        number = len(queries.practices(session, until=plan.date - dt.timedelta(days=1), state="done")) + 1
    used = {station.drill for one in plan.segments for station in one.stations}
    cards = {one: desk.library.by_id[one] for one in used if one in desk.library.by_id}
    there = [jersey for one in plan.segments for s in one.stations for jersey in s.players]
    return SheetNotes(
        team=team.name if team else "",
        practice=f"Practice {number}",
        next_game=f"Next: {_game_words(game.date, game.opponent, game.venue)}" if game else "",
        drills=cards,
        principles=titles(desk),
        present=tuple(dict.fromkeys(_in_order(there))),
        needs=tuple(_need_lines(needs, titles(desk))),
        cautions=_cautions([card.cautions for card in cards.values()]),
    )


def _game_words(date: dt.date, opponent: str, venue: str) -> str:
    day = f"{date:%a} {date.day} {date:%b}"
    return f"{day} v {opponent}" + (f", {venue}" if venue else "")


def _in_order(jerseys: Sequence[str]) -> list[str]:
    return sorted(jerseys, key=lambda one: (int(one) if one.isdigit() else 1000, one))


def _need_lines(needs: Needs, known: dict[str, str]) -> list[str]:
    return [
        f"{known.get(one.principle, one.principle)}: {one.points_per_100:.1f} points per 100"
        for one in needs.principles[:3]
    ]


def _cautions(found: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Return the first caution of each drill, without repeats."""
    return tuple(dict.fromkeys(one[0] for one in found if one))
