"""``stopsheet calendar``: what lies ahead, practices for other calendars, a school's calendar for ours."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from planner.cli.show import say, say_json
from planner.clock import clock_text
from planner.desk.calendar import Ahead, ahead, export_calendar
from planner.desk.desk import UNDO_HINT, open_desk
from planner.paper.calendar_reader import FoundCalendar, in_words

SHOWN_PROBLEMS = 10
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def show(arguments: Namespace) -> int:
    """Show practices, games and closed gyms from today on."""
    found = ahead(open_desk())
    if arguments.json:
        say_json([one.as_json() for one in found])
        return 0
    if not found:
        say("Nothing lies ahead: no plan, no game, no closed gym.")
        return 1
    for one in found:
        say(_line(one))
    return 0


def _line(one: Ahead) -> str:
    hours = _hours(one.start, one.end)
    return f"{_DAYS[one.date.weekday()]} {one.date.isoformat()}  {hours:11}  {one.words}".rstrip()


def _hours(start: int | None, end: int | None) -> str:
    if start is None or (start == 0 and end == 24 * 60):
        return "all day"
    return f"{clock_text(start)}-{clock_text(end)}" if end is not None else clock_text(start)


def export(arguments: Namespace) -> int:
    """Write practices and games as an iCalendar file."""
    printed = export_calendar(
        open_desk(), Path(arguments.to) if arguments.to else None, overwrite=arguments.overwrite
    )
    say(f"Written to {printed.path}")
    for one in printed.notes:
        say(f"  {one}")
    return 0


def read(arguments: Namespace) -> int:
    """Show what a calendar file would add; add nothing."""
    from planner.desk.calendar_intake import read_file

    found = read_file(open_desk(), Path(arguments.file))
    if arguments.json:
        say_json(_as_json(found))
        return 0
    say(f"{in_words(found)}; nothing is added.")
    for game in found.games:
        start = _hours(game.start, None)
        where = f", {game.venue}" if game.venue else ""
        say(f"  {game.date.isoformat()}  {start:11}  game v {game.opponent}{where}")
    for one in found.closings:
        say(f"  {one.date.isoformat()}  {_hours(one.start, one.end):11}  closed: {one.title}")
    _problems([str(one) for one in found.problems])
    if found.games or found.closings:
        say("Add it with: stopsheet calendar add FILE")
        return 0
    say("A game is a title such as 'v Harbour Point' or '@ Harbour Point'; a closing says 'gym closed'.")
    return 1


def _as_json(found: FoundCalendar) -> dict[str, object]:
    return {
        "games": [
            {
                "date": one.date.isoformat(),
                "start": None if one.start is None else clock_text(one.start),
                "opponent": one.opponent,
                "venue": one.venue,
            }
            for one in found.games
        ],
        "closings": [
            {"date": one.date.isoformat(), "from": one.start, "to": one.end, "title": one.title}
            for one in found.closings
        ],
        "other": found.other,
        "own": found.own,
        "problems": [str(one) for one in found.problems],
    }


def add(arguments: Namespace) -> int:
    """Add the games and closed gyms of a calendar file."""
    from planner.desk.calendar_intake import add_file

    taken = add_file(open_desk(), Path(arguments.file))
    if arguments.json:
        say_json(
            {
                "games": taken.games,
                "changed": taken.moved,
                "closings": taken.closings,
                "known": taken.known,
                "notes": list(taken.notes),
            }
        )
        return 0
    say(f"Added: {taken.words}.")
    _problems(taken.notes)
    if taken.games or taken.moved or taken.closings:
        say(UNDO_HINT)
    return 0


def _problems(found: list[str] | tuple[str, ...]) -> None:
    for one in found[:SHOWN_PROBLEMS]:
        say(f"! {one}")
    if len(found) > SHOWN_PROBLEMS:
        say(f"! and {len(found) - SHOWN_PROBLEMS} more")
