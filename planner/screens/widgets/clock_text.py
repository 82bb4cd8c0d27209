"""The running practice in words: what runs, what comes, what was done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from planner.build.plan import Plan, Station
from planner.clock import clock_text
from planner.desk.floor import Confirmed
from planner.desk.floor_file import Running
from planner.desk.floor_words import clock_words
from planner.drills.card import Drill, Scoring
from planner.season import floor
from planner.season.floor import Run
from planner.text import clean_line, plural


def idle_text(plan: Plan | None, today: dt.date, resumable: bool) -> str:
    """Return what could begin."""
    if resumable:
        return "The log of the last practice was undone.\n\nw takes that run up again where it ended."
    if plan is None:
        return "No plan is waiting. 1 goes to Tomorrow, where b builds one."
    when = "today" if plan.date == today else f"{plan.date:%A} {plan.date.isoformat()}"
    head = f"Planned for {when} {clock_text(plan.start)}, {plural(plan.minutes, 'minute')}. w begins it."
    rows = [f"{clock_text(one.start)} {one.minutes:4}  {clean_line(one.title)}" for one in plan.segments]
    return "\n".join([head, "", *rows])


def under_text(state: Running, run: Run, counted: str = "stops") -> str:
    """Return what stands under the clock: of how much, until when, and what was ``counted``."""
    one = run.current
    of = clock_words(one.due * floor.SECOND)
    words = f"OVER by {clock_words(one.left)[1:]} of {of}" if one.left < 0 else f"left of {of}"
    if run.paused:
        words = f"CLOCK STOPPED, {words}"
    elif one.left >= 0:
        words += f", until {state.clock(run.moment + one.left)}"
    if one.segment.kind != "drill":
        return words
    where = f", {_where(one.segment.stations[0].half)}" if len(one.segment.drills) > 1 else ""
    return (
        f"{words}\n{one.stops} {counted} of {plural(one.tries, 'try', 'tries')}{where}"
        if one.tries
        else f"{words}\ns stop   m miss{where}"
    )


def now_lines(run: Run, cards: Mapping[str, Drill], *, slim: bool = False) -> list[str]:
    """Return what runs now: its title, groups, cues and target; of two baskets what runs at each.

    ``slim`` leaves out what finds no room beside the clock on a screen of 60 columns.
    """
    segment = run.current.segment
    if len(segment.drills) > 1 and slim:
        return [f"NOW {one.half}  {_name(one, cards)}: {' '.join(one.players)}" for one in segment.stations]
    if len(segment.drills) > 1:
        return ["NOW  at two baskets", *(line for one in segment.stations for line in _basket(one, cards))]
    card = cards.get(run.current.drill or "")
    lines = [f"NOW  {clean_line(segment.title)}"]
    lines += [
        f"{one.group}, {_where(one.half)}: {' '.join(one.players)}"
        for one in segment.stations
        if one.group != "all"
    ]
    if len(segment.stations) == 1 and segment.stations[0].group == "all":
        lines.append(f"everyone, {_where(segment.stations[0].half)}")
    if card is not None:
        lines += [f"“{one}”" for one in card.cues[:4]]
        if card.scoring is not None:
            lines.append(_target(card.scoring))
    return lines


def _basket(station: Station, cards: Mapping[str, Drill]) -> list[str]:
    """Return what one group does at its basket: the drill, who, and the first cue."""
    card = cards.get(station.drill)
    lines = [
        f"{_where(station.half)}  {_name(station, cards)}",
        f"  {station.group}: {' '.join(station.players)}",
    ]
    return [*lines, *(f"  “{one}”" for one in card.cues[:1])] if card else lines


def _name(station: Station, cards: Mapping[str, Drill]) -> str:
    card = cards.get(station.drill)
    return clean_line(card.title if card else station.drill)


def _target(scoring: Scoring) -> str:
    of = f" of {scoring.tries}" if scoring.tries else ""
    return f"Target: {scoring.target}{of} {scoring.counts}"


def _where(half: str) -> str:
    return "full court" if half == "full" else f"half {half}"


def coming_text(state: Running, run: Run, cards: Mapping[str, Drill]) -> str:
    """Return what is to come by clock time; of two baskets what runs at each, and who."""
    if not run.coming:
        return "Then practice is over."
    lines = []
    for place, (one, at) in enumerate(zip(run.coming, run.starts, strict=True)):
        mark = "NEXT " if place == 0 else "     "
        begun = f"  ({clock_words(one.spent)} run)" if one.spent else ""
        minutes = clock_words(one.due * floor.SECOND)
        several = len(one.segment.drills) > 1
        title = "Two baskets" if several else clean_line(one.segment.title)
        lines.append(f"{mark}{state.clock(at)} {minutes:>6}  {title}{begun}")
        for each in one.segment.stations if len(one.segment.stations) > 1 else ():
            what = f" {_name(each, cards)}" if several else ""
            lines.append(f"{'':19}{each.half}{what}: {' '.join(each.players)}")
    return "\n".join(lines)


def done_rows(run: Run, confirmed: Confirmed) -> list[tuple[str, str, str]]:
    """Return the rows of the log: minutes (corrected ones with a mark), score and title."""
    rows = []
    for number, one in enumerate(floor.done_segments(run, {}), 1):
        took = confirmed.took.get(number)
        minutes = clock_words(one.seconds * floor.SECOND) if took is None else f"{took:g} *"
        stops, tries = confirmed.stops.get(number, (one.stops, one.tries))
        score = f"{stops} of {tries}" if tries else ""
        rows.append((minutes, score, clean_line(one.title)))
    return rows
