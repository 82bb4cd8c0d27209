"""``stopsheet print season`` and ``stopsheet print plan --for ...``."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from planner.cli.show import say
from planner.clock import parse_date
from planner.desk.desk import Desk, open_desk
from planner.problem import Refusal
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.build.plan import Plan
    from planner.desk.printing import PrintedFile


def print_review(arguments: Namespace) -> int:
    """Print the season's review, or write its numbers or its calendar."""
    from planner.desk.season_print import print_season

    if arguments.ids:
        raise Refusal(f"'{clean_line(arguments.ids[0], 40)}' is one word too many; see 'stopsheet print -h'.")
    desk = open_desk()
    return _told(
        print_season(
            desk,
            Path(arguments.to) if arguments.to else None,
            since=parse_date(arguments.since, desk.today) if arguments.since else None,
            until=parse_date(arguments.until, desk.today) if arguments.until else None,
            paper=arguments.paper,
            large=arguments.large,
            overwrite=arguments.overwrite,
        )
    )


def print_for(desk: Desk, plan: Plan, arguments: Namespace) -> int:
    """Print the plan's cards for the assistant or the players."""
    from planner.desk.handouts import print_handout

    return _told(
        print_handout(
            desk,
            plan,
            arguments.audience,
            Path(arguments.to) if arguments.to else None,
            paper=arguments.paper,
            large=arguments.large,
            overwrite=arguments.overwrite,
        )
    )


def _told(printed: PrintedFile) -> int:
    say(f"Printed to {printed.path}")
    for one in printed.notes:
        say(f"  {one}")
    return 0
