"""``stopsheet versions``: plans that came second, because another coach was quicker."""

from __future__ import annotations

from argparse import Namespace

from planner.cli.plan import tell_plan
from planner.cli.show import say, say_json
from planner.clock import clock_text, parse_date
from planner.desk.desk import UNDO_HINT, open_desk
from planner.desk.versions import Version, take_version, versions
from planner.problem import Refusal


def show(arguments: Namespace) -> int:
    """List the versions of a day's plan, show one, or let one stand."""
    desk = open_desk()
    if arguments.take is not None:
        taken = take_version(desk, arguments.take)
        day = f"{taken.plan.date.isoformat()} {clock_text(taken.plan.start)}"
        say(f"Version {taken.id} is the plan of {day} now; the one before is kept. {UNDO_HINT}.")
        return 0
    found = versions(desk, parse_date(arguments.on, desk.today) if arguments.on else None)
    if arguments.json:
        say_json([one.as_json() for one in found])
    elif arguments.show is not None:
        tell_plan(desk, _numbered(found, arguments.show).plan)
    else:
        for one in found:
            say(_line(one))
        say("'--show N' shows one, '--take N' lets it stand; nothing is lost by either.")
    return 0


def _numbered(found: tuple[Version, ...], number: int) -> Version:
    for one in found:
        if one.number == number:
            return one
    raise Refusal(f"There is no version {number} of that day; 'stopsheet versions' lists them.")


def _line(one: Version) -> str:
    name = "stands" if one.number is None else f"version {one.number}"
    drills = [part.title for part in one.plan.segments if part.kind == "drill"]
    when = f"{one.stamp.astimezone():%Y-%m-%d %H:%M}" if one.stamp else "unknown when"
    by = f" by {one.coach}" if one.coach else ""
    day = f"{one.plan.date.isoformat()} {clock_text(one.plan.start)}"
    return (
        f"{name:<12} {day}  {one.plan.minutes} min  worth {one.plan.objective:.2f}"
        f"  saved {when}{by}: {', '.join(drills)}"
    )
