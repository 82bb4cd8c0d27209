"""The plan, the needs and the season as tables for a terminal or a text file."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rich.cells import set_cell_size
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import BreakdownEstimate, Needs, PrincipleNeed
from planner.paper.files import MADE_BY
from planner.paper.frame import GAP, NARROWEST, empty_table, fitted, plain_text, said
from planner.paper.printable import day_in_words, sentence
from planner.text import plural

__all__ = ["Week", "needs_table", "plain_text", "plan_table", "plan_text", "season_table"]

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
    for one in plan.segments:
        drilled = one.kind in {"drill", "warm-up"}
        clock = Text(clock_text(one.start), style="bold" if drilled else "")
        table.add_row(clock, Text(str(one.minutes)), _what(one, titles), Text(said(one.why)))
    parts: list[RenderableType] = [*_plan_head(plan), table]
    parts += [Text(f"! {said(one)}", overflow="fold") for one in plan.warnings]
    return Group(*parts)


def _plan_head(plan: Plan) -> list[RenderableType]:
    end = clock_text(plan.start + plan.minutes)
    when = f"{clock_text(plan.start)} to {end}, {plural(plan.minutes, 'minute')}"
    load = f"; expected load {plan.load:.0f}" if plan.load else ""
    return [Text(day_in_words(plan.date), style="bold"), Text(when + load), Text("")]


def _what(segment: Segment, titles: Mapping[str, str]) -> Text:
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
        out.append("\n").append(f"everyone, {_half(one)}" if everyone else _who(one))
    return out


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


# ---- the needs -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Ink:
    sure: str
    likely: str
    could: str
    dash: str


_BLOCKS = _Ink("█", "▓", "░", "–")
_LETTERS = _Ink("#", "=", "-", "-")


def needs_table(
    needs: Needs,
    vocabulary: Vocabulary,
    width: int = NARROWEST,
    ascii_only: bool = False,
    most: int | None = None,
) -> Group:
    """Return the needs, the costliest first: a bar, the number with its interval, rate and cost, a sentence.

    A bar is drawn solid to the low end of the interval, thinner to the estimate and thinnest to the high
    end, so that it reads without colour. ``most`` cuts the list.
    """
    width = max(width, NARROWEST)
    ink = _LETTERS if ascii_only else _BLOCKS
    shown = needs.principles[:most]
    top = max((one.high for one in shown), default=0.0)
    bar = max(14, min(width - 62, 48))
    parts = [
        Text(f"What costs us most, as of {day_in_words(needs.as_of)}", style="bold"),
        Text(
            "Points lost per 100 defensive possessions; "
            f"{needs.possessions} watched in {plural(needs.games, 'game')}."
        ),
        Text(""),
        Text(_needs_line("", "", "points (90 %)", "per 100", "each", bar), style="bold"),
    ]
    for one in shown:
        title = (
            vocabulary.principle_by_id[one.principle].title
            if one.principle in vocabulary.principle_by_id
            else ""
        )
        figures = f"{one.points_per_100:.1f} ({one.low:.1f}{ink.dash}{one.high:.1f})"
        drawn = _bar(one, top, bar, ink)
        line = _needs_line(
            said(title or one.principle), drawn, figures, f"{one.rate_per_100:.1f}", f"{one.cost:.2f}", bar
        )
        parts += [
            Text(line, no_wrap=True, overflow="ellipsis"),
            _sentence_line(one, needs, vocabulary, width),
        ]
    parts += [Text(""), *(Text(line) for line in _legend(ink))]
    parts += [Text(f"! {said(one)}", overflow="fold") for one in needs.notes]
    return Group(*parts)


def _needs_line(title: str, bar: str, figures: str, rate: str, cost: str, width: int) -> str:
    name, drawn = set_cell_size(fitted(title, 25), 25), set_cell_size(bar, width)
    return f"{name} {drawn} {figures:>16} {rate:>8} {cost:>6}"


def _bar(one: PrincipleNeed, top: float, width: int, ink: _Ink) -> str:
    if top <= 0:
        return ""
    low, middle, high = (
        round(max(0.0, min(value, top)) / top * width) for value in (one.low, one.points_per_100, one.high)
    )
    return ink.sure * low + ink.likely * max(0, middle - low) + ink.could * max(0, high - max(low, middle))


def _sentence_line(one: PrincipleNeed, needs: Needs, vocabulary: Vocabulary, width: int) -> Text:
    line = f"{one.share * 100:.0f} % of all points lost"
    worst = _worst(one.principle, needs.breakdowns, vocabulary)
    if worst is not None:
        title = said(vocabulary.breakdown_by_id[worst.breakdown].title, 60)
        line += f"; mostly: {title[:1].lower()}{title[1:]} ({worst.count} seen)"
    if one.carry_over_minutes >= 0.5:
        line += f"; {one.carry_over_minutes:.0f} min carried over"
    return Text(fitted("  " + sentence(line), width), style="dim", no_wrap=True)


def _worst(
    principle: str, breakdowns: Sequence[BreakdownEstimate], vocabulary: Vocabulary
) -> BreakdownEstimate | None:
    def points(one: BreakdownEstimate) -> float:
        known = vocabulary.breakdown_by_id.get(one.breakdown)
        return (known.shares.get(principle, 0.0) if known else 0.0) * one.rate_per_100 * one.cost

    worst = max(breakdowns, key=points, default=None)
    return worst if worst is not None and points(worst) > 0 else None


def _legend(ink: _Ink) -> tuple[str, str]:
    return (
        f"{ink.sure * 2} to the low end   {ink.likely * 2} to the estimate   {ink.could * 2} to the high end",
        "per 100: seen per 100 defensive possessions; each: points given away each time",
    )


# ---- the season ------------------------------------------------------------------------------------------

Week = tuple[str, Mapping[str, float], float]
"""A week's label, its minutes per principle, and all its minutes."""


_WEEK = 4
_SUMS = (("sum", 5), ("taught", 6), ("need", 5), ("", 4))


def season_table(
    weeks: Sequence[Week],
    need_shares: Mapping[str, float],
    titles: Mapping[str, str],
    width: int = NARROWEST,
    ascii_only: bool = False,
) -> Group:
    """Return minutes per principle and week beside each principle's share of the need.

    ``need_shares`` maps principle id to a share of 1; ``titles`` principle id to title. As many of the last
    weeks as fit are shown, but sums and shares count all of them. "less" and "more" mark a principle whose
    share of the taught minutes differs from its share of the need by a third or more, and at least 5 %.
    """
    width = max(width, NARROWEST)
    sums: dict[str, float] = {}
    for _, minutes, _ in weeks:
        for principle, spent in minutes.items():
            sums[principle] = sums.get(principle, 0.0) + spent
    order = sorted(
        {*sums, *need_shares}, key=lambda one: (-need_shares.get(one, 0.0), -sums.get(one, 0.0), one)
    )
    shown = list(weeks[-max(1, (width - 22 - sum(size + GAP for _, size in _SUMS)) // (_WEEK + GAP)) :])
    table, named = _season_frame(shown, width, ascii_only)
    taught = sum(sums.values())
    for one in order:
        given, needed = (sums.get(one, 0.0) / taught if taught else 0.0), need_shares.get(one, 0.0)
        table.add_row(
            Text(fitted(said(titles.get(one, one), 60), named)),
            *(Text(_minutes(week[1].get(one, 0.0))) for week in shown),
            Text(_minutes(sums.get(one, 0.0))),
            Text(f"{given * 100:.0f} %"),
            Text(f"{needed * 100:.0f} %"),
            Text(_verdict(given, needed, taught)),
        )
    others = [week[2] - sum(week[1].values()) for week in weeks]
    table.add_row(
        "Everything else",
        *(_minutes(one) for one in others[len(others) - len(shown) :]),
        _minutes(sum(others)),
        "",
        "",
        "",
    )
    table.add_row(
        "All minutes",
        *(_minutes(one[2]) for one in shown),
        _minutes(sum(one[2] for one in weeks)),
        "",
        "",
        "",
    )
    parts: list[RenderableType] = [Text("Minutes taught, week by week", style="bold"), table]
    if len(shown) < len(weeks):
        left = plural(len(weeks) - len(shown), "earlier week")
        parts.append(Text(f"{left} not shown; sums and shares count them."))
    parts.append(
        Text(
            "taught: share of the taught minutes; need: share of the points lost; less, more: than the need."
        )
    )
    return Group(*parts)


def _season_frame(shown: Sequence[Week], width: int, ascii_only: bool) -> tuple[Table, int]:
    table = empty_table(ascii_only)
    taken = (_WEEK + GAP) * len(shown) + sum(size + GAP for _, size in _SUMS)
    named = min(34, width - taken)
    table.add_column("Principle", width=named, no_wrap=True)
    for label, _, _ in shown:
        short = re.sub(r"^\d{4}-(?=W\d\d$)", "", said(label, 12))
        table.add_column(Text(fitted(short, _WEEK)), width=_WEEK, justify="right", no_wrap=True)
    for name, size in _SUMS:
        table.add_column(name, width=size, justify="right" if name else "left", no_wrap=True)
    return table, named


def _minutes(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 0.5 else "-"


def _verdict(given: float, needed: float, taught: float) -> str:
    apart = given - needed
    if taught <= 0 or abs(apart) < 0.05 or abs(apart) < needed / 3:
        return ""
    return "less" if apart < 0 else "more"
