"""Putting a plan on paper: the notes a sheet needs, and the file it goes to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.court.frame import Frame
    from planner.paper.sheet import SheetNotes

ENDINGS = (".pdf", ".html", ".png", ".ics", ".txt", ".json")
_PICTURE_PPI = 150


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
    """Write the plan as its file's ending asks: .pdf, .html (the court-side page), .png, .ics, .txt or .json.

    Raises:
        Refusal: the ending is none of these, or the file cannot be written.

    """
    from planner.paper.files import write_atomically

    target = to or default_path(desk, plan)
    ending = target.suffix.lower()
    if ending not in ENDINGS:
        raise Refusal(f"'{clean_line(target.name, 60)}' ends in none of {', '.join(ENDINGS)}.")
    if ending == ".ics":
        from planner.desk.calendar import export_calendar

        return export_calendar(desk, target, since=plan.date, until=plan.date, overwrite=overwrite)
    if to is None:
        make_folder(target.parent)
    if ending in {".pdf", ".png"}:
        ppi = _PICTURE_PPI if ending == ".png" else None
        data, notes = _sheet(desk, plan, paper, large, why, ppi)
    elif ending == ".html":
        data, notes = _page(desk, plan, why), ()
    elif ending == ".txt":
        data, notes = plan_as_text(desk, plan).encode(), ()
    else:
        data, notes = _json(desk, plan), ()
    return PrintedFile(write_atomically(target, data, overwrite), notes)


def make_folder(folder: Path) -> None:
    """Make the folder that prints go to when no file is named.

    Raises:
        Refusal: it cannot be made.

    """
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as fault:
        why = fault.strerror or "no reason given"
        raise Refusal(f"The folder '{folder}' cannot be made ({why}); choose a file with --to.") from None


def default_path(desk: Desk, plan: Plan) -> Path:
    """Return where a plan's PDF goes when no file is named."""
    start = clock_text(plan.start).replace(":", "")
    return desk.home / "prints" / f"practice-{plan.date.isoformat()}-{start}.pdf"


def plan_as_text(desk: Desk, plan: Plan, width: int = 80) -> str:
    """Return the plan as plain text."""
    from planner.paper.terminal import plan_text

    return plan_text(plan, drill_titles(desk), width)


def titles(desk: Desk) -> dict[str, str]:
    """Return principle id -> title."""
    return {one.id: one.title for one in desk.library.vocabulary.principles}


def drill_titles(desk: Desk) -> dict[str, str]:
    """Return drill id -> title."""
    return {one.id: one.title for one in desk.library.drills}


def plan_json(desk: Desk, plan: Plan) -> dict[str, Any]:
    """Return a plan in the words of the JSON contract, with each player's minutes."""
    from planner.build.players import players_of

    players = [one.as_json() for one in players_of(plan, desk.library.by_id)]
    return {**plan.as_json(), "players": players}


def _json(desk: Desk, plan: Plan) -> bytes:
    import json

    from planner.paper.files import MADE_BY

    return (
        json.dumps({**plan_json(desk, plan), "made": MADE_BY}, indent=2, ensure_ascii=False).encode() + b"\n"
    )


def _sheet(
    desk: Desk, plan: Plan, paper: str, large: bool, why: bool, ppi: int | None
) -> tuple[bytes, tuple[str, ...]]:
    from planner.paper.sheet import court_side_sheet

    if paper not in {"letter", "a4"}:
        raise Refusal(f"'{clean_line(paper, 20)}' is no paper; say letter or a4.")
    notes = sheet_notes(desk, plan)
    printed = court_side_sheet(plan, notes, "a4" if paper == "a4" else "letter", large, why, ppi=ppi)
    return printed.data, (*printed.dropped, *printed.notes)


def _page(desk: Desk, plan: Plan, why: bool) -> bytes:
    from planner.court.describe import describe
    from planner.court.sheet import CARD
    from planner.court.svg import frame_svg
    from planner.paper.page import Picture, court_side_page

    notes = sheet_notes(desk, plan)
    pictures = {
        drill: [Picture(frame_svg(one, CARD), describe(one), one.caption) for one in frames]
        for drill, frames in _all_pictures(desk, notes.drills).items()
    }
    return court_side_page(plan, notes, pictures, why=why)


def sheet_notes(desk: Desk, plan: Plan, *, needs: bool = True) -> SheetNotes:
    """Return what a sheet says beside the plan; without ``needs`` it costs no estimate."""
    from planner.court.describe import describe
    from planner.court.sheet import THUMB
    from planner.court.svg import frame_svg
    from planner.paper.sheet import SheetNotes

    costly = _costs_of(desk, plan) if needs else []
    with desk.reading() as session:
        team = queries.team(session)
        game = queries.next_game(session, plan.date)
        number = len(queries.practices(session, until=plan.date - dt.timedelta(days=1), state="done")) + 1
    used = {station.drill for one in plan.segments for station in one.stations}
    cards = {one: desk.library.by_id[one] for one in used if one in desk.library.by_id}
    there = [jersey for one in plan.segments for s in one.stations for jersey in s.players]
    pictures = _pictures(desk, cards)
    return SheetNotes(
        team=team.name if team else "",
        practice=f"Practice {number}",
        next_game=f"Next: {_game_words(game.date, game.opponent, game.venue)}" if game else "",
        drills=cards,
        principles=titles(desk),
        present=tuple(dict.fromkeys(_in_order(there))),
        needs=tuple(costly),
        cautions=_cautions([card.cautions for card in cards.values()]),
        diagrams={drill: frame_svg(frame, THUMB) for drill, frame in pictures.items()},
        diagram_texts={drill: describe(frame) for drill, frame in pictures.items()},
    )


def _pictures(desk: Desk, cards: Iterable[str]) -> dict[str, Frame]:
    """Return the most telling diagram of each drill that has one."""
    from planner.drills.pictures import telling

    found = {one: telling(frames) for one, frames in _all_pictures(desk, cards).items()}
    return {one: frame for one, frame in found.items() if frame is not None}


def _all_pictures(desk: Desk, cards: Iterable[str]) -> dict[str, tuple[Frame, ...]]:
    """Return every diagram of each drill, on the team's court."""
    from planner.desk.drills import court_rules
    from planner.desk.library import court_of
    from planner.drills.pictures import frames_of

    court = court_of(court_rules(desk))
    return {one: frames_of(desk.library, one, court) for one in sorted(cards)}


def _game_words(date: dt.date, opponent: str, venue: str) -> str:
    day = f"{date:%a} {date.day} {date:%b}"
    return f"{day} v {opponent}" + (f", {venue}" if venue else "")


def _in_order(jerseys: Sequence[str]) -> list[str]:
    return sorted(jerseys, key=lambda one: (int(one) if one.isdigit() else 1000, one))


def _costs_of(desk: Desk, plan: Plan) -> list[str]:
    """Return what cost most when the plan was built; for a plan that does not say, as of its day."""
    with desk.reading() as session:
        info = queries.find_practice(session, plan.date, plan.start)
    costs = info.wishes.get("costs") if info else None
    if costs is None:
        from planner.desk.needs import assess_needs

        found = assess_needs(desk, as_of=plan.date).principles[:3]
        costs = [(one.principle, one.points_per_100) for one in found]
    known = titles(desk)
    return [f"{known.get(one, one)}: {points:.1f} points per 100" for one, points in costs]


def _cautions(found: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Return the first caution of each drill, without repeats."""
    return tuple(dict.fromkeys(one[0] for one in found if one))
