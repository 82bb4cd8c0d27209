"""``stopsheet film``: notes in, what they say out."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from planner.cli.show import say, say_json
from planner.desk import film as desk_film
from planner.desk import film_sorting
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.film_proposals import waiting_words
from planner.desk.film_reading import film_files, is_folder
from planner.film.intake import Intake
from planner.problem import Refusal
from planner.store.values import IntakeInfo, UnclearInfo
from planner.text import clean_line, plural

_MANY = 5
"""With more files than this each is told in one line, and progress is shown."""
_SHOWN = 12


def read(arguments: Namespace) -> int:
    """Show what files would add."""
    desk = open_desk()
    with _progress(arguments.files) as step:
        batch = desk_film.read_files(desk, _paths(arguments), **_options(arguments), step=step)
    if arguments.json:
        rows = [one.intake.as_json() for one in batch.readings]
        say_json([*rows, *(one.as_json() for one in batch.refused)])
    else:
        for one in batch.readings:
            _tell(one.intake, desk, columns=True)
        if batch.readings:
            say("Nothing was added; 'stopsheet film add' does.")
    return _code(batch, nothing=False)


def add(arguments: Namespace) -> int:
    """Add what files say."""
    desk = open_desk()
    with _progress(arguments.files) as step:
        batch = desk_film.add_files(desk, _paths(arguments), arguments.game, **_options(arguments), step=step)
    if arguments.json:
        rows = [
            {**one.reading.intake.as_json(), "added": one.number, "game": one.game} for one in batch.added
        ]
        say_json([*rows, *({**one.as_json(), "added": None, "game": None} for one in batch.refused)])
    else:
        _tell_added(batch, desk)
    return _code(batch, nothing=not batch.new)


def _paths(arguments: Namespace) -> list[Path]:
    return [Path(one) for one in arguments.files]


def _options(arguments: Namespace) -> dict[str, Any]:
    return {"columns": arguments.column, "possessions": arguments.possessions}


def _tell_added(batch: desk_film.Batch, desk: Desk) -> None:
    many = len(batch.added) > _MANY
    for one in batch.added:
        if one.number is None:
            say(f"{one.reading.intake.file}: already in ({one.game}); nothing added.")
        elif many:
            say(f"{_summary(one.reading.intake)}; {one.game}, film note {one.number}")
        else:
            _tell(one.reading.intake, desk)
            say(f"  Added to {one.game} as film note {one.number}.")
    if len(batch.added) + len(batch.refused) > 1:
        seen = sum(sighting.count for one in batch.new for sighting in one.reading.intake.seen)
        waiting = sum(len(one.reading.intake.unclear) for one in batch.new)
        known = len(batch.added) - len(batch.new)
        say(
            f"{plural(len(batch.new), 'file')} added with {plural(seen, 'breakdown')} seen and"
            f" {plural(waiting, 'line')} unclear; {known} already in, {len(batch.refused)} refused."
        )
    heard = sum(len(one.reading.intake.proposals) for one in batch.new)
    if heard:
        say(waiting_words(heard))
    if batch.new:
        say(UNDO_HINT)


def _code(batch: desk_film.Batch, *, nothing: bool) -> int:
    """Say what was refused; 2 when no file could be read, 1 when some could not or nothing was new."""
    for one in batch.refused:
        sys.stderr.write(f"stopsheet: {one.why}\n")
    if batch.left_alone:
        sys.stderr.write(f"stopsheet: {plural(batch.left_alone, 'other file')} in the folder left alone.\n")
    if batch.refused and not (batch.added or (batch.readings and not nothing)):
        return 2
    return 1 if batch.refused or nothing else 0


@contextmanager
def _progress(files: Sequence[str]) -> Iterator[Callable[[str], None] | None]:
    """Show how far the reading is, on a terminal and for more than a few files only."""
    folder = any(is_folder(Path(one)) for one in files)
    if not sys.stderr.isatty() or (len(files) <= _MANY and not folder):
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    total = len(film_files([Path(one) for one in files])[0])
    shown = Progress(
        TextColumn("reading"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[name]}", markup=False),
        console=Console(stderr=True),
        transient=True,
    )
    with shown:
        task = shown.add_task("", total=total, name="")
        yield lambda name: shown.update(task, advance=1, name=name)


def _summary(intake: Intake) -> str:
    seen = sum(one.count for one in intake.seen)
    watched = (
        "possessions unknown" if intake.possessions is None else plural(intake.possessions, "possession")
    )
    unclear = f", {plural(len(intake.unclear), 'line')} unclear" if intake.unclear else ""
    said = f"{len(intake.proposals)} proposed" if intake.proposals else f"{plural(seen, 'breakdown')} seen"
    return f"{intake.file}: {watched}, {said}{unclear}"


def _tell(intake: Intake, desk: Desk, *, columns: bool = False) -> None:
    say(_summary(intake))
    for column in intake.columns if columns else ():
        say(f"       {column}")
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
        waits = f"  {one.waiting} wait" if one.waiting else ""
        say(
            f"{one.id:4}  {one.file:32.32}  game {one.game:<3} {watched:>3} possessions"
            f"  {one.sightings:3} seen  {one.unclear:2} unclear{waits}{gone}"
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
        "proposed": one.proposed,
        "waiting": one.waiting,
        "undone": one.undone,
    }


def undo(arguments: Namespace) -> int:
    """Take a film note back whole."""
    gone = desk_film.undo_film(open_desk(), arguments.number)
    waited = f", {plural(gone.waiting, 'proposal')} no longer waiting" if gone.waiting else ""
    seen = plural(gone.sightings, "breakdown")
    say(f"{gone.file} (film note {gone.id}) is taken back: {seen} fewer{waited}.")
    say(UNDO_HINT)
    return 0


def sheet(arguments: Namespace) -> int:
    """Write a film note as a typed sheet."""
    text = desk_film.film_sheet(open_desk(), arguments.number)
    if arguments.to is None:
        say(text.rstrip("\n"))
        return 0
    from planner.paper.files import write_atomically

    say(f"Written: {write_atomically(Path(arguments.to), text.encode(), arguments.overwrite)}")
    return 0


def watched(arguments: Namespace) -> int:
    """Say how many possessions a film note covers."""
    told = desk_film.set_watched(open_desk(), arguments.number, arguments.possessions)
    say(f"{told.file} (film note {told.id}) covers {plural(told.possessions or 0, 'possession')}.")
    say(UNDO_HINT)
    return 0


def unclear(arguments: Namespace) -> int:
    """List the lines that wait to be sorted, those worded alike together."""
    groups = film_sorting.unclear_groups(open_desk())
    if arguments.json:
        say_json([_waiting(one, group) for group in groups for one in group.lines])
        return 0
    for group in groups:
        first, *more = group.lines
        say(f"{len(group.lines):4} x  {group.wording}")
        say(f"        {first.id:4}  {first.file}:{first.line or first.start or '?'}  {first.text}")
        say(f"              {first.why}")
        if more:
            numbers = ", ".join(str(one.id) for one in more[:_SHOWN])
            say(f"              and {numbers}{', ...' if len(more) > _SHOWN else ''}")
    if not groups:
        say("Nothing is unclear.")
    else:
        say(
            "Say what a line means: stopsheet film sort NUMBER BREAKDOWN [JERSEY...]; --same takes all alike."
        )
        say("Instead of a breakdown: not-ours, not-a-mistake, nothing; who it was: NUMBER --players JERSEY.")
    return 0


def _waiting(one: UnclearInfo, group: film_sorting.Group) -> dict[str, object]:
    return {
        "id": one.id,
        "file": one.file,
        "line": one.line,
        "start": one.start,
        "text": one.text,
        "why": one.why,
        "wording": group.wording,
        "alike": len(group.lines),
    }


def sort(arguments: Namespace) -> int:
    """Say what unclear lines mean."""
    numbers, meaning, players = _sorting(arguments.what)
    done = film_sorting.sort_lines(
        open_desk(), numbers, meaning, [*players, *arguments.players], same=arguments.same
    )
    first = done.lines[0]
    more = f" and {plural(len(done.lines) - 1, 'more line')}" if len(done.lines) > 1 else ""
    say(f"'{first.text}'{more} is now: {first.sorted_as}.")
    if done.learnt is not None:
        say(f"'{done.learnt}' is remembered for the next file; 'stopsheet film words' lists such words.")
    say(UNDO_HINT)
    return 0


def _sorting(said: Sequence[str]) -> tuple[list[int], str, list[str]]:
    """Split ``3 5 no-box-out 21`` into lines, meaning and jerseys."""
    numbers: list[int] = []
    rest = list(said)
    while rest and rest[0].isdecimal() and len(rest[0]) < 10:
        numbers.append(int(rest.pop(0)))
    if not numbers:
        raise Refusal(
            "Say which line first: stopsheet film sort NUMBER BREAKDOWN; 'film unclear' lists them."
        )
    return numbers, rest[0] if rest else "", rest[1:]


def words(arguments: Namespace) -> int:
    """List the team's own words, or forget one."""
    desk = open_desk()
    if arguments.forget is not None:
        meant = film_sorting.forget_word(desk, arguments.forget)
        say(f"'{clean_line(arguments.forget, 80)}' no longer means {meant}; what was read with it stays.")
        say(UNDO_HINT)
        return 0
    own = film_sorting.own_words(desk)
    if arguments.json:
        say_json(own)
        return 0
    if not own:
        say("No words of your own yet; sorting an unclear line teaches them.")
    for said, meant in own.items():
        say(f"{meant:18}  {said}")
    return 0
