"""``stopsheet film enter`` and ``film letters``: what the app's live entry does, key by key."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Mapping
from typing import Any

from planner.cli.show import say, say_json
from planner.desk import watching, watching_keys
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.words import vocabulary
from planner.film import entry as pad
from planner.problem import Refusal
from planner.text import plural


def enter(arguments: Namespace) -> int:
    """Enter keys for a game, show what is entered, finish it or put it aside."""
    desk = open_desk()
    live = watching.open_live(desk, arguments.game)
    if arguments.keys == ["-"]:
        _stream(desk, live)
    else:
        chosen = watching_keys.letters(desk)
        keys = watching_keys.parse_keys(desk, " ".join(arguments.keys), live, chosen)
        live.press_all(keys)
    if arguments.drop:
        say(f"Put aside, not added; its keys are in {watching.drop(live)}.")
        return 0
    if arguments.finish:
        return _finish(desk, live, json=arguments.json)
    _tell(desk, live, json=arguments.json)
    return 0


def _stream(desk: Desk, live: watching.Live) -> None:
    """Take keys line by line and answer each line once they are on the disk."""
    chosen = watching_keys.letters(desk)
    titles = _titles(desk)
    for line in sys.stdin:
        try:
            live.press_all(watching_keys.parse_keys(desk, line, live, chosen))
        except Refusal as refusal:
            say(f"! {refusal}")
        else:
            say(f"{len(live.keys.pressed)} {_line(live.entry, titles)}")
        sys.stdout.flush()


def _finish(desk: Desk, live: watching.Live, *, json: bool) -> int:
    added = watching.finish(desk, live)
    intake = added.reading.intake
    if json:
        say_json({**intake.as_json(), "added": added.number, "game": added.game})
        return 0
    seen = sum(one.count for one in intake.sightings)
    say(f"Added {plural(len(intake.trips), 'possession')} with {plural(seen, 'breakdown')} to {added.game}.")
    for one in intake.unclear:
        say(f"  ?    line {one.line}: {one.text}  ({one.why})")
    say(UNDO_HINT)
    return 0


def _titles(desk: Desk) -> Mapping[str, str]:
    return {one.id: one.title for one in vocabulary(desk).breakdowns}


def _line(entry: pad.Entry, titles: Mapping[str, str]) -> str:
    now = pad.settled(entry)
    waiting = f"  [{', '.join(now.waiting)} waits]" if now.waiting else ""
    period = f"{now.now.period} " if now.now.period else ""
    return f"{period}possession {len(entry.done) + 1}: {pad.in_words(now.now, titles)}{waiting}"


def _tell(desk: Desk, live: watching.Live, *, json: bool) -> None:
    trips = live.entry.trips
    counts = pad.counts(trips)
    if json:
        say_json(_plain(live))
        return
    titles = _titles(desk)
    for problem in live.problems:
        say(f"  !    {problem}")
    say(f"{live.game.date.isoformat()} v {live.game.opponent}: {plural(len(trips), 'possession')} entered")
    say(f"  {_line(live.entry, titles)}")
    for breakdown, count in sorted(counts.items(), key=lambda one: (-one[1], one[0])):
        say(f"  {count:3}  {titles.get(breakdown, breakdown)}")
    if trips:
        say(f"Add it with: stopsheet film enter {live.game.id} --finish")
    else:
        say("Keys: a letter ('film letters') or breakdown, jerseys, .2 for points, next, Q2, undo.")


def _plain(live: watching.Live) -> dict[str, Any]:
    return {
        "game": live.game.id,
        "keys": list(live.keys.pressed),
        "possessions": [
            {
                "period": one.period,
                "points": one.points,
                "breakdowns": [{"id": each.breakdown, "players": list(each.players)} for each in one.charges],
            }
            for one in live.entry.trips
        ],
        "hanging": live.entry.hanging,
        "problems": live.problems,
    }


def letters(arguments: Namespace) -> int:
    """Show the letters of live entry, or give one to a breakdown."""
    desk = open_desk()
    for pair in arguments.pairs:
        letter, found, breakdown = pair.partition("=")
        if not found:
            raise Refusal("Write it as LETTER=BREAKDOWN, such as k=no-talk.")
        say(watching_keys.set_letter(desk, letter, breakdown))
    chosen = watching_keys.letters(desk)
    if arguments.json:
        say_json(chosen)
    elif not arguments.pairs:
        titles = _titles(desk)
        for letter, one in chosen.items():
            say(f"{letter}  {titles.get(one, one)}")
        say("Change one with: stopsheet film letters k=no-talk")
    return 0
