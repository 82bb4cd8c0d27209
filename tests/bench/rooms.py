"""The rooms' own work beside the barest way to touch the same data."""

from __future__ import annotations

import csv
import datetime as dt
import io
import random
import sqlite3
from collections import Counter
from pathlib import Path

from planner.desk.desk import Desk
from planner.desk.film import add_files, lexicon
from planner.desk.library import load_library
from planner.desk.practice import find_plan
from planner.desk.printing import sheet_notes
from planner.desk.team import set_up
from planner.drills.card import SHARE_UNIT
from planner.drills.library import read_drills
from planner.film.read import read_note
from planner.need.estimate import WatchedGame, WatchedTrip
from planner.need.needs import assess
from planner.paper.sheet import court_side_sheet
from planner.season.record import DonePractice, DoneSegment
from planner.season.review import review
from planner.store.values import TeamInfo
from tests.bench.measure import Cost, Growth, Line, best

FIRST, TODAY = dt.date(2026, 10, 1), dt.date(2036, 10, 1)
SEASONS, GAMES, PRACTICES = 10, 30, 75


def film_table(rows: int) -> str:
    """Return a film table of so many sightings over one game after another."""
    dice = random.Random(7)
    ids = [one.id for one in load_library().vocabulary.breakdowns]
    lines = ["possession,clock,breakdown,players,points"]
    for number in range(rows):
        clock = f"{9 - number % 10}:{59 - number % 60:02d}"
        lines.append(
            f"{number + 1},{clock},{dice.choice(ids)},{dice.randint(4, 15)},{dice.choice((0, 0, 2, 3))}"
        )
    return "\n".join(lines) + "\n"


def games(count: int) -> list[WatchedGame]:
    """Return so many games of sixty possessions with points."""
    dice = random.Random(count)
    known = load_library().vocabulary.breakdowns
    found = []
    for number in range(count):
        trips = []
        counts: Counter[str] = Counter()
        for _ in range(60):
            seen = {one.id: 1 for one in known if dice.random() < one.usual_rate / 100}
            counts.update(seen)
            trips.append(WatchedTrip(dice.choice((0, 0, 2, 3)), seen))
        found.append(
            WatchedGame(str(number), FIRST + dt.timedelta(days=number), 60, dict(counts), tuple(trips))
        )
    return found


def practices(count: int) -> list[DonePractice]:
    """Return so many practices as done, of ten drills of the library each."""
    dice = random.Random(count)
    cards = load_library().of_kind("drill")
    found = []
    for number in range(count):
        chosen = dice.sample(cards, 10)
        segments = tuple(
            DoneSegment("drill", one.title, 480, one.id, one.stage, one.shares) for one in chosen
        )
        found.append(DonePractice(str(number), FIRST + dt.timedelta(days=2 * number), 930, segments))
    return found


def film_line(folder: Path) -> Line:
    """Read and store a table of 3,000 rows, beside csv and sqlite3 with the same rows."""
    rows = 3000
    text = film_table(rows)
    file = folder / "film.csv"
    file.write_text(text, "utf-8")
    numbers = iter(range(100))

    def ours() -> None:
        desk = Desk(folder / f"film-{next(numbers)}", TODAY)
        try:
            set_up(desk, TeamInfo("Otters"))
            add_files(desk, [file])
        finally:
            desk.close()

    def bare() -> None:
        database = sqlite3.connect(folder / f"bare-{next(numbers)}.sqlite")
        database.execute("create table seen (possession, clock, breakdown, players, points)")
        found = list(csv.reader(io.StringIO(text)))[1:]
        database.executemany("insert into seen values (?, ?, ?, ?, ?)", found)
        database.commit()
        database.close()

    return Line(
        f"film table of {rows} rows read and stored",
        best(ours, 3),
        "csv and sqlite3, same rows",
        best(bare, 3),
    )


def review_line() -> Line:
    """Work out needs and review of ten seasons, beside plain loops over the same."""
    film, done = games(SEASONS * GAMES), practices(SEASONS * PRACTICES)
    vocabulary = load_library().vocabulary
    until = FIRST + dt.timedelta(days=3000)

    def ours() -> None:
        review(done, assess(film, vocabulary, until), {})

    def bare() -> None:
        minutes: dict[str, float] = {}
        for practice in done:
            for one in practice.segments:
                for name, share in one.shares.items():
                    minutes[name] = minutes.get(name, 0.0) + one.seconds * share / SHARE_UNIT
        counts: Counter[str] = Counter()
        for game in film:
            for trip in game.trips:
                counts.update(trip.breakdowns)

    what = f"needs and review, {SEASONS * GAMES} games, {SEASONS * PRACTICES} practices"
    return Line(what, best(ours, 3), "plain loops over the same", best(bare, 3))


def paper_line(home: Path, today: dt.date) -> Line:
    """Set the court-side sheet, beside an empty document."""
    import typst

    desk = Desk(home, today)
    try:
        plan = find_plan(desk)
        notes = sheet_notes(desk, plan)
    finally:
        desk.close()
    empty = best(lambda: typst.compile(b"", format="pdf"), 3)
    return Line(
        "the court-side sheet set", best(lambda: court_side_sheet(plan, notes), 3), "an empty document", empty
    )


def growth() -> list[Growth]:
    """Return how reading drills, assessing games and reading notes grow when the work grows tenfold."""
    library = load_library()
    root = Path(__file__).resolve().parent.parent.parent / "drill_library" / "drills"
    cards = [(one.name, one.read_text("utf-8")) for one in sorted(root.glob("*.toml"))][:60]
    words = lexicon(Desk(Path("nowhere"), TODAY), own=False)
    steps = (1, 2, 5, 10)

    def drills(size: int) -> Cost:
        files = [(f"{number}-{name}", text) for number in range(size // 60) for name, text in cards]
        return best(lambda: read_drills(files, library.vocabulary), 3)

    def watched(size: int) -> Cost:
        film, until = games(size), FIRST + dt.timedelta(days=3000)
        return best(lambda: assess(film, library.vocabulary, until), 3)

    def noted(size: int) -> Cost:
        data = film_table(size).encode()
        return best(lambda: read_note("film.csv", data, words), 3)

    found = []
    for what, least, work in (
        ("drills read", 60, drills),
        ("games assessed", 30, watched),
        ("film rows read", 300, noted),
    ):
        sizes = tuple(least * one for one in steps)
        found.append(Growth(what, sizes, tuple(work(size).seconds for size in sizes)))
    return found
