"""``stopsheet needs``: what costs us most."""

from __future__ import annotations

from argparse import Namespace

from planner.cli.show import draw, say_json, width
from planner.clock import parse_date
from planner.desk.desk import Desk, open_desk
from planner.desk.needs import assess_needs
from planner.need.estimate import Needs


def needs(arguments: Namespace) -> int:
    """Show need per principle with interval, rate and cost."""
    desk = open_desk()
    found = assess_needs(desk, parse_date(arguments.as_of, desk.today) if arguments.as_of else None)
    if arguments.json:
        say_json(found.as_json())
        return 0
    tell_needs(desk, found)
    return 0


def tell_needs(desk: Desk, found: Needs, most: int | None = None) -> None:
    """Show needs as bars with their interval; the ``most`` costly ones, or all."""
    from planner.paper.terminal import needs_table

    draw(needs_table(found, desk.library.vocabulary, width(), most=most))
