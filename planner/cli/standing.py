"""``stopsheet`` alone: the app on a terminal; elsewhere where things stand and what comes next."""

from __future__ import annotations

import sys
from argparse import Namespace

from planner.cli.show import say
from planner.clock import clock_text
from planner.desk.desk import open_desk
from planner.desk.film_proposals import waiting_words
from planner.desk.standing import where_we_stand
from planner.text import plural


def standing(_: Namespace) -> int:
    """Open the app; without a terminal, say in a few lines what is known and what to do next."""
    desk = open_desk()
    if on_terminal():
        from planner.cli.app import open_at

        return open_at(desk)
    found = where_we_stand(desk)
    if found is None:
        say("Welcome to stopsheet. There is no team here yet.")
        say("  Look around first:   stopsheet demo")
        say("  Set up your own:     stopsheet team new 'Your team'")
        return 0
    say(f"{found.team}: {plural(found.players, 'player')}, {plural(found.films, 'film note')},")
    say(f"  {plural(found.practices, 'practice')} logged, {plural(found.unclear, 'film line')} unclear.")
    if found.waiting:
        say(waiting_words(found.waiting))
    if found.plan is not None:
        day = found.plan.date
        say(f"Next practice: {day:%a} {day.isoformat()} {clock_text(found.plan.start)}")
    if found.game is not None:
        say(f"Next game: {found.game.date:%a} {found.game.date.isoformat()} v {found.game.opponent}")
    say(f"Next: {found.next_step}")
    return 0


def on_terminal() -> bool:
    """Return whether somebody sits at a terminal who could steer the app, which draws on stderr."""
    return all(one.isatty() for one in (sys.stdin, sys.stdout, sys.stderr))
