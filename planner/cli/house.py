"""``stopsheet team remove``: taking away what was set up."""

from __future__ import annotations

from argparse import Namespace

from planner.cli.show import say
from planner.desk import house
from planner.desk.desk import UNDO_HINT, open_desk


def remove(arguments: Namespace) -> int:
    """Take away a gym time, a fixed block or a game."""
    verbs = {"gym": house.remove_gym_rule, "fixed": house.remove_fixed, "game": house.remove_game}
    say(verbs[arguments.kind](open_desk(), arguments.number))
    say(UNDO_HINT)
    return 0
