"""How fast film notes are read: a season's folder, and a long narration. Prints figures; never fails.

Seconds are the processor's, so that other work on the machine changes little.

Run as ``python -m tests.bench.film [FILES] [CUES]``. The measure beside ours is a bare loop of the standard
library: ``csv.reader`` over the same rows and one ``executemany`` into a new SQLite file, with nothing read
from any word.
"""

from __future__ import annotations

import csv
import datetime as dt
import random
import sqlite3
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path

from planner.cli.show import say
from planner.desk.desk import Desk
from planner.desk.film import add_files
from planner.desk.film_reading import lexicon, read_files
from planner.film.captions import read_captions
from planner.film.cues import timestamp
from planner.store import queries
from planner.store.values import PlayerInfo, TeamInfo

FIRST = dt.date(2026, 10, 1)
SAID = (
    "no box out {}",
    "late closeout {}",
    "no tag {}",
    "ball watching {}",
    "beat off the dribble {}",
    "no talk",
    "stop",
    "clean",
)
TALK = (
    "okay next one here it comes off the side",
    "twenty one never boxed out he just watched the shot go up",
    "that is how you tag bump him and go i love it",
    "and fifteen is late getting out to the shooter in the corner",
    "if he does not tag this guy gets a dunk every time",
    "nobody says a word on that screen it is dead quiet",
    "run it back for me let us see that again",
    "they are in the gap they are early good hands",
    "he jumps at the pump fake and he is in the air",
    "watch the week side now what do we see there",
)


def season(folder: Path, files: int, rng: random.Random) -> int:
    """Write typed sheets of sixty possessions; return the number of their lines."""
    lines = 0
    for number in range(files):
        date = FIRST + dt.timedelta(days=number % 400)
        text = [f"Date: {date.isoformat()}", f"Opponent: Club {number}"]
        for trip in range(60):
            clock = f"{7 - trip % 15 // 2}:{50 - 3 * (trip % 15):02d}"
            said = rng.choice(SAID).format(rng.choice(("4", "12", "15", "21", "33")))
            text.append(f"Q{1 + trip // 15} {clock} {rng.choice((0, 0, 2, 3))} {said}")
        lines += len(text)
        (folder / f"{number:03d}.txt").write_text("\n".join(text) + "\n", encoding="utf-8")
    return lines


def bare(folder: Path) -> float:
    """Return the seconds of a bare csv and SQLite loop over the same lines."""
    start = time.process_time()
    with closing(sqlite3.connect(folder / "bare.db")) as connection, connection:
        connection.execute("CREATE TABLE line (file TEXT, number INTEGER, cells TEXT)")
        for path in sorted(folder.glob("*.txt")):
            with path.open(encoding="utf-8", newline="") as file:
                rows = [
                    (path.name, n, "|".join(row)) for n, row in enumerate(csv.reader(file, delimiter=" "))
                ]
            connection.executemany("INSERT INTO line VALUES (?, ?, ?)", rows)
    return time.process_time() - start


def talk(cues: int, rng: random.Random) -> str:
    """Return captions of so many cues of nine words or so."""
    times = range(0, 3000 * cues, 3000)
    blocks = [f"{timestamp(at)} --> {timestamp(at + 2800)}\n{rng.choice(TALK)}" for at in times]
    return "\n\n".join(["WEBVTT", *blocks]) + "\n"


def main(files: int = 300, cues: int = 10_000) -> None:
    """Print what reading, adding and hearing cost."""
    rng = random.Random(7)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "film"
        folder.mkdir()
        desk = Desk(Path(name) / "home", FIRST + dt.timedelta(days=500), lambda: dt.datetime.now(dt.UTC))
        with desk.store.session() as session:
            queries.save_team(session, TeamInfo("Bench"))
            for jersey in ("4", "12", "15", "21", "33"):
                queries.save_player(session, PlayerInfo(jersey))
        lines = season(folder, files, rng)
        words = lexicon(desk)
        baseline = bare(folder)
        begun = time.process_time()
        read = read_files(desk, [folder])
        reading = time.process_time() - begun
        begun = time.process_time()
        added = add_files(desk, [folder])
        adding = time.process_time() - begun
        seen = sum(len(one.intake.sightings) for one in read.readings)
        unclear = sum(len(one.intake.unclear) for one in read.readings)
        say(f"{files} sheets, {lines} lines, {seen} breakdowns, {unclear} unclear, {len(added.new)} added")
        say(f"read   {reading:6.2f} s  {lines / reading:8.0f} lines/s  {reading / baseline:6.1f} x bare")
        say(f"add    {adding:6.2f} s  {lines / adding:8.0f} lines/s  {adding / baseline:6.1f} x bare")
        say(f"bare   {baseline:6.2f} s  {lines / baseline:8.0f} lines/s  (csv.reader and executemany)")
        desk.close()
    text = talk(cues, rng)
    read_captions(talk(10, rng), words)
    begun = time.process_time()
    heard = read_captions(text, words, {"4", "12", "15", "21", "33"})
    took = time.process_time() - begun
    say(f"{cues} cues in {took:.2f} s ({cues / took:.0f} cues/s): {len(heard.sightings)} proposed")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
