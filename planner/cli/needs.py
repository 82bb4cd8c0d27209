"""``stopsheet needs``: what costs us most."""

from __future__ import annotations

from argparse import Namespace

from planner.cli.show import draw, say, say_json, width
from planner.clock import parse_date
from planner.desk.desk import open_desk
from planner.desk.needs import assess_needs


def needs(arguments: Namespace) -> int:
    """Show need per principle with interval, rate and cost."""
    desk = open_desk()
    found = assess_needs(desk, parse_date(arguments.as_of, desk.today) if arguments.as_of else None)
    if arguments.json:
        say_json(found.as_json())
        return 0
    from planner.paper.terminal import needs_table

    draw(needs_table(found, desk.library.vocabulary, width()))
    for note in found.notes:
        say(f"! {note}")
    return 0
