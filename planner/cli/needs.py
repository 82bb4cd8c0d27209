"""``stopsheet needs``: what costs us most."""

from __future__ import annotations

import datetime as dt
import shutil
import sys
from argparse import Namespace
from typing import TYPE_CHECKING, Any

from planner.cli.show import draw, say, say_json, width
from planner.clock import parse_date
from planner.desk.desk import Desk, open_desk
from planner.desk.needs import Fed, assess_fed, feed, more_film, player_needs
from planner.desk.words import vocabulary
from planner.need.estimate import Needs

if TYPE_CHECKING:
    from rich.console import Group

SCREEN = 24
"""Lines of a screen where there is no terminal to ask."""


def needs(arguments: Namespace) -> int:
    """Show need per principle with interval, rate, cost, trend and evidence."""
    desk = open_desk()
    day = parse_date(arguments.as_of, desk.today) if arguments.as_of else None
    if arguments.players and not arguments.json:
        from planner.paper.needs_view import players_table

        _show(players_table(player_needs(desk, day), width()))
        return 0
    fed = feed(desk, day, arguments.cause)
    if arguments.json:
        say_json(_json(desk, fed, arguments, day))
        return 0
    rows = None if arguments.all else screen()
    if arguments.more_film:
        from planner.paper.needs_view import more_film_table

        found = more_film(desk, fed, day)
        _show(more_film_table(found, vocabulary(desk), width(), ascii_only=plain_letters(), rows=rows))
        return 0
    from planner.paper.needs_view import breakdowns_table, needs_table

    view = breakdowns_table if arguments.breakdowns else needs_table
    _show(
        view(
            assess_fed(desk, fed, day),
            vocabulary(desk),
            width(),
            ascii_only=plain_letters(),
            rows=rows,
            context=scheme_lines(fed),
        )
    )
    return 0


def _json(desk: Desk, fed: Fed, arguments: Namespace, day: dt.date | None) -> dict[str, Any]:
    said = {**assess_fed(desk, fed, day).as_json(), **fed.scheme.as_json()}
    if arguments.more_film:
        said["more_film"] = [one.as_json() for one in more_film(desk, fed, day)]
    if arguments.players:
        said["players"] = player_needs(desk, day).as_json()
    return said


def tell_needs(desk: Desk, found: Needs, most: int | None = None) -> None:
    """Show needs as bars with their interval; the ``most`` costly ones, or all."""
    from planner.paper.needs_view import needs_table

    _show(needs_table(found, vocabulary(desk), width(), plain_letters(), most))


def scheme_lines(fed: Fed) -> tuple[str, ...]:
    """Return what is played and whom we meet, as far as either changed the numbers."""
    said = []
    scheme = fed.scheme
    if scheme.game is not None and scheme.factors:
        factors = ", ".join(f"{name} x{factor:g}" for name, factor in scheme.factors.items())
        said.append(f"Next, {scheme.game.date.isoformat()} v {scheme.game.opponent}: {factors}.")
    if scheme.played:
        names = ", ".join(one.title for one in scheme.played)
        out = ", ".join(scheme.off)
        said.append(f"We play: {names}{f'; left out: {out}' if out else ''}.")
    return tuple(said)


def plain_letters() -> bool:
    """Return whether the terminal (or pipe) lacks the letters for bars."""
    return not (sys.stdout.encoding or "ascii").lower().replace("-", "").startswith("utf")


def screen() -> int:
    """Return the lines that fit on the screen, less one for what is typed next."""
    lines = shutil.get_terminal_size((80, SCREEN)).lines if sys.stdout.isatty() else SCREEN
    return max(lines, 12) - 1


def _show(what: Group) -> None:
    if sys.stdout.isatty():
        draw(what)
        return
    from planner.paper.frame import plain_text

    say(plain_text(what, width()).rstrip("\n"))
