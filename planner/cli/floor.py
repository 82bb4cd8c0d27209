"""``stopsheet floor``: the running practice without a screen."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from planner.cli.by_number import minutes_by_number, stops_by_number
from planner.cli.show import say, say_json
from planner.clock import parse_date
from planner.desk import floor as desk_floor
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.floor import Confirmed
from planner.desk.floor_file import Running, now_of, running
from planner.desk.floor_rest import replan, shorter
from planner.desk.floor_words import in_words
from planner.problem import Refusal
from planner.season import floor, floor_rest
from planner.season.floor import Run, Stretch
from planner.text import clean_line


def start(arguments: Namespace) -> int:
    """Begin a practice."""
    desk = open_desk()
    day = parse_date(arguments.on, desk.today) if arguments.on else None
    return _show(desk, desk_floor.begin(desk, day), arguments)


def status(arguments: Namespace) -> int:
    """Show where the running practice stands."""
    desk = open_desk()
    state = running(desk)
    if state is None:
        if arguments.json:
            say_json(None)
        else:
            say("No practice is running; 'stopsheet floor start' begins today's.")
        return 1
    return _show(desk, state, arguments)


def next_(arguments: Namespace) -> int:
    """Go on."""
    desk = open_desk()
    return _show(desk, desk_floor.happen(desk, "next"), arguments)


def back(arguments: Namespace) -> int:
    """Go back."""
    desk = open_desk()
    return _show(desk, desk_floor.happen(desk, "back"), arguments)


def pause(arguments: Namespace) -> int:
    """Stop the clock or let it run."""
    desk = open_desk()
    return _show(desk, desk_floor.happen(desk, "pause"), arguments)


def undo(arguments: Namespace) -> int:
    """Take back what happened last."""
    desk = open_desk()
    return _show(desk, desk_floor.undo(desk), arguments)


def resume(arguments: Namespace) -> int:
    """Take up a run whose log was undone."""
    desk = open_desk()
    return _show(desk, desk_floor.bring_back(desk), arguments)


def drop(arguments: Namespace) -> int:
    """Put the run aside."""
    del arguments
    say(f"Put aside, not logged; it is kept as {desk_floor.drop(open_desk())}.")
    return 0


def extend(arguments: Namespace) -> int:
    """Give the running drill more minutes."""
    desk = open_desk()
    return _show(desk, desk_floor.happen(desk, "extend", arguments.minutes * 60), arguments)


def count(arguments: Namespace) -> int:
    """Count stops or misses."""
    desk = open_desk()
    return _show(desk, desk_floor.happen(desk, arguments.what, arguments.times), arguments)


def stop(arguments: Namespace) -> int:
    """End practice."""
    desk = open_desk()
    at = desk_floor.due_end(desk) if arguments.as_due else None
    return _show(desk, desk_floor.happen(desk, "end", at=at), arguments)


def catch_up(arguments: Namespace) -> int:
    """Make up time."""
    desk = open_desk()
    state = running(desk)
    if state is None:
        raise Refusal("No practice is running; begin one first (stopsheet floor start).")
    run = state.run(now_of(desk))
    coming = _coming(desk, run, arguments)
    if arguments.look:
        _tell_coming(state, floor_rest.changed(run, coming))
        say("Nothing was changed; leave --look off to do it.")
        return 0
    return _show(desk, desk_floor.take(desk, coming), arguments)


def _coming(desk: Desk, run: Run, arguments: Namespace) -> tuple[Stretch, ...]:
    if arguments.how == "shorten":
        return shorter(desk, run)
    if arguments.how == "plan":
        return replan(desk).coming
    if arguments.drill is None:
        raise Refusal("Say which stretch to come is dropped: stopsheet floor catch-up drop 2.")
    return floor_rest.without(run, arguments.drill - 1)


def log(arguments: Namespace) -> int:
    """Log the practice that is over."""
    confirmed = Confirmed(
        took=minutes_by_number(arguments.took),
        stops=stops_by_number(arguments.stops),
        absent=tuple(arguments.absent),
        rating=arguments.rating,
    )
    done, words = desk_floor.log_run(open_desk(), confirmed)
    if arguments.json:
        say_json({"date": done.date.isoformat(), "seconds": done.seconds, "segments": len(done.segments)})
        return 0
    say(f"Wrote the {words}: {done.seconds / 60:.1f} minutes.")
    say(UNDO_HINT)
    return 0


def _show(desk: Desk, state: Running, arguments: Namespace) -> int:
    run = state.run(now_of(desk))
    if arguments.json:
        say_json(_plain(state, run))
        return 0
    for line in in_words(state, run):
        say(line)
    if run.over:
        for number, one in enumerate(floor.done_segments(run, {}), 1):
            score = f"  {one.stops} of {one.tries}" if one.tries else ""
            say(f"  {number:2}  {one.seconds / 60:5.1f}  {clean_line(one.title)}{score}")
        say("Keep it with: stopsheet floor log")
    else:
        _tell_coming(state, run)
    return 0


def _tell_coming(state: Running, run: Run) -> None:
    for number, (one, at) in enumerate(zip(run.coming, run.starts, strict=True), 1):
        say(f"  {number:2}  {state.clock(at)}  {one.due / 60:4.1f}  {clean_line(one.segment.title)}")


def _plain(state: Running, run: Run) -> dict[str, Any]:
    return {
        "date": state.date.isoformat(),
        "began": state.began.isoformat(timespec="seconds"),
        "paused": run.paused,
        "over": run.over,
        "late_seconds": run.late // floor.SECOND,
        "ends": state.clock(run.ends),
        "now": {
            "title": run.current.segment.title,
            "left_seconds": run.current.left // floor.SECOND,
            "stops": run.current.stops,
            "tries": run.current.tries,
        },
        "coming": [
            {"start": state.clock(at), "seconds": one.due, "title": one.segment.title, "drill": one.drill}
            for one, at in zip(run.coming, run.starts, strict=True)
        ],
    }
