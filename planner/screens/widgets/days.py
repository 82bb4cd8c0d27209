"""The strip of days until the next game: when, how heavy, and what each works on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rich.text import Text

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.horizon import DaysAhead, PracticeDay, most_minutes
from planner.text import clean_line

STEPS = "▁▂▃▄▅▆▇█"
NARROWEST, WIDEST = 12, 44
"""Columns of a day in the strip, the gap included."""


@dataclass(frozen=True, slots=True)
class Cell:
    """Three lines of the strip; ``style`` is that of the first."""

    lines: tuple[str, str, str]
    style: str = ""
    shown: bool = False


def days_strip(
    ahead: DaysAhead,
    shown: tuple[dt.date, int] | None,
    titles: Mapping[str, str],
    width: int,
    proposed: Mapping[dt.date, Plan],
) -> Text:
    """Return the days as three lines of ``width`` columns; the day shown stands in brackets.

    Where there is no room for all days, those about the one shown are there.
    """
    if not ahead.days and ahead.game is None:
        return Text("No game and no practice is known for the next days: 6 Team has the calendar.\n\n")
    game = 1 if ahead.game else 0
    room = max(1, width // NARROWEST - game)
    days = _about(ahead.days, shown, room)
    size = max(NARROWEST, min(WIDEST, width // (max(1, len(days)) + game)))
    most = max((_height(one, proposed) for one in ahead.days), default=0.0)
    cells = [_day(one, shown, titles, size - 1, proposed.get(one.date), most) for one in days]
    if not days:
        cells.append(Cell(("No gym hours", "before the game:", "6 Team has the gym"), "bold"))
    if ahead.game:
        cells.append(_game(ahead, size - 1))
    out = Text(no_wrap=True, overflow="ellipsis", end="")
    for number in range(3):
        for cell in cells:
            words = cell.lines[number]
            text = f"[{words}]" if cell.shown and number == 0 else f" {words} "
            out.append(f"{text:<{size}}"[:size], style=_style(cell, number))
        out.append("\n" if number < 2 else "")
    return out


def _style(cell: Cell, number: int) -> str:
    return "bold" if cell.shown or (number == 0 and cell.style) else ""


def _about(
    days: Sequence[PracticeDay], shown: tuple[dt.date, int] | None, room: int
) -> Sequence[PracticeDay]:
    place = next((n for n, one in enumerate(days) if shown and (one.date, one.start) == shown), 0)
    first = max(0, min(place - room // 2, len(days) - room))
    return days[first : first + room]


def _height(day: PracticeDay, proposed: Mapping[dt.date, Plan]) -> float:
    plan = proposed.get(day.date)
    return plan.load if plan else day.load if day.load is not None else day.ceiling or 0.0


def _day(
    day: PracticeDay,
    shown: tuple[dt.date, int] | None,
    titles: Mapping[str, str],
    width: int,
    plan: Plan | None,
    most: float,
) -> Cell:
    load = _height(day, {day.date: plan} if plan else {})
    bar = STEPS[min(len(STEPS) - 1, int(load / most * (len(STEPS) - 1) + 0.5))] if most and load else " "
    minutes = plan.minutes if plan else day.minutes
    if plan is None and day.load is None:
        figure, works = (f"≤{day.ceiling:.0f}" if day.ceiling else "", "not planned")
    else:
        over = "!" if day.ceiling and load > day.ceiling + 0.5 and plan is None else ""
        figure = f"{load:.0f}{over}"
        works = _works(most_minutes(plan) if plan else day.minutes_for or {}, titles, width - 2)
    if width >= 20:
        figure = f"load {figure}" if figure else ""
    if plan is not None and width >= 20:
        figure += " new?"
    elif plan is not None:
        figure += "?"
    elif day.state == "done":
        works = "run"
    head = f"{day.date:%a} {day.date.day} {day.date:%b}" if width >= 14 else f"{day.date:%a} {day.date.day}"
    head += f" {clock_text(day.start)}" if width >= 20 else ""
    unit = " min" if width >= 20 else "'"
    return Cell((head, f"{minutes}{unit} {figure} {bar}", works), "bold", (day.date, day.start) == shown)


def _works(minutes: Mapping[str, float], titles: Mapping[str, str], width: int) -> str:
    """Return the needs a day works on most, with their minutes, as many as there is room for."""
    words = ""
    for one in list(minutes)[:3]:
        title, figure = titles.get(one, one), f" {minutes[one]:.0f}"
        said = title + figure
        if not words and len(said) > width:
            return f"{title[: width - len(figure) - 1]}…{figure}"
        if words and len(words) + 2 + len(said) > width:
            break
        words += f", {said}" if words else said
    return words


def _game(ahead: DaysAhead, width: int) -> Cell:
    assert ahead.game is not None
    date = ahead.game.date
    head = f"{date:%a} {date.day} {date:%b}" if width >= 14 else f"{date:%a} {date.day}"
    more = f", {ahead.more} days more" if ahead.more and width >= 20 else ""
    opponent = clean_line(ahead.game.opponent, width - 4)
    return Cell((head, f"GAME{more}", f"v {opponent}"), "bold")
