"""``stopsheet plan`` and ``stopsheet print``."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from dataclasses import replace
from pathlib import Path

from planner.build.brief import FixedBlock
from planner.build.plan import Plan
from planner.build.players import players_of
from planner.cli.show import draw, say, say_json, width
from planner.clock import parse_clock, parse_date
from planner.desk.changes import merged, seen_wishes
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.film_session import parse_film_session
from planner.desk.practice import Wishes, build_plan, find_plan, why_not
from planner.desk.printing import drill_titles, plan_json, print_plan
from planner.desk.wishes import parse_late, parse_pins, parse_station_pins, whole_minutes
from planner.problem import Refusal
from planner.text import clean_line

SHOWN_LEFT_OUT = 5


def plan(arguments: Namespace) -> int:
    """Build and store a practice."""
    desk = open_desk()
    if arguments.edit:
        from planner.cli.plan_edit import edit

        return edit(desk, arguments)
    wishes = _wishes(arguments, desk.today)
    if arguments.show or arguments.ahead or arguments.until_game or arguments.take:
        from planner.cli.plan_days import days

        return days(desk, wishes, arguments)
    seen = None
    if arguments.again:
        kept = find_plan(desk, wishes.date)
        stored, seen = seen_wishes(desk, kept)
        wishes = replace(merged(stored, wishes), date=kept.date, start=kept.start)
    if arguments.why_not:
        say(why_not(desk, wishes, arguments.why_not))
        return 0
    near = _standing(desk, wishes) if arguments.what_if and not arguments.exact else None
    built = build_plan(desk, wishes, keep=not arguments.what_if, seen=seen, near=near)
    if arguments.json:
        say_json({**plan_json(desk, built.plan), "doubts": list(built.doubts)})
        return 0
    tell_plan(desk, built.plan)
    for doubt in built.doubts:
        say(f"? {doubt}")
    if arguments.players:
        _tell_players(desk, built.plan)
    if built.practice is None:
        say("Only looked at; nothing was stored. Without --what-if it is kept.")
        if near and not built.plan.proven:
            say("Searched for a moment near the plan that stands; --exact searches to the end.")
    else:
        say(f"Stored as practice {built.practice}. {UNDO_HINT}. Paper: stopsheet print plan")
    return 0


def _standing(desk: Desk, wishes: Wishes) -> Plan | None:
    """Return the plan that stands for the day, if there is one."""
    try:
        return find_plan(desk, wishes.date)
    except Refusal:
        return None


def _tell_players(desk: Desk, found: Plan) -> None:
    from planner.paper.terminal import players_table

    say("")
    draw(players_table(players_of(found, desk.library.by_id), width()))


def _wishes(arguments: Namespace, today: dt.date) -> Wishes:
    return Wishes(
        date=parse_date(arguments.on, today),
        minutes=arguments.minutes,
        start=parse_clock(arguments.start) if arguments.start else None,
        squad=arguments.squad,
        away=tuple(arguments.away),
        pins=parse_pins(arguments.pin),
        keep_out=tuple(arguments.keep_out),
        fixed=tuple(_fixed(*one) for one in arguments.fixed),
        coaches=arguments.coaches,
        load_ceiling=arguments.load,
        stations=_stations(arguments),
        station_pins=parse_station_pins(arguments.stations or ()),
        group_by=arguments.groups,
        late=parse_late(arguments.late),
        film=parse_film_session(arguments.film_session) if arguments.film_session else None,
    )


def _stations(arguments: Namespace) -> bool | None:
    """Return whether stations are wanted: named pairs say so themselves."""
    if arguments.no_stations:
        return False
    return True if arguments.stations == [] else None


def _fixed(title: str, minutes: str, at: str) -> FixedBlock:
    length, name = whole_minutes(minutes), clean_line(title, 60)
    if length is None:
        raise Refusal(f"'{clean_line(minutes, 20)}' is no whole number of minutes for '{name}'.")
    return FixedBlock(name, length, block_place(at))


def block_place(at: str) -> int | str:
    """Return where a fixed block goes: ``first``, ``last`` or minutes after the start.

    Raises:
        Refusal: it is none of these.

    """
    if at in {"first", "last"}:
        return at
    after = whole_minutes(at)
    if after is not None:
        return after
    raise Refusal(
        f"'{clean_line(at, 20)}' is no place for a block; say first, last or minutes after the start."
    )


def tell_plan(desk: Desk, found: Plan) -> None:
    """Show a plan: the table, how good it is, what is left out, what to mind."""
    from planner.paper.terminal import plan_table

    draw(plan_table(found, drill_titles(desk), width()))
    say("")
    say(proof(found))
    near = [one for one in found.left_out if one.why.startswith(("in place", "putting"))][:SHOWN_LEFT_OUT]
    if near:
        say("Nearest left out:")
        for one in near:
            say(f"  {one.drill}: {one.why}")
    for warning in found.warnings:
        say(f"! {warning}")


def proof(found: Plan) -> str:
    """Return in one sentence how good the plan is known to be."""
    worth = f"Worth {found.objective:.2f} points per 100 possessions by the planning weights"
    if found.proven:
        return f"{worth}; proven: no plan within these rules is worth more ({found.seconds:.1f} s)."
    gap = (found.bound - found.objective) / found.bound if found.bound else 0.0
    return f"{worth}; it may be off by at most {gap:.1%} ({found.seconds:.1f} s)."


def print_(arguments: Namespace) -> int:
    """Put the stored plan on paper, or drill cards."""
    if arguments.what == "drill":
        from planner.cli.drills import print_cards

        return print_cards(arguments)
    if arguments.what == "season":
        from planner.cli.review import print_review

        return print_review(arguments)
    if arguments.ids:
        raise Refusal(f"'{clean_line(arguments.ids[0], 40)}' is one word too many; see 'stopsheet print -h'.")
    desk = open_desk()
    day = parse_date(arguments.on, desk.today) if arguments.on else None
    if arguments.audience != "coach":
        from planner.cli.review import print_for

        return print_for(desk, find_plan(desk, day), arguments)
    printed = print_plan(
        desk,
        find_plan(desk, day),
        Path(arguments.to) if arguments.to else None,
        paper=arguments.paper,
        large=arguments.large,
        why=not arguments.no_why,
        overwrite=arguments.overwrite,
    )
    say(f"Printed to {printed.path}")
    for one in printed.notes:
        say(f"  {one}")
    return 0
