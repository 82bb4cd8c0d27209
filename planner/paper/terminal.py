"""The plan, the needs and the season as tables for a terminal or a text file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.console import Group, RenderableType
from rich.text import Text

from planner.build.plan import Plan, Segment, Station
from planner.build.players import PlayerPlan
from planner.build.stations import jersey_order
from planner.clock import clock_text
from planner.paper.files import MADE_BY
from planner.paper.frame import GAP, NARROWEST, empty_table, plain_text, said
from planner.paper.needs_view import needs_table
from planner.paper.printable import day_in_words
from planner.paper.season_view import Week, season_table
from planner.text import plural

__all__ = ["Week", "needs_table", "plain_text", "plan_table", "plan_text", "players_table", "season_table"]

# ---- the plan --------------------------------------------------------------------------------------------


def plan_table(
    plan: Plan, titles: Mapping[str, str], width: int = NARROWEST, ascii_only: bool = False
) -> Group:
    """Return the plan for ``width`` columns (80 or more): clock, minutes, what, who and why.

    ``titles`` maps drill id to title. Nothing in the plan is read as markup; ``ascii_only`` draws rules with
    plain characters.
    """
    width = max(width, NARROWEST)
    table = empty_table(ascii_only)
    rest = width - 5 - 3 - 3 * GAP
    what = max(34, min(rest * 55 // 100, 64))
    table.add_column("Clock", width=5, no_wrap=True)
    table.add_column("Min", width=3, justify="right", no_wrap=True)
    table.add_column("What and who", width=what, overflow="fold")
    table.add_column("Why", width=rest - what, overflow="fold")
    everyone = frozenset(name for one in plan.segments for each in one.stations for name in each.players)
    for one in plan.segments:
        drilled = one.kind in {"drill", "warm-up"}
        clock = Text(clock_text(one.start), style="bold" if drilled else "")
        table.add_row(clock, Text(str(one.minutes)), _what(one, titles, everyone), Text(said(one.why)))
    parts: list[RenderableType] = [*_plan_head(plan), table]
    parts += [Text(f"! {said(one)}", overflow="fold") for one in plan.warnings]
    return Group(*parts)


def players_table(players: Sequence[PlayerPlan], width: int = NARROWEST, ascii_only: bool = False) -> Group:
    """Return each player's minutes per principle, one line each, those with most minutes as columns.

    What the columns have no room for stands under "rest"; a line adds up to the practice.
    """
    width = max(width, NARROWEST)
    sums: dict[str, float] = {}
    for one in players:
        for key, minutes in one.minutes.items():
            sums[key] = sums.get(key, 0.0) + minutes
    shown: list[str] = []
    room = width - 6 - 2 * (5 + GAP)
    for key in sorted(sums, key=lambda one: (-sums[one], one)):
        if room >= max(5, len(key)) + GAP:
            shown.append(key)
            room -= max(5, len(key)) + GAP
    table = empty_table(ascii_only)
    table.add_column("Player", no_wrap=True)
    for key in (*shown, "rest", "all"):
        table.add_column(said(key, 20), justify="right", no_wrap=True)
    for one in players:
        given = one.minutes
        mine = [given.get(key, 0.0) for key in shown]
        whole = sum(given.values())
        cells = [f"{value:.1f}" if value else "-" for value in (*mine, whole - sum(mine))]
        table.add_row(Text(said(one.jersey, 12)), *(Text(cell) for cell in cells), Text(f"{whole:g}"))
    return Group(table)


def _plan_head(plan: Plan) -> list[RenderableType]:
    end = clock_text(plan.start + plan.minutes)
    when = f"{clock_text(plan.start)} to {end}, {plural(plan.minutes, 'minute')}"
    load = f"; expected load {plan.load:.0f}" if plan.load else ""
    return [Text(day_in_words(plan.date), style="bold"), Text(when + load), Text("")]


def _what(segment: Segment, titles: Mapping[str, str], squad: frozenset[str]) -> Text:
    heavy = "bold" if segment.kind in {"drill", "warm-up"} else ""
    title = said(segment.title, 90) or segment.kind
    drills = {one.drill: said(titles.get(one.drill, one.drill), 90) for one in segment.stations}
    several = len(drills) > 1
    everyone = len(segment.stations) == 1 and segment.stations[0].group == "all"
    out = Text(overflow="fold")
    if not several or not all(one in title for one in drills.values()):
        out.append(title, style=heavy)
    for one in segment.stations:
        if several:
            out.append("\n" if out else "").append(drills[one.drill], style=heavy)
        out.append("\n").append(f"{_all_but(one, squad)}, {_half(one)}" if everyone else _who(one))
    return out


def _all_but(station: Station, squad: frozenset[str]) -> str:
    missing = sorted(squad.difference(station.players), key=jersey_order)
    return f"everyone but {' '.join(said(one, 12) for one in missing)}" if missing else "everyone"


def _half(station: Station) -> str:
    return {"A": "half A", "B": "half B", "full": "full"}.get(station.half, said(station.half, 12))


def _who(station: Station) -> str:
    half = _half(station)
    group = said(station.group, 24)
    named = f"{group}, {half}" if group and group not in {station.half, half} else half
    return f"{named}: {' '.join(said(one, 12) for one in station.players)}" if station.players else named


def plan_text(
    plan: Plan, titles: Mapping[str, str], width: int = NARROWEST, ascii_only: bool = False, mark: bool = True
) -> str:
    """Return ``plan_table`` as plain text without colour, line by line; ``mark`` signs it for a file."""
    text = plain_text(plan_table(plan, titles, width, ascii_only), width)
    return f"{text}\n{MADE_BY}\n" if mark else text
