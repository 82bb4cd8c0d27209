"""The verbs that are killed: how each is worked, told, and judged afterwards."""

from __future__ import annotations

import datetime as dt
import functools
import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from planner import data
from planner.desk import copies, floor, own_drills, seed, upkeep, watching
from planner.desk import film as film_verbs
from planner.desk.desk import Desk
from planner.desk.film import add_files, read_files
from planner.desk.floor_file import running
from planner.desk.library import load_library
from planner.desk.practice import Wishes, build_plan
from planner.desk.season import Changes, log_practice
from planner.desk.team import save_player, set_setting
from planner.desk.undo import undo_last
from planner.drills.library import Library
from planner.film.read import read_note
from planner.film.wording import Lexicon
from planner.store import backup, migrate, queries
from planner.store.engine import open_store
from planner.store.values import PlayerInfo
from tests.running import NOW, TODAY, everything

Tell = Callable[[Any], None]
TOMORROW = TODAY + dt.timedelta(days=1)
GAME = 9
FEW = (
    *("land-lunge-lift", "circle-and-three-questions", "weak-side-crash", "meet-it-at-half"),
    *("shot-goes-up-go", "one-word-four-feet", "side-screen-two-on-two", "three-cards-one-guard"),
)
KEYS = ["no-box-out", "2", "1", ".", "2", "next", "period Q2", "no-talk", "next"]


@functools.cache
def few() -> Library:
    """Return a handful of the shipped drills, read once."""
    known = load_library()
    return replace(known, drills=tuple(one for one in known.drills if one.id in FEW))


@contextmanager
def sat_down(
    home: Path, today: dt.date = TODAY, now: dt.datetime = NOW, *, daily: bool = False
) -> Iterator[Desk]:
    """Open the desk as a new start of the program would, with a few drills so that plans come quickly."""
    desk = Desk(home, today, lambda: now, daily=daily)
    desk.__dict__["library"] = few()
    try:
        with known_words():
            yield desk
    finally:
        desk.close()


def warm() -> None:
    """Import what every verb needs, so that a process forked from here starts at once."""
    import planner.build.make
    import planner.store.models
    from planner.store.queries import film, house, season, seen, teams, training, watched

    assert all((planner.store.models, film, house, season, seen, teams, training, watched))
    words = film_verbs.lexicon(Desk(Path("nowhere"), TODAY), own=False)
    read_note("warm.txt", b"Q1 0:01 2 zzz qqq wobble\n", words)
    _words.append(words)


_words: list[Lexicon] = []


@contextmanager
def known_words() -> Iterator[None]:
    """Compile the words of film once for all processes: no kill is meant for that second."""
    before = film_verbs.lexicon
    if _words:
        film_verbs.lexicon = lambda desk, *, own=True: _words[0]
    try:
        yield
    finally:
        film_verbs.lexicon = before


def season(home: Path) -> None:
    """Plant the invented season, with a practice planned for tomorrow and a drill of the team's own."""
    with sat_down(home) as desk:
        read = seed.read_seed(data.seeds(), TODAY)
        seed.plant(desk, read)
        build_plan(desk, Wishes(TOMORROW, minutes=70, load_ceiling=0))
        own_drills.copy_drill(desk, "weak-side-crash", "our-crash")


def unsound(home: Path, later: Callable[[], None] | None = None) -> list[str]:
    """Return what a fresh start finds wrong, two hours later, when leftovers are cleared away."""
    if later is not None:
        later()
    with sat_down(home, now=dt.datetime.now(dt.UTC) + dt.timedelta(hours=2)) as desk:
        found = upkeep.check(desk)
    found += [f"{one} is left over" for one in home.rglob("*.part")]
    for one in home.glob("backups/*"):
        found += [] if is_whole(one) else [f"{one.name} is no whole copy"]
    return found


def is_whole(path: Path) -> bool:
    """Return whether a copy can be relied on."""
    if path.suffix == ".zip":
        return copies.unzipped(path, path.name)[0] == copies.FORMAT
    return path.suffix == ".part" or backup.verify(path).ok


@dataclass(frozen=True)
class Verb:
    """A verb to be killed; the kill comes within a step after one of the first ``lines`` told."""

    name: str
    work: Callable[[Path, Tell], None]
    judge: Callable[[Path, list[Any]], list[str]]
    lines: int = 6
    prepare: Callable[[Path], None] = lambda _: None
    later: Callable[[], None] | None = None


# ---- film entered live -------------------------------------------------------------------------------------


def enter(home: Path, tell: Tell) -> None:
    with sat_down(home) as desk:
        live = watching.open_live(desk, GAME)
        tell(0)
        for _ in range(3):
            for key in KEYS:
                live.press(key)
                tell(len(live.keys.pressed))
        watching.finish(desk, live)
        tell("finished")


def entered(home: Path, told: list[Any]) -> list[str]:
    want = KEYS * 3
    with sat_down(home) as desk:
        live = watching.open_live(desk, GAME)
        here = list(live.keys.pressed)
        digest = hashlib.sha256(_sheet(home, want)).hexdigest()
        with desk.reading() as session:
            film_in = queries.known_intake(session, digest) is not None
    counts = [one for one in told if isinstance(one, int)]
    found = []
    if "finished" in told and not film_in:
        found.append("finished film is not in")
    if not film_in and (here != want[: len(here)] or len(here) < max(counts, default=0)):
        found.append(f"{len(here)} keys of {max(counts, default=0)} told: {here}")
    if film_in and here and here != want:
        found.append("film is in, and the entry is not what was finished")
    return found


def _sheet(home: Path, keys: list[str]) -> bytes:
    """Return the sheet of these keys, entered in a game of its own copy."""
    with sat_down(home) as desk:
        live = watching.open_live(desk, GAME)
        live.keys = type(live.keys)(live.keys.breakdowns)
        for key in keys:
            live.keys.take(key)
        return live.sheet()


# ---- film read from files ----------------------------------------------------------------------------------


def _notes(home: Path) -> list[Path]:
    return sorted((home / "notes").glob("*.txt"))


def with_notes(home: Path) -> None:
    (home / "notes").mkdir()
    for number in range(8):
        trips = "\n".join(f"Q1 {8 - n}:42 2 no box out 21, ball watching 44" for n in range(8))
        text = f"Opponent: Harbour Point\nDate: 2027-01-0{number + 1}\n{trips}\nQ1 0:01 2 zzz qqq {number}\n"
        (home / "notes" / f"{number}.txt").write_text(text, "utf-8")


def read_in(home: Path, tell: Tell) -> None:
    with sat_down(home) as desk:
        tell("begun")
        for path in _notes(home):
            add_files(desk, [path])
            tell(hashlib.sha256(path.read_bytes()).hexdigest())


def was_read(home: Path, told: list[Any]) -> list[str]:
    found = []
    with sat_down(home) as desk:
        for reading in read_files(desk, _notes(home)).readings:
            with desk.reading() as session:
                known = queries.known_intake(session, reading.intake.digest)
                if known is None:
                    found += ["a note that was told is not in"] if reading.intake.digest in told else []
                    continue
                if queries.intake(session, known.id) != reading.intake:
                    found.append("a note is in by half")
                if queries.raw_note(session, known.id) != reading.path.read_bytes():
                    found.append("a note's bytes are not its own")
    return found


# ---- settings, players and undo ----------------------------------------------------------------------------


def set_and_undo(home: Path, tell: Tell) -> None:
    """Change a rule, then a player, then take the player back; the day's first change saves a copy."""
    with sat_down(home, daily=True) as desk:
        tell(["minutes", 95])
        for minutes in range(60, 90):
            set_setting(desk, "minutes", minutes)
            tell(["minutes", minutes])
            save_player(desk, PlayerInfo("99", f"Player {minutes}"))
            tell(["player", f"Player {minutes}"])
            undo_last(desk)
            tell(["player", None])


def were_set(home: Path, told: list[Any]) -> list[str]:
    with sat_down(home) as desk, desk.reading() as session:
        minutes = queries.setting(session, "minutes")
        names = [one.name for one in queries.players(session) if one.jersey == "99"]
    here = {"minutes": minutes, "player": names[0] if names else None}
    last = {"minutes": 95, "player": None, **dict(told)}
    # At most the one step that was under way may be there besides.
    steps = [("minutes", 60 + n // 3) if n % 3 == 0 else ("player", None) for n in range(90)]
    steps = [
        (kind, f"Player {60 + n // 3}") if n % 3 == 1 else (kind, value)
        for n, (kind, value) in enumerate(steps)
    ]
    done = max(0, len(told) - 1)
    next_one = {**last, steps[done][0]: steps[done][1]} if done < len(steps) else last
    return [] if here in (last, next_one) else [f"{here} instead of {last} or {next_one}"]


# ---- plans, the running practice, the log ------------------------------------------------------------------


def plan(home: Path, tell: Tell) -> None:
    with sat_down(home) as desk:
        tell(70)
        for minutes in (75, 80, 85, 75, 80, 85):
            build_plan(desk, Wishes(TOMORROW, minutes=minutes, load_ceiling=0))
            tell(minutes)


def was_planned(home: Path, told: list[Any]) -> list[str]:
    with sat_down(home) as desk, desk.reading() as session:
        kept = queries.plan_on(session, TOMORROW)
    order = [70, 75, 80, 85, 75, 80, 85]
    place = max(0, len(told) - 1)
    good = kept is not None and kept.minutes in order[place : place + 2]
    return [] if good else [f"a plan of {kept and kept.minutes} minutes after {told}"]


def log(home: Path, tell: Tell) -> None:
    with sat_down(home, TOMORROW) as desk:
        tell(None)
        for rating in [*range(11), *range(11)]:
            log_practice(desk, TOMORROW, Changes({2: 9.5}, {}, ("44",), rating))
            tell(rating)


def was_logged(home: Path, told: list[Any]) -> list[str]:
    with sat_down(home, TOMORROW) as desk, desk.reading() as session:
        info = queries.find_practice(session, TOMORROW)
        done = queries.done_of(session, info.id) if info else None
    order = [None, *range(11), *range(11)]
    place = max(0, len(told) - 1)
    rating = done.rating if done else None
    return [] if rating in order[place : place + 2] else [f"rated {rating} after {told}"]


def run_practice(home: Path, tell: Tell) -> None:
    hour = dt.datetime(2027, 1, 14, 18, 15, tzinfo=dt.UTC)
    with sat_down(home, TOMORROW, hour) as desk:
        made = floor.begin(desk, TOMORROW)
        tell(1)
        at = made.events[-1].at
        for number in range(2, 12):
            at += 60_000
            floor.happen(desk, "next" if number % 3 == 0 else "extend", None if number % 3 == 0 else 60, at)
            tell(number)
        floor.happen(desk, "end", None, at + 60_000)
        tell(12)
        floor.log_run(desk, floor.Confirmed(rating=6))
        tell("logged")


def was_run(home: Path, told: list[Any]) -> list[str]:
    with sat_down(home, TOMORROW) as desk:
        run = running(desk)
        with desk.reading() as session:
            info = queries.find_practice(session, TOMORROW)
            logged = info is not None and info.state == "done"
    counts = max((one for one in told if isinstance(one, int)), default=0)
    if "logged" in told and (run is not None or not logged):
        return ["a practice that was logged is not"]
    if not logged and counts and (run is None or len(run.events) not in (counts, counts + 1)):
        return [f"{run and len(run.events)} events after {counts}"]
    return []


# ---- own drills --------------------------------------------------------------------------------------------


def own(home: Path, tell: Tell) -> None:
    with sat_down(home) as desk:
        tell("our-crash")
        for number in range(12):
            desk.__dict__["library"] = few()
            own_drills.copy_drill(desk, "meet-it-at-half", f"ours-{number}")
            tell(f"ours-{number}")


def are_there(home: Path, told: list[Any]) -> list[str]:
    files = {one.stem: one.stat().st_size for one in (home / "drills").glob("*.toml")}
    return [f"drill {one} is gone" for one in told if not files.get(one)]


# ---- copies, exports, restores -----------------------------------------------------------------------------


def copy(home: Path, tell: Tell) -> None:
    with sat_down(home) as desk:
        tell("")
        for number in range(30):
            save_player(desk, PlayerInfo("99", f"Player {number}"))
            tell(
                str(upkeep.back_up(desk)) if number % 2 else str(upkeep.export(desk, home / f"{number}.zip"))
            )


def were_copied(home: Path, told: list[Any]) -> list[str]:
    found = [f"{one} is gone" for one in told if one and not Path(one).is_file()]
    for one in [*home.glob("*.zip"), *home.glob("backups/*.zip")]:
        copies.unzipped(one, one.name)
    return found


def two_copies(home: Path) -> None:
    """Make two copies that differ in database and own drills, and stand at the second."""
    with sat_down(home) as desk:
        upkeep.back_up(desk, home / "copies" / "a")
        save_player(desk, PlayerInfo("99", "Of the second copy"))
        own_drills.remove_drill(desk, "our-crash")
        desk.__dict__["library"] = few()
        own_drills.copy_drill(desk, "meet-it-at-half", "ours-too")
        upkeep.back_up(desk, home / "copies" / "b")


def restore(home: Path, tell: Tell) -> None:
    with sat_down(home) as desk:
        tell("b")
        for name in "abababab":
            upkeep.restore(desk, next((home / "copies" / name).glob("*.zip")))
            tell(name)


def was_restored(home: Path, told: list[Any]) -> list[str]:
    with sat_down(home) as desk, desk.reading() as session:
        second = any(one.jersey == "99" for one in queries.players(session))
    drills = sorted(one.stem for one in (home / "drills").glob("*.toml"))
    here = {(True, ("ours-too",)): "b", (False, ("our-crash",)): "a"}.get((second, tuple(drills)))
    place = max(0, len(told) - 1)
    return (
        [] if here in list("babababab")[place : place + 2] and here else [f"{second} {drills} after {told}"]
    )


# ---- upgrade -----------------------------------------------------------------------------------------------


def know_later() -> None:
    """Let this process know a revision after the newest, which rebuilds eight tables."""
    folder = Path(__file__).with_name("later")
    migrate.HEAD = "9999"
    migrate.REVISIONS = (*(one for one in migrate.REVISIONS if one != "9999"), "9999")
    migrate.upgrade = functools.partial(_upgrade, more=(folder,))


_upgrade = migrate.upgrade


def upgrade(home: Path, tell: Tell) -> None:
    know_later()
    tell("begun")
    with open_store(home) as store:
        tell(str(store.saved_before_upgrade))
    signal_pause()


def signal_pause() -> None:
    """Wait for the kill."""
    import signal

    signal.pause()


def with_rows_kept(home: Path) -> None:
    (home / "rows.sha").write_text(_rows(home), "utf-8")


def _rows(home: Path) -> str:
    rows = everything(home)
    rows.pop("alembic_version")
    for table in rows.values():
        for row in table:
            row.pop("later", None)
    return hashlib.sha256(repr(sorted(rows.items())).encode()).hexdigest()


def was_upgraded(home: Path, told: list[Any]) -> list[str]:
    found = []
    if _rows(home) != (home / "rows.sha").read_text("utf-8"):
        found.append("rows were lost")
    if len(told) > 1 and backup.verify(home / "stopsheet.db").revision != "9999":
        found.append("the upgrade that was told did not last")
    if len(told) > 1 and not is_whole(Path(told[1])):
        found.append("the copy before the upgrade is not whole")
    know_later()
    with open_store(home):
        pass
    if _rows(home) != (home / "rows.sha").read_text("utf-8"):
        found.append("rows were lost by the second upgrade")
    return found


VERBS = (
    Verb("live film", enter, entered, 28),
    Verb("film files", read_in, was_read, 8, with_notes),
    Verb("settings", set_and_undo, were_set, 20),
    Verb("plan", plan, was_planned, 3),
    Verb("floor", run_practice, was_run, 13),
    Verb("log", log, was_logged, 12),
    Verb("own drills", own, are_there, 10),
    Verb("backup", copy, were_copied, 6),
    Verb("restore", restore, was_restored, 4, two_copies),
    Verb("upgrade", upgrade, was_upgraded, 1, with_rows_kept, know_later),
)
