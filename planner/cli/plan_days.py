"""``stopsheet plan``: what is stored, and the days until the game."""

from __future__ import annotations

import sys
from argparse import Namespace
from dataclasses import replace

from planner.build.horizon import Step
from planner.cli.plan import tell_plan
from planner.cli.show import say, say_json
from planner.clock import parse_date
from planner.desk.desk import UNDO_HINT, Desk
from planner.desk.horizon import ahead_in_words, days_ahead, in_words, keep_days, until_game
from planner.desk.outlook import grounds, look_ahead
from planner.desk.practice import Wishes, find_plan
from planner.desk.printing import plan_json
from planner.problem import Refusal


def days(desk: Desk, wishes: Wishes, arguments: Namespace) -> int:
    """Show what is stored, or plan the days until the game together."""
    if arguments.ahead:
        return _ahead(desk, arguments)
    if arguments.show:
        return _show(desk, arguments)
    if not arguments.until_game:
        raise Refusal("--take chooses among days planned together; add --until-game.")
    return _until_game(desk, wishes, arguments)


def _ahead(desk: Desk, arguments: Namespace) -> int:
    found = days_ahead(desk, parse_date(arguments.on, desk.today))
    if arguments.json:
        say_json(found.as_json())
        return 0
    for line in ahead_in_words(found):
        say(line)
    return 0


def _show(desk: Desk, arguments: Namespace) -> int:
    """Show a stored plan, what to mind, and whether film is newer; the next plan unless a day is named."""
    day = parse_date(arguments.on, desk.today) if arguments.on != "tomorrow" else None
    stored = find_plan(desk, day)
    doubts = grounds(desk, stored).doubts
    outlook = look_ahead(desk, stored.date, stored.start)
    stale = outlook is not None and outlook.stale
    if arguments.json:
        say_json({**plan_json(desk, stored), "doubts": list(doubts), "film_is_newer": stale})
        return 0
    tell_plan(desk, stored)
    for doubt in doubts:
        say(f"? {doubt}")
    if stale:
        say("! Film is newer than this plan; 'stopsheet plan --again' builds it anew.")
    return 0


def _until_game(desk: Desk, wishes: Wishes, arguments: Namespace) -> int:
    if arguments.take and arguments.what_if:
        raise Refusal("--take keeps days and --what-if keeps none; drop one of the two.")
    chosen = [parse_date(one, desk.today) for one in arguments.take] or None
    dates = {one.date for one in days_ahead(desk, wishes.date).days}
    for one in chosen or ():
        if one not in dates:
            raise Refusal(f"{one.isoformat()} is no practice before the next game; 'stopsheet plan --ahead'.")
    found = until_game(desk, wishes, again=arguments.again, tell=_progress)
    if not arguments.what_if:
        found = replace(found, practices=keep_days(desk, found, chosen))
    if arguments.json:
        say_json([plan_json(desk, one) for one in found.days.plans])
        return 0
    for line in in_words(found):
        say(line)
    if found.practices:
        kept = f"{len(found.practices)} of {len(found.days.plans)} stored" if chosen else "Stored"
        say(f"{kept}; 'stopsheet print plan --on DATE' prints one. {UNDO_HINT} (a day at a time).")
    return 0


def _progress(step: Step) -> None:
    """Say on a terminal how far the planning is; a pipe is told nothing."""
    if sys.stderr.isatty():
        look = f", look {step.look}" if step.look > 1 else ""
        sys.stderr.write(f"\rday {step.day} of {step.days}{look} \r")
        sys.stderr.flush()
