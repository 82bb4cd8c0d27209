"""The running practice in words: what runs, what comes, what was done."""

from __future__ import annotations

import datetime as dt

from planner.build.plan import Plan
from planner.clock import clock_text
from planner.desk.floor import Confirmed
from planner.desk.floor_file import Running
from planner.desk.floor_words import clock_words
from planner.drills.card import Drill
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
    return (
        f"{words}\n{one.stops} {counted} of {plural(one.tries, 'try', 'tries')}"
        if one.tries
        else f"{words}\ns stop   m miss"
    )


def now_lines(run: Run, card: Drill | None) -> list[str]:
    """Return what runs now: its title, groups, cues and target."""
    segment = run.current.segment
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
            of = f" of {card.scoring.tries}" if card.scoring.tries else ""
            lines.append(f"Target: {card.scoring.target}{of} {card.scoring.counts}")
    return lines


def _where(half: str) -> str:
    return "full court" if half == "full" else f"half {half}"


def coming_text(state: Running, run: Run, *, wide: bool) -> str:
    """Return what is to come by clock time; on a wide screen with the groups."""
    if not run.coming:
        return "Then practice is over."
    lines = []
    for place, (one, at) in enumerate(zip(run.coming, run.starts, strict=True)):
        mark = "NEXT " if place == 0 else "     "
        groups = "  ".join(f"{each.half}: {' '.join(each.players)}" for each in one.segment.stations)
        several = wide and len(one.segment.stations) > 1
        tail = f"   {groups}" if several else ""
        begun = f"  ({clock_words(one.spent)} run)" if one.spent else ""
        minutes = clock_words(one.due * floor.SECOND)
        lines.append(f"{mark}{state.clock(at)} {minutes:>6}  {clean_line(one.segment.title)}{begun}{tail}")
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
