"""The season on one screen, and its minutes in every cut."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from rich.cells import set_cell_size
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from planner.drills.vocabulary import Stage
from planner.paper.frame import GAP, NARROWEST, empty_table, fitted, said
from planner.paper.screenful import folded
from planner.season.balance import Period
from planner.season.ledger import NO_STAGE, Kept, PlayerMinutes
from planner.season.minutes import BESIDES
from planner.season.periods import Compared, Stretch
from planner.season.review import Review
from planner.season.targets import TargetRow
from planner.text import plural

Week = tuple[str, Mapping[str, float], float]
"""A week's label, its minutes per principle, and all its minutes."""

_WEEK = 4
_SUMS = (("sum", 5), ("taught", 6), ("need", 5), ("", 4))
_NAME = 25


def season_table(
    weeks: Sequence[Week],
    need_shares: Mapping[str, float],
    titles: Mapping[str, str],
    width: int = NARROWEST,
    ascii_only: bool = False,
    most: int | None = None,
    span: str = "week",
) -> Group:
    """Return minutes per principle and week (or another ``span``) beside each principle's share of the need.

    ``need_shares`` maps principle id to a share of 1; ``titles`` principle id to title. As many of the last
    weeks as fit are shown, but sums and shares count all of them. "less" and "more" mark a principle whose
    share of the taught minutes differs from its share of the need by a third or more, and at least 5 %.
    ``most`` cuts the list; the principles cut off share one line.
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
    cut = order[most:] if most is not None and len(order) > most + 1 else []
    for one in order[: len(order) - len(cut)]:
        given, needed = (sums.get(one, 0.0) / taught if taught else 0.0), need_shares.get(one, 0.0)
        table.add_row(
            Text(fitted(said(titles.get(one, one), 60), named)),
            *(Text(_minutes(week[1].get(one, 0.0))) for week in shown),
            Text(_minutes(sums.get(one, 0.0))),
            Text(f"{given * 100:.0f} %"),
            Text(f"{needed * 100:.0f} %"),
            Text(_verdict(given, needed, taught)),
        )
    if cut:
        rest = sum(sums.get(one, 0.0) for one in cut)
        table.add_row(
            f"{len(cut)} more (--all)",
            *(_minutes(sum(week[1].get(one, 0.0) for one in cut)) for week in shown),
            _minutes(rest),
            f"{rest / taught * 100 if taught else 0:.0f} %",
            f"{sum(need_shares.get(one, 0.0) for one in cut) * 100:.0f} %",
            "",
        )
    others = [week[2] - sum(week[1].values()) for week in weeks]
    for name, values in (("Everything else", others), ("All minutes", [one[2] for one in weeks])):
        last = values[len(values) - len(shown) :]
        table.add_row(name, *(_minutes(one) for one in last), _minutes(sum(values)), "", "", "")
    parts: list[RenderableType] = [Text(f"Minutes taught, {span} by {span}", style="bold"), table]
    parts += _legend(len(weeks) - len(shown), short=most is not None)
    return Group(*parts)


def _legend(hidden: int, short: bool) -> list[RenderableType]:
    earlier = f"{plural(hidden, 'earlier week')} not shown; sums and shares count them." if hidden else ""
    if short:
        marks = "taught, need: shares; less, more: than the need."
        return [Text(f"{marks} {plural(hidden, 'earlier week')} counted too." if hidden else marks, "dim")]
    marks = "taught: share of the taught minutes; need: share of the points lost; less, more: than the need."
    return [Text(one) for one in (earlier, marks) if one]


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


# ---- one screen ------------------------------------------------------------------------------------------


def overview(
    weeks: Sequence[Week],
    review: Review,
    titles: Mapping[str, str],
    below: Sequence[str],
    width: int = NARROWEST,
    ascii_only: bool = False,
    rows: int | None = None,
) -> Group:
    """Return the season on one screen: the table, the largest gaps, and the lines ``below``.

    With ``rows``, the lines of the screen, the table is cut so that all of it fits.
    """
    width = max(width, NARROWEST)
    gaps = gap_line(review, titles)
    tail = [line for one in (gaps, *below) if one for line in folded(one, width, 0)]
    shares = {one.principle: one.need_share for one in review.principles}
    most = None if rows is None else max(4, rows - len(tail) - 7)
    return Group(season_table(weeks, shares, titles, width, ascii_only, most), *tail)


def gap_line(review: Review, titles: Mapping[str, str], most: int = 3) -> str:
    """Return the largest gaps between minutes and need, in one sentence."""
    if not any(one.minutes for one in review.principles):
        return ""
    rows = sorted(
        review.principles, key=lambda one: (-abs(one.minutes_share - one.need_share), one.principle)
    )
    parts = [
        f"{said(titles.get(one.principle, one.principle), 60)}"
        f" {'more' if one.minutes_share > one.need_share else 'less'}"
        f" ({one.minutes_share:.0%} of the minutes, {one.need_share:.0%} of the need)"
        for one in rows[:most]
        if abs(one.minutes_share - one.need_share) >= 0.02
    ]
    return f"Largest gaps: {'; '.join(parts)}." if parts else "Minutes go where the need is, within 2 %."


# ---- minutes in other cuts -------------------------------------------------------------------------------


def stages_table(
    seconds: Mapping[str, Mapping[str, int]], titles: Mapping[str, str], width: int = NARROWEST
) -> Group:
    """Return minutes per principle and stage; what is no drill stands under its own column."""
    stages = [*(one.value for one in Stage), NO_STAGE]
    keys = {key for part in seconds.values() for key in part}
    sums = {key: sum(part.get(key, 0) for part in seconds.values()) for key in keys}
    head = ("", *stages[:-1], "no stage", "sum")
    lines = [Text("Minutes by stage", "bold"), _row(head, width, bold=True, size=10, name=20)]
    for key in sorted(keys, key=lambda one: (one in BESIDES, -sums[one], one)):
        cells = [_minutes(seconds.get(stage, {}).get(key, 0) / 60) for stage in stages]
        lines.append(
            _row(
                (titles.get(key, key.capitalize()), *cells, _minutes(sums[key] / 60)), width, size=10, name=20
            )
        )
    totals = [_minutes(sum(seconds.get(stage, {}).values()) / 60) for stage in stages]
    lines.append(_row(("All minutes", *totals, _minutes(sum(sums.values()) / 60)), width, size=10, name=20))
    return Group(*lines)


def players_table(
    players: Sequence[PlayerMinutes], titles: Mapping[str, str], principle: str | None, width: int = NARROWEST
) -> Group:
    """Return who was there for how much, by jersey; for the coaches."""
    column = fitted(said(titles.get(principle, principle), 60), 25) if principle else ""
    head = ("Player", "practices", "missed", "minutes", "taught", column)
    lines = [
        Text("Minutes by player, absences respected", "bold"),
        _row(head, width, bold=True, size=11, last=26, name=10),
    ]
    for one in players:
        taught = sum(value for key, value in one.seconds.items() if key not in BESIDES)
        of_it = _minutes(one.seconds.get(principle, 0) / 60) if principle else ""
        cells = (one.jersey, str(one.practices), str(one.missed), _minutes(one.total / 60))
        lines.append(_row((*cells, _minutes(taught / 60), of_it), width, size=11, last=26, name=10))
    note = (
        "The log says who was absent, not who was in which group: whoever was there has the whole practice."
    )
    return Group(*lines, *folded(note, width, 0, "dim"))


def kept_table(kept: Kept, titles: Mapping[str, str], width: int = NARROWEST) -> Group:
    """Return minutes planned beside minutes done."""
    head = ("", "planned", "done", "apart", "unplanned")
    lines = [Text("Planned and done, in minutes", "bold"), _row(head, width, bold=True, size=11)]
    for one in kept.rows:
        cells = (_minutes(one.planned), _minutes(one.done), f"{one.apart:+.0f}", _minutes(one.unplanned))
        lines.append(_row((titles.get(one.key, one.key.capitalize()), *cells), width, size=11))
    said_of = (
        f"{plural(kept.with_plan, 'practice')} with a plan, {kept.without_plan} without"
        " (unplanned: the minutes of those)."
    )
    lines += folded(said_of, width, 0, "dim")
    if kept.not_logged:
        days = ", ".join(one.isoformat() for one in kept.not_logged[-6:])
        lines += folded(f"Planned but not logged: {days}.", width, 0, "dim")
    return Group(*lines)


def targets_table(rows: Sequence[TargetRow], titles: Mapping[str, str], width: int = NARROWEST) -> Group:
    """Return weekly targets beside the last weeks' minutes; ``*`` marks the running week."""
    shown = rows[0].weeks[-4:] if rows else ()
    heads = [f"{one.week[5:]}{'*' if one.running else ''}" for one in shown]
    lines = [
        Text("Minutes a week wanted and done", "bold"),
        _row(("", "target", *heads, "met"), width, bold=True),
    ]
    for one in rows:
        spent = [_minutes(week.minutes) for week in one.weeks[-4:]]
        met = f"{one.met} of {len(one.over)}"
        lines.append(_row((titles.get(one.principle, one.principle), f"{one.target:g}", *spent, met), width))
    return Group(*lines, Text("* the running week; met: of the weeks that are over.", "dim"))


def balance_table(
    periods: Sequence[Period], titles: Mapping[str, str], gaps: str, width: int = NARROWEST
) -> Group:
    """Return share of minutes / share of need, in per cent, period by period; the last ones that fit."""
    width = max(width, NARROWEST)
    fit = max(1, (width - _NAME) // 8)
    shown = list(periods[-fit:])
    heads = [one.label[5:] if "-W" in one.label else one.label for one in shown]
    lines = [
        Text("Share of the minutes / share of the need, per cent", "bold"),
        _row(("", *heads), width, bold=True, size=8),
    ]
    for one in sorted(shown[-1].needs if shown else (), key=lambda key: -shown[-1].needs[key]):
        cells = [f"{100 * part.shares.get(one, 0.0):.0f}/{100 * part.needs[one]:.0f}" for part in shown]
        lines.append(_row((titles.get(one, one), *cells), width, size=8))
    if len(shown) < len(periods):
        lines.append(Text(f"{len(periods) - len(shown)} earlier periods not shown (--json has them).", "dim"))
    note = "The need is that of the film and emphasis of each period's last day."
    return Group(*lines, *folded(gaps, width, 0), *folded(note, width, 0, "dim"))


def compare_table(
    sides: tuple[Stretch, Stretch],
    rows: Sequence[Compared],
    titles: Mapping[str, str],
    width: int = NARROWEST,
) -> Group:
    """Return two periods side by side: minutes a week and times seen per 100 possessions."""
    first, second = sides
    lines = [Text("Two periods side by side", "bold")]
    for name, one in (("A", first), ("B", second)):
        rating = f", mean rating {one.rating:.1f}" if one.rating is not None else ""
        span = f"{one.since.isoformat()} to {one.until.isoformat()}"
        counted = f"{plural(len(one.practices), 'practice')}, {plural(len(one.games), 'game')} with film"
        lines += folded(f"{name}: {span}, {counted}{rating}.", width, 0)
    lines.append(_row(("", "A min/wk", "B min/wk", "A /100", "B /100", "film says"), width, True, last=16))
    for row in rows:
        spent = [value / side.weeks for value, side in zip(row.minutes, sides, strict=True)]
        cells = (*(_minutes(one) for one in spent), *(f"{one.rate:.1f}" for one in row.seen))
        lines.append(_row((titles.get(row.principle, row.principle), *cells, row.verdict), width, last=16))
    method = next((row.test.method for row in rows if row.test is not None), "")
    note = (
        f"Test: {method}; p-values corrected for all principles (Holm)."
        if method
        else "Too little film to test."
    )
    note += " Association, not cause: opponents, line-ups and chance changed too."
    return Group(*lines, *folded(note, width, 0, "dim"))


def _row(
    cells: Sequence[str],
    width: int,
    bold: bool = False,
    size: int = 9,
    last: int | None = None,
    name: int = _NAME - 1,
) -> Text:
    """Return one line: a name, then figures to the right; ``last`` is the width of the last one."""
    sizes = [size] * (len(cells) - 1)
    if last is not None:
        sizes[-1] = last
    rest = "".join(
        f" {fitted(one, room - 1):>{room - 1}}" for one, room in zip(cells[1:], sizes, strict=True)
    )
    line = f"{set_cell_size(fitted(said(cells[0], 60), name), name)}{rest}".rstrip()
    return Text(fitted(line, max(width, NARROWEST)), "bold" if bold else "")
