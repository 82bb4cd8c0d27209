from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from planner.cli.watch import _line
from planner.desk import watching
from planner.desk.desk import Desk
from planner.desk.film import film_list
from planner.desk.undo import undo_last
from planner.desk.watching import Live, open_live
from planner.desk.watching_keys import keep_letters, letters, parse_keys, set_letter
from planner.film import entry as pad
from planner.film.entry import Charge, Trip
from planner.problem import Refusal
from planner.store import queries
from tests.running import NOW, TODAY, Stopsheet, assert_refused, rows

GAME = 9


def type_keys(live: Live, words: str) -> None:
    """Press keys as they are typed in words."""
    live.press_all(parse_keys(live.desk, words, live, letters(live.desk)))


def test_every_key_is_on_the_disk_when_it_returns(desk: Desk) -> None:
    """After each key a fresh look at the file finds exactly what was acknowledged."""
    live = open_live(desk, GAME)
    for key in ("no-box-out", "2", "1", ".", "2", "next", "period Q2", "undo", "no-talk"):
        live.press(key)
        again = open_live(desk, GAME)
        assert again.entry == live.entry
        assert again.keys.pressed == live.keys.pressed
    assert live.entry.done == (Trip(None, 2, (Charge("no-box-out", ("21",)),)),)


def test_a_key_that_is_refused_leaves_the_file_as_it_was(desk: Desk) -> None:
    """Nothing is written for it, and several keys count together or not at all."""
    live = open_live(desk, GAME)
    type_keys(live, "no-talk next")
    before = live.path.read_bytes()
    with pytest.raises(Refusal, match="has no breakdown yet"):
        type_keys(live, "21 next")
    assert live.path.read_bytes() == before
    assert live.entry.waiting == ()


def test_undo_goes_back_across_a_restart_to_the_first_key(desk: Desk) -> None:
    """Backspace takes keys back one by one, whichever sitting they were pressed in."""
    type_keys(open_live(desk, GAME), "no-talk 21 next late-help")
    live = open_live(desk, GAME)
    for _ in live.keys.pressed:
        live.press(pad.UNDO)
    assert live.entry == pad.Entry()
    with pytest.raises(Refusal, match="no key to take back"):
        live.press(pad.UNDO)
    assert open_live(desk, GAME).entry == pad.Entry()


def test_a_line_cut_short_by_a_crash_is_left_out_and_written_over(desk: Desk) -> None:
    """It was never acknowledged; the next key stands in its place."""
    type_keys(open_live(desk, GAME), "no-talk next")
    path = desk.home / "live" / f"game-{GAME}.keys"
    whole = path.read_bytes()
    path.write_bytes(whole + b"no-box-o")
    live = open_live(desk, GAME)
    assert live.problems == []
    assert live.keys.pressed == ("no-talk", "next")
    live.press("late-help")
    assert path.read_bytes() == whole + b"late-help\n"


def test_a_damaged_line_is_named_and_the_others_count(desk: Desk) -> None:
    """One bad line loses only itself."""
    type_keys(open_live(desk, GAME), "no-talk next late-help")
    path = desk.home / "live" / f"game-{GAME}.keys"
    path.write_bytes(path.read_bytes().replace(b"next\n", b"\x1b[31mn\xffxt\n"))
    live = open_live(desk, GAME)
    assert live.keys.pressed == ("no-talk", "late-help")
    assert len(live.problems) == 1
    assert "line 5" in live.problems[0]
    assert "\x1b" not in live.problems[0]


def test_two_windows_cannot_enter_the_same_game_unnoticed(desk: Desk) -> None:
    """The one that has not seen the other's key is refused and writes nothing."""
    first, second = open_live(desk, GAME), open_live(desk, GAME)
    first.press("no-talk")
    second_before = first.path.read_bytes()
    with pytest.raises(Refusal, match="another window"):
        second.press("late-help")
    assert first.path.read_bytes() == second_before
    first.press("next")


def test_a_disk_that_refuses_takes_no_key(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The coach is told, nothing is half-written, and the key can be pressed again."""
    live = open_live(desk, GAME)
    live.press("no-talk")
    before = live.path.read_bytes()

    def full(where: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("planner.desk.watching.os.fsync", full)
        with pytest.raises(Refusal, match="The key was not saved"):
            live.press("next")
    assert live.path.read_bytes() == before
    assert live.entry.done == ()
    live.press("next")
    assert open_live(desk, GAME).entry.done == live.entry.done


def test_finishing_adds_a_film_note_that_counts(desk: Desk) -> None:
    """The sheet goes into its game, possessions and players and all, and the entry is closed."""
    with desk.reading() as session:
        before = {one.game: one for one in queries.watched_games(session, TODAY)}[str(GAME)]
    live = open_live(desk, GAME)
    type_keys(live, "Q1 no-box-out 21 .2 next .0 next 11 late-help no-talk next")
    reading = watching.preview(desk, live)
    assert reading.intake.possessions == 3
    assert film_list(desk)[-1].file != reading.intake.file
    added = watching.finish(desk, live)
    assert added.number == film_list(desk)[-1].id
    with desk.reading() as session:
        after = {one.game: one for one in queries.watched_games(session, TODAY)}[str(GAME)]
        seen = queries.sightings(session, intake=added.number)
    assert after.possessions == before.possessions + 3
    assert [(one.breakdown, one.players, one.points) for one in seen] == [
        ("no-box-out", ("21",), 2),
        ("late-help", ("11",), None),
        ("no-talk", (), None),
    ]
    assert watching.sittings(desk) == {}
    assert open_live(desk, GAME).entry == pad.Entry()
    assert list((desk.home / "live").glob("*.txt")) == []


def test_a_finished_entry_whose_note_is_taken_back_is_open_again(desk: Desk) -> None:
    """Undo brings back the store as it was, and the keys to go on with."""
    kept = rows(desk.home, "film_note", "intake", "possession", "sighting", "unclear", "sighting_player")
    live = open_live(desk, GAME)
    type_keys(live, "no-talk next late-help next")
    watching.finish(desk, live)
    undo_last(desk)
    assert (
        rows(desk.home, "film_note", "intake", "possession", "sighting", "unclear", "sighting_player") == kept
    )
    assert list(watching.sittings(desk)) == [GAME]
    again = open_live(desk, GAME)
    assert again.entry == live.entry
    type_keys(again, "no-talk 4 next")
    assert watching.finish(desk, again).number is not None


def test_finishing_twice_after_a_crash_adds_once(desk: Desk) -> None:
    """A crash between adding and putting the keys aside leaves an entry that adds nothing new."""
    live = open_live(desk, GAME)
    type_keys(live, "no-talk next")
    keys = live.path.read_bytes()
    watching.finish(desk, live)
    live.path.write_bytes(keys)
    assert watching.finish(desk, open_live(desk, GAME)).number is None
    assert sum(one.file.startswith("live entry") for one in film_list(desk)) == 1


def test_what_cannot_be_finished_is_said(desk: Desk) -> None:
    """Nothing entered, or a jersey without a breakdown: the entry stays as it is."""
    with pytest.raises(Refusal, match="Nothing has been entered yet"):
        watching.finish(desk, open_live(desk, GAME))
    live = open_live(desk, GAME)
    type_keys(live, "no-talk next 21")
    with pytest.raises(Refusal, match="does not say what 21 did"):
        watching.finish(desk, live)
    assert open_live(desk, GAME).entry == live.entry


def test_only_games_that_were_played_are_watched(desk: Desk) -> None:
    """A game that is not known or still ahead is refused."""
    with pytest.raises(Refusal, match="There is no game 999"):
        open_live(desk, 999)
    with desk.reading() as session:
        ahead = next(one.id for one in queries.games(session) if one.date > TODAY)
    with pytest.raises(Refusal, match="still ahead"):
        open_live(desk, ahead)


def test_letters_stay_as_they_are_once_used(desk: Desk) -> None:
    """They are chosen from the film, kept, and changed only by the coach; that can be undone."""
    chosen = keep_letters(desk)
    with desk.reading() as session:
        games = queries.watched_games(session, TODAY)
    most = max(
        {one for game in games for one in game.counts},
        key=lambda one: sum(g.counts.get(one, 0) for g in games),
    )
    assert next(iter(chosen.values())) == most
    set_letter(desk, "z", most)
    assert letters(desk)["z"] == most
    assert list(letters(desk).values()).count(most) == 1
    undo_last(desk)
    assert letters(desk) == chosen
    for letter in ("p", "A", "ab", "", "é"):
        with pytest.raises(Refusal, match="cannot stand for a breakdown"):
            set_letter(desk, letter, most)
    with pytest.raises(Refusal, match="is no breakdown"):
        set_letter(desk, "z", "no-defence")


# ---- the command line, and killing it ------------------------------------------------------------------


def test_the_command_line_enters_undoes_finishes_and_drops(stopsheet: Stopsheet, season_home: Path) -> None:
    """Everything the keys of the app do can be typed."""
    stopsheet.home = season_home
    said = stopsheet("film", "enter", str(GAME), "no-box-out", "21", ".2", "next", "Q2", "no-talk", "4+7")
    assert said.code == 0
    assert "Q2 possession 2: No talk (4, 7)" in said.out
    assert stopsheet("film", "enter", str(GAME), "undo", "--json").json["keys"][-1] == "7"
    assert_refused(stopsheet("film", "enter", str(GAME), "rotatoin"), "is no key of film entry")
    assert "Added 2 possessions with 2 breakdowns" in stopsheet("film", "enter", str(GAME), "--finish").out
    assert_refused(stopsheet("film", "enter", str(GAME), "--finish"), "Nothing has been entered yet")
    stopsheet("film", "enter", str(GAME), "no-talk")
    assert "not added" in stopsheet("film", "enter", str(GAME), "--drop").out
    assert_refused(stopsheet("film", "enter", str(GAME), "--drop"), "Nothing has been entered")
    assert stopsheet("film", "letters", "z=no-talk").out == "z is now no-talk.\n"
    assert stopsheet("film", "letters", "--json").json["z"] == "no-talk"


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="there is no kill -9")
def test_no_acknowledged_key_is_lost_when_the_program_is_killed(season_home: Path) -> None:
    """Ten programs in a row are killed at random while keys are fed to them as fast as they are taken.

    Every key that was answered is there afterwards, in order, and at most the one being taken besides.
    """
    dice = random.Random(17)
    words = ["no-talk", "late-help", "no-box-out", "next", ".2", "21", "Q2", "undo"]
    answered = ""
    for _ in range(10):
        entering = _enter(season_home)
        assert entering.stdin is not None
        assert entering.stdout is not None
        for _ in range(dice.randint(1, 25)):
            entering.stdin.write(dice.choice(words) + "\n")
            entering.stdin.flush()
            answered = _answer(entering.stdout.readline(), answered)
        entering.stdin.write("no-talk\n")
        entering.stdin.flush()
        entering.send_signal(signal.SIGKILL)
        for line in entering.communicate()[0].splitlines():
            answered = _answer(line, answered)
        answered = _check_kept(season_home, answered)
    assert answered


def _enter(home: Path) -> subprocess.Popen[str]:
    """Start live entry of a game as a program of its own, on the day of the demo."""
    program = (
        "import datetime as dt, sys, pathlib, argparse, planner.cli.watch as watch;"
        "from planner.desk.desk import Desk;"
        f"watch.open_desk = lambda: Desk(pathlib.Path(sys.argv[1]), dt.date.fromisoformat('{TODAY}'));"
        f"watch.enter(argparse.Namespace(game={GAME}, keys=['-'], drop=False, finish=False, json=False))"
    )
    return subprocess.Popen(
        [sys.executable, "-c", program, str(home)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    )


def _answer(line: str, before: str) -> str:
    return line.strip() if line[:1].isdigit() else before


def _check_kept(home: Path, answered: str) -> str:
    """Assert that all keys answered are kept, and return what a program started now would answer."""
    desk = Desk(home, TODAY, lambda: NOW)
    try:
        live = open_live(desk, GAME)
    finally:
        desk.close()
    titles = {one.id: one.title for one in desk.library.vocabulary.breakdowns}
    assert live.problems == []
    if answered:
        count = int(answered.split(maxsplit=1)[0])
        extra = len(live.keys.pressed) - count
        assert extra in (0, 1)
        if extra:
            assert live.keys.pressed[-1] == "no-talk"
            live.keys.take(pad.UNDO)
        assert f"{count} {_line(live.entry, titles)}" == answered
        if extra:
            live.keys.take("no-talk")
    return f"{len(live.keys.pressed)} {_line(live.entry, titles)}"
