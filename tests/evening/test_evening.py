"""A whole evening in a real pseudo-terminal: keys in, screens out, then the database and the PDF."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from planner.desk.desk import Desk
from planner.desk.floor_file import running
from planner.desk.practice import find_plan
from planner.store import queries

pytest.importorskip("pexpect", reason="no pseudo-terminals here")

from tests.evening.terminal import Terminal

NOTE = """Date: {day}
Opponent: Quillmarsh
Q1 8:42 2 no box out 21
Q1 8:10 0 wibbled 4
Q1 7:40 3 late closeout 7
"""


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the demo season as a coach's first command makes it, on the real day."""
    folder = tmp_path_factory.mktemp("evening")
    environ = {**os.environ, "STOPSHEET_HOME": str(folder / "base")}
    subprocess.run([sys.executable, "-m", "planner", "demo"], check=True, capture_output=True, env=environ)
    return folder / "base-demo"


@pytest.fixture
def home(started: Path, tmp_path: Path) -> Path:
    """Return a copy that the test may change."""
    return Path(shutil.copytree(started, tmp_path / "home"))


def desk_at(home: Path) -> Desk:
    return Desk(home, dt.datetime.now().astimezone().date())


def read_and_sort(coach: Terminal, note: Path) -> None:
    """Add the note, say of every old line that it is no mistake, and what the new word means."""
    coach.press("2", "r")
    coach.see("Which file or folder?")
    coach.type(str(note))
    coach.see("This would be added", "3 possessions, 2 breakdowns seen", "wibbled")
    coach.press("y")
    coach.see("v Quillmarsh", "4 lines unclear")
    coach.press("s")
    coach.see("4 lines to sort")
    for left in ("3 lines to sort", "2 lines to sort", "1 line to sort"):
        coach.press("g")
        coach.see(left)
    coach.see("wibbled")
    coach.press("b")
    coach.see("Nothing is unclear")
    coach.press("escape")
    coach.see("11 games with film")


def plan_and_print(coach: Terminal) -> None:
    """Build anew from the new film, swap the second drill for the first offer, and print without waiting."""
    coach.press("1")
    coach.see("film is newer than this plan")
    coach.press("b")
    coach.see_no_more("film is newer than this plan")
    coach.see("proven best", "18:15")
    coach.press("down", "s")
    coach.see("Enter choose")
    coach.press("enter")
    coach.see_no_more("Enter choose")
    coach.press("p")
    coach.see("Printed", ".pdf")
    coach.press("escape")
    coach.see_no_more("Esc close")


def run_and_log(coach: Terminal) -> None:
    """Begin, go on early, count two of three, end, rate the session and log it."""
    coach.press("5")
    coach.see("w begins it")
    coach.press("w")
    coach.see("Run it now?")
    coach.press("y")
    coach.see("NOW", "n next")
    coach.press("n")
    coach.see("minutes early")
    coach.press("s", "s", "m")
    coach.see("of 3 tries")
    coach.see_change()
    coach.see_change()
    coach.press("x")
    coach.see("End practice?")
    coach.press("y")
    coach.see("practice is over")
    coach.press("down", "+", "+")
    coach.see("2 *")
    coach.press("r")
    coach.see("Esc cancel")
    coach.type("6")
    coach.see_no_more("Esc cancel")
    coach.press("y")
    coach.see_no_more("practice is over")


def test_from_film_notes_to_the_log(home: Path, tmp_path: Path) -> None:
    """Film in and sorted, plan built, drill swapped, sheet printed, floor run, log confirmed: all is kept."""
    yesterday = desk_at(home).today - dt.timedelta(days=1)
    note = tmp_path / "friday.txt"
    note.write_text(NOTE.format(day=yesterday.isoformat()))
    old = find_plan(desk_at(home))
    coach = Terminal(home)
    coach.see("Points lost per 100", "18:15")
    read_and_sort(coach, note)
    plan_and_print(coach)
    run_and_log(coach)
    assert coach.leave() == 0

    desk = desk_at(home)
    plan = find_plan(desk, old.date)
    assert plan.as_json()["segments"] != old.as_json()["segments"]
    with desk.reading() as session:
        assert any("wibbled" in one.text for one in queries.sightings(session))
        assert queries.unclear(session) == ()
        (game,) = [one for one in queries.games(session) if one.opponent == "Quillmarsh"]
        (done,) = queries.done_practices(session, desk.today, desk.today)
    assert game.date == yesterday
    assert done.rating == 6
    assert [(one.stops, one.tries) for one in done.segments if one.tries] == [(2, 3)]
    (pdf,) = (home / "prints").glob("*.pdf")
    printed = PdfReader(pdf).pages[0].extract_text().split()
    titles = [word for one in plan.segments for word in one.title.split()]
    assert [word for word in titles if word not in printed] == []
    desk.close()


def test_a_flat_battery_loses_no_key(home: Path) -> None:
    """Killed in the middle of live entry and of a running practice, both go on from the last key."""
    coach = Terminal(home)
    coach.see("18:15")
    coach.press("2")
    coach.see("games with film")
    coach.press("w")
    coach.see("Esc")
    coach.press("b", "2", "1", ".", "2", " ", "b", "4")
    coach.see("2 points: No box out (21)", "No box out (4)")
    coach.kill()

    again = Terminal(home, 120, 40)
    again.see("18:15")
    again.press("2")
    again.see("games with film")
    again.press("w")
    again.see("2 points: No box out (21)", "No box out (4)")
    again.press("escape")
    again.see("games with film")
    again.press("5")
    again.see("w begins it")
    again.press("w")
    again.see("Run it now?")
    again.press("y")
    again.see("NOW")
    again.press("n")
    again.see("minutes early")
    again.press("s", "m")
    again.see("1 ", "of 2 tries")
    again.kill()
    assert running(desk_at(home)) is not None

    third = Terminal(home, 60, 20)
    third.see("1 ")
    third.press("5")
    third.see("of 2 tries")
    assert third.leave() == 0
