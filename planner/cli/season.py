"""``stopsheet log`` and ``stopsheet season``."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from collections.abc import Callable, Sequence
from typing import TypeVar

from planner.cli.show import draw, say, say_json, width
from planner.clock import parse_date
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.printing import titles
from planner.desk.season import Changes, log_practice, season_review
from planner.problem import Refusal
from planner.season.minutes import BESIDES, practice_seconds
from planner.season.review import mismatches
from planner.text import clean_line, plural

Value = TypeVar("Value")


def log(arguments: Namespace) -> int:
    """Log what was really done."""
    desk = open_desk()
    day = parse_date(arguments.practice, desk.today) if arguments.practice else None
    changes = Changes(
        took=_pairs(arguments.took, _minutes, "3=9"),
        stops=_pairs(arguments.stops, _stops, "4=7/10"),
        absent=tuple(arguments.absent),
        rating=arguments.rating,
    )
    done, words = log_practice(desk, day, changes)
    seconds = practice_seconds(done)
    if arguments.json:
        say_json({"date": done.date.isoformat(), "minutes": {k: s / 60 for k, s in seconds.items()}})
        return 0
    say(f"Wrote the {words}: {done.seconds / 60:g} minutes.")
    named = titles(desk)
    for key, value in sorted(seconds.items(), key=lambda one: (-one[1], one[0])):
        say(f"  {value / 60:5.1f}  {named.get(key, key)}")
    say(UNDO_HINT)
    return 0


def _pairs(raw: Sequence[str], read: Callable[[str], Value], example: str) -> dict[int, Value]:
    found: dict[int, Value] = {}
    for text in raw:
        number, _, value = text.partition("=")
        try:
            found[int(number)] = read(value)
        except ValueError:
            raise Refusal(f"'{clean_line(text, 30)}' cannot be read; write it as {example}.") from None
    return found


def _minutes(text: str) -> float:
    if ":" in text:
        minutes, seconds = text.split(":")
        return int(minutes) + int(seconds) / 60
    return float(text)


def _stops(text: str) -> tuple[int, int]:
    stops, tries = text.split("/")
    return int(stops), int(tries)


def season(arguments: Namespace) -> int:
    """Show minutes per principle per week beside the need."""
    desk = open_desk()
    since = parse_date(arguments.since, desk.today) if arguments.since else None
    until = parse_date(arguments.until, desk.today) if arguments.until else None
    if arguments.json:
        say_json(season_review(desk, since, until)[0].as_json())
        return 0
    return tell_season(desk, since, until)


def tell_season(desk: Desk, since: dt.date | None = None, until: dt.date | None = None) -> int:
    """Show the review of a period; return the exit code."""
    found, done = season_review(desk, since, until)
    if not done:
        say("No practice is logged in that time; log one with 'stopsheet log'.")
        return 1
    from planner.paper.terminal import season_table

    weeks = [
        (one.week, {k: m for k, m in one.minutes().items() if k not in BESIDES}, one.total / 60)
        for one in found.weeks
    ]
    shares = {one.principle: one.need_share for one in found.principles}
    draw(season_table(weeks, shares, titles(desk), width()))
    say(f"{plural(len(done), 'practice')} logged.")
    for sentence in mismatches(found, titles(desk)):
        say(f"  {sentence}")
    return 0
