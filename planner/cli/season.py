"""``stopsheet log`` and ``stopsheet season``."""

from __future__ import annotations

import datetime as dt
import sys
from argparse import Namespace
from pathlib import Path
from typing import Any

from planner.cli.by_number import minutes_by_number, stops_by_number
from planner.cli.needs import plain_letters, screen
from planner.cli.season_parts import compare, show
from planner.cli.show import say, say_json, width
from planner.clock import parse_date
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.phone import log_from_page, page_file
from planner.desk.printing import titles
from planner.desk.season import Changes, Overview, log_practice, season_overview
from planner.desk.season_load import this_week
from planner.desk.season_progress import rule_of
from planner.season.minutes import BESIDES, practice_seconds
from planner.season.review import mismatches
from planner.text import plural


def log(arguments: Namespace) -> int:
    """Log what was really done."""
    desk = open_desk()
    day = parse_date(arguments.practice, desk.today) if arguments.practice else None
    changes = Changes(
        took=minutes_by_number(arguments.took),
        stops=stops_by_number(arguments.stops),
        absent=tuple(arguments.absent),
        rating=arguments.rating,
    )
    if arguments.file:
        done, words = log_from_page(desk, *_page_log(arguments.file), changes, day)
    else:
        done, words = log_practice(desk, day, changes)
    seconds = practice_seconds(done)
    if arguments.json:
        say_json({"date": done.date.isoformat(), "minutes": {k: s / 60 for k, s in seconds.items()}})
        return 0
    say(f"Wrote the {words}: {round(done.seconds / 60, 1):g} minutes.")
    named = titles(desk)
    for key, value in sorted(seconds.items(), key=lambda one: (-one[1], one[0])):
        say(f"  {value / 60:5.1f}  {named.get(key, key)}")
    say(UNDO_HINT)
    return 0


def _page_log(file: str) -> tuple[bytes, str]:
    """Return the bytes and the name of a page's log; ``-`` is what is typed or pasted here."""
    if file == "-":
        from planner.paper.phone import LARGEST

        return sys.stdin.buffer.read(LARGEST + 1), "what was pasted"
    return page_file(Path(file)), Path(file).name


def season(arguments: Namespace) -> int:
    """Show the season on one screen: minutes beside the need, and the short of everything else."""
    if arguments.compare:
        return compare(arguments)
    desk = open_desk()
    since = parse_date(arguments.since, desk.today) if arguments.since else None
    until = parse_date(arguments.until, desk.today) if arguments.until else None
    if arguments.json:
        say_json(_overview_json(desk, season_overview(desk, since, until)))
        return 0
    return tell_season(desk, since, until, None if arguments.all else screen())


def _overview_json(desk: Desk, found: Overview) -> dict[str, Any]:
    rule = rule_of(found.book.settings)
    return {
        **found.review.as_json(),
        "since": found.book.since.isoformat(),
        "until": found.book.until.isoformat(),
        "practices": len(found.book.done),
        "mismatches": mismatches(found.review, titles(desk)),
        "proposals": [one.as_json(rule) for one in found.progress if one.proposal],
        "evidence": [one.as_json() for one in found.evidence],
        "load": [one.as_json() for one in found.loads.weeks],
        "hours": [one.as_json() for one in found.loads.hours],
        "limits": found.loads.limits.as_json() if found.loads.limits else None,
        "targets": [one.as_json() for one in found.targets],
    }


def tell_season(
    desk: Desk, since: dt.date | None = None, until: dt.date | None = None, rows: int | None = None
) -> int:
    """Show the review of a period, within ``rows`` lines if given; return the exit code."""
    found = season_overview(desk, since, until)
    if not found.book.done:
        say("No practice is logged in that time; log one with 'stopsheet log'.")
        return 1
    from planner.paper.season_view import overview

    weeks = [
        (one.week, {k: m for k, m in one.minutes().items() if k not in BESIDES}, one.total / 60)
        for one in found.review.weeks
    ]
    below = _below(desk, found)
    show(overview(weeks, found.review, titles(desk), below, width(), plain_letters(), rows))
    return 0


def _below(desk: Desk, found: Overview) -> list[str]:
    """Return one line for each thing that has a page of its own."""
    lines = []
    steps = [
        f"{one.principle} {'up to' if one.proposal.up else 'back to'} {one.proposal.stage or 'none'}"
        for one in found.progress
        if one.proposal
    ]
    if steps:
        lines.append(f"Steps proposed: {_some(steps)} (season progress).")
    if found.evidence:
        told = [f"{one.spell.principle} {one.verdict}" for one in found.evidence]
        moved = any(one.verdict in {"fewer", "more"} for one in found.evidence)
        cause = "; association, not cause" if moved else ""
        lines.append(f"After an emphasis: {_some(told)}{cause} (season evidence).")
    lines += _load_line(desk, found)
    wanted = [
        f"{one.principle} {one.weeks[-1].minutes:.0f} of {one.target:g}" for one in found.targets if one.weeks
    ]
    if wanted:
        lines.append(f"Minutes this week against targets: {_some(wanted)} (season target).")
    lines.append("More: season minutes, balance, progress, evidence, load, learn, scout, target")
    return lines


def _some(parts: list[str], most: int = 3) -> str:
    more = f" and {len(parts) - most} more" if len(parts) > most else ""
    return ", ".join(parts[:most]) + more


def _load_line(desk: Desk, found: Overview) -> list[str]:
    week, hours = this_week(desk, found.loads)
    if week is None and hours is None:
        return [f"{plural(len(found.book.done), 'practice')} logged."]
    load = f"load {week.load:.0f}" if week else "load 0"
    spent = f", {hours.hours:.1f} h" if hours else ""
    planned = f" ({hours.planned_hours:.1f} planned)" if hours and hours.planned_hours else ""
    over = ""
    if found.loads.limits is not None and hours is not None:
        over = f"; over: {'; '.join(hours.findings)}" if hours.findings else ", nothing over the limits"
    logged = plural(len(found.book.done), "practice")
    return [f"{logged} logged. This week: {load}{spent}{planned}{over} (season load)."]
