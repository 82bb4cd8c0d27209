"""``stopsheet demo``: the whole loop on an invented season."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from planner.cli.needs import tell_needs
from planner.cli.plan import tell_plan
from planner.cli.season import tell_season
from planner.cli.show import say
from planner.desk.demo import run_demo
from planner.desk.desk import open_desk
from planner.text import plural


def demo(arguments: Namespace) -> int:
    """Make the demo season, build tomorrow's practice, print it, say what next."""
    if arguments.open:
        from planner.screens.app import need_terminal

        need_terminal()
    made = run_demo(open_desk(), Path(arguments.folder) if arguments.folder else None)
    desk, plan = made.desk, made.built.plan
    say("An invented season, mid-way: film is in, practices are logged. What costs most:\n")
    tell_needs(desk, made.built.needs, most=5)
    say("\nWhere the minutes went:\n")
    tell_season(desk)
    say("\nTomorrow's practice:\n")
    tell_plan(desk, plan)
    say(f"\nPDF for the clipboard: {made.printed.path}")
    for note in made.printed.notes:
        say(f"  {note}")
    say("\nLook around in it (no data of yours is touched):")
    say(f"  export STOPSHEET_HOME='{desk.home}'")
    say("  stopsheet needs; stopsheet season; stopsheet plan --minutes 75; stopsheet drills list")
    say(f"The library has {plural(len(desk.library.drills), 'drill')}.")
    if arguments.open:
        from planner.cli.app import open_at

        return open_at(desk, light=arguments.light, mouse=not arguments.no_mouse)
    return 0
