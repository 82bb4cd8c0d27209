"""``stopsheet team list`` and ``team use``: several teams in one data folder."""

from __future__ import annotations

from argparse import Namespace

from planner.cli.show import say, say_json
from planner.desk.desk import open_desk
from planner.desk.teams import all_teams, take_in_hand


def listing(arguments: Namespace) -> int:
    """List the teams; the one in hand is marked."""
    found = all_teams(open_desk())
    if arguments.json:
        say_json([one.as_json() for one in found])
        return 0
    if not found:
        say("There is no team here yet; begin with 'stopsheet team new NAME'.")
        return 1
    for one in found:
        said = "  ".join(part for part in (one.name, one.level, one.season) if part)
        say(f"{'*' if one.in_hand else ' '} {one.key:20} {said}")
    say("* in hand; another: stopsheet team use NAME; one more: stopsheet team new NAME --further")
    return 0


def use(arguments: Namespace) -> int:
    """Take another team in hand."""
    desk = take_in_hand(open_desk(), arguments.name)
    name = next((one.name for one in all_teams(desk) if one.in_hand), arguments.name)
    say(f"{name} is in hand, in this and every later run.")
    return 0
