"""Where a running practice stands, in words."""

from __future__ import annotations

from planner.desk.floor_file import Running
from planner.season import floor
from planner.season.floor import Run
from planner.text import clean_line, plural


def clock_words(milliseconds: int) -> str:
    """Return time left as ``"4:07"``, time over as ``"+1:12"``; a second counts until it is over."""
    if milliseconds < 0:
        seconds = -milliseconds // floor.SECOND
        return f"+{seconds // 60}:{seconds % 60:02d}"
    seconds = -(-milliseconds // floor.SECOND)
    return f"{seconds // 60}:{seconds % 60:02d}"


def late_words(run: Run) -> str:
    """Return how practice stands against its time, in whole minutes."""
    minutes = round(run.late / (60 * floor.SECOND))
    if minutes > 0:
        return f"{plural(minutes, 'minute')} late"
    return f"{plural(-minutes, 'minute')} early" if minutes < 0 else "on time"


def in_words(state: Running, run: Run) -> list[str]:
    """Return where practice stands, in two or three lines."""
    day = f"{state.began:%a} {state.began.day} {state.began:%b}"
    if run.over:
        return [f"{day}: practice is over, {state.clock(state.events[0].at)} to {state.clock(run.ends)}."]
    one = run.current
    left = clock_words(one.left)
    time = f"over by {left.removeprefix('+')}" if left.startswith("+") else f"{left} left"
    paused = "  (clock stopped)" if run.paused else ""
    score = f"  {one.stops} stops of {one.tries}" if one.tries else ""
    return [
        f"{day}: began {state.clock(state.events[0].at)}, ends {state.clock(run.ends)}, {late_words(run)}.",
        f"Now: {clean_line(one.segment.title)}, {time}{score}{paused}",
    ]
