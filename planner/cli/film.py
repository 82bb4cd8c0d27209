"""``stopsheet film``: notes in, what they say out."""

from __future__ import annotations

from argparse import Namespace
from collections import Counter
from pathlib import Path

from planner.cli.show import say, say_json
from planner.desk import film as desk_film
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.film.intake import Intake
from planner.store.values import IntakeInfo
from planner.text import plural


def read(arguments: Namespace) -> int:
    """Show what files would add."""
    desk = open_desk()
    readings = desk_film.read_files(desk, [Path(one) for one in arguments.files])
    if arguments.json:
        say_json([one.intake.as_json() for one in readings])
        return 0
    for one in readings:
        _tell(one.intake, desk)
    say("Nothing was added; 'stopsheet film add' does.")
    return 0


def add(arguments: Namespace) -> int:
    """Add what files say."""
    desk = open_desk()
    added = desk_film.add_files(desk, [Path(one) for one in arguments.files], arguments.game)
    new = [one for one in added if one.number is not None]
    if arguments.json:
        rows = [{**one.reading.intake.as_json(), "added": one.number, "game": one.game} for one in added]
        say_json(rows)
        return 0 if new else 1
    for one in added:
        if one.number is None:
            say(f"{one.reading.intake.file}: already in ({one.game}); nothing added.")
            continue
        _tell(one.reading.intake, desk)
        say(f"  Added to {one.game} as film note {one.number}.")
    if new:
        say(UNDO_HINT)
    return 0 if new else 1


def _tell(intake: Intake, desk: Desk) -> None:
    seen = sum(one.count for one in intake.sightings)
    watched = "unknown" if intake.possessions is None else plural(intake.possessions, "possession")
    unclear = f", {plural(len(intake.unclear), 'line')} unclear" if intake.unclear else ""
    say(f"{intake.file}: {watched}, {plural(seen, 'breakdown')} seen{unclear}")
    counts = Counter[str]()
    for sighting in intake.sightings:
        counts[sighting.breakdown] += sighting.count
    titles = desk.library.vocabulary.breakdown_by_id
    for breakdown, count in sorted(counts.items(), key=lambda one: (-one[1], one[0])):
        say(f"  {count:3}  {titles[breakdown].title if breakdown in titles else breakdown}")
    for one in intake.unclear:
        place = f"line {one.line}: " if one.line is not None else ""
        say(f"  ?    {place}{one.text}  ({one.why})")
    for problem in intake.problems:
        say(f"  !    {problem}")


def show(arguments: Namespace) -> int:
    """List the film notes that are in."""
    found = desk_film.film_list(open_desk(), undone=getattr(arguments, "undone", False))
    if arguments.json:
        say_json([{**_row(one), "stamp": one.stamp.isoformat()} for one in found])
        return 0
    if not found:
        say("No film note is in yet; add one with 'stopsheet film add FILE'.")
    for one in found:
        watched = "?" if one.possessions is None else one.possessions
        gone = "  (taken back)" if one.undone else ""
        say(
            f"{one.id:4}  {one.file:32.32}  game {one.game:<3} {watched:>3} possessions"
            f"  {one.sightings:3} seen  {one.unclear:2} unclear{gone}"
        )
    return 0


def _row(one: IntakeInfo) -> dict[str, object]:
    return {
        "id": one.id,
        "file": one.file,
        "kind": one.kind,
        "game": one.game,
        "possessions": one.possessions,
        "sightings": one.sightings,
        "unclear": one.unclear,
        "undone": one.undone,
    }


def undo(arguments: Namespace) -> int:
    """Take a film note back whole."""
    gone = desk_film.undo_film(open_desk(), arguments.number)
    say(f"{gone.file} (film note {gone.id}) is taken back: {plural(gone.sightings, 'breakdown')} fewer.")
    say(UNDO_HINT)
    return 0


def unclear(arguments: Namespace) -> int:
    """List the lines that wait to be sorted."""
    found = desk_film.unclear_lines(open_desk())
    if arguments.json:
        say_json(
            [
                {"id": one.id, "file": one.file, "line": one.line, "text": one.text, "why": one.why}
                for one in found
            ]
        )
        return 0
    for one in found:
        say(f"{one.id:4}  {one.file}:{one.line or '?'}  {one.text}")
        say(f"      {one.why}")
    if not found:
        say("Nothing is unclear.")
    else:
        say("Say what a line means: stopsheet film sort NUMBER BREAKDOWN [JERSEY], or NUMBER nothing.")
    return 0


def sort(arguments: Namespace) -> int:
    """Say what an unclear line means."""
    done = desk_film.sort_line(open_desk(), arguments.number, arguments.breakdown, arguments.players)
    say(f"'{done.text}' is now: {done.sorted_as}.")
    say(UNDO_HINT)
    return 0
