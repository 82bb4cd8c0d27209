from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import DataTable, Input

from planner.desk.desk import Desk
from planner.desk.film import add_files, film_list
from planner.desk.film_proposals import YES, Which, answer
from planner.desk.film_sorting import unclear_lines
from planner.desk.watching import open_live, sittings
from planner.desk.watching_keys import letters
from planner.film.entry import Charge, Trip
from planner.screens.film import FilmPlace
from planner.screens.widgets.entry import EntryScreen, PreviewDialog, SearchDialog
from planner.screens.widgets.proposals import ProposalScreen
from planner.screens.widgets.sorting import SortScreen
from planner.store import queries
from tests.running import NOW
from tests.screens.steps import SIZES, go, opened, press, said, settle, shown


async def film(pilot: Pilot[None]) -> FilmPlace:
    """Go to the film place."""
    return await go(pilot, "2", FilmPlace)


def letter_of(desk: Desk, breakdown: str) -> str:
    """Return the letter of a breakdown."""
    return next(letter for letter, one in letters(desk).items() if one == breakdown)


def chosen_game(place: FilmPlace) -> int:
    """Return the number of the game under the cursor."""
    game = place.selected()
    assert game is not None
    return game.id


@pytest.mark.parametrize("size", SIZES)
async def test_the_games_are_shown_newest_first_with_the_last_one_chosen(
    demo_desk: Desk, size: tuple[int, int]
) -> None:
    """At every width there is a row for each game, and the cursor stands on the last one played."""
    async with opened(demo_desk, size) as (app, pilot):
        place = await film(pilot)
        assert place.known is not None
        dates = [one.date for one in place.known.games]
        assert dates == sorted(dates, reverse=True)
        assert app.screen.query_one("#games", DataTable).row_count == len(dates)
        game = place.selected()
        assert game is not None
        assert game.date == max(one for one in dates if one <= demo_desk.today)
        assert "unclear: s sorts" in shown(app, "#headline")
        assert place.as_text().count("\n") == len(dates)


async def test_keys_of_live_entry_reach_the_disk_and_the_screen(demo_desk: Desk) -> None:
    """A letter, a jersey, points and space make a possession, shown in words and kept as pressed."""
    async with opened(demo_desk) as (app, pilot):
        place = await film(pilot)
        game = chosen_game(place)
        await press(pilot, "enter")
        assert isinstance(app.screen, EntryScreen)
        box, talk = letter_of(demo_desk, "no-box-out"), letter_of(demo_desk, "no-talk")
        await press(pilot, box, "2", "1", "full_stop", "2", "space", "p", talk)
        assert "2 points: No box out (21)" in shown(app, "#done")
        assert "No talk" in shown(app, "#pad")
        assert "Q1" in shown(app, "#game")
        assert "2 possessions" in shown(app, "#counts")
        live = open_live(demo_desk, game)
        assert live.entry.trips == (
            Trip(None, 2, (Charge("no-box-out", ("21",)),)),
            Trip("Q1", None, (Charge("no-talk"),)),
        )
        await press(pilot, "backspace", "u")
        assert open_live(demo_desk, game).entry.trips[1:] == ()


async def test_no_letter_of_the_app_acts_while_film_is_entered(demo_desk: Desk) -> None:
    """Keys that elsewhere leave, change places or undo are taken by the pad."""
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        await press(pilot, "enter")
        await press(pilot, "q", "t", "c", "1", "3")
        assert isinstance(app.screen, EntryScreen)
        assert app.is_running
        await press(pilot, "f1")
        assert not isinstance(app.screen, EntryScreen)
        await press(pilot, "escape", "escape")
        assert isinstance(app.screen, FilmPlace)


async def test_a_breakdown_without_a_letter_is_found_by_typing(demo_desk: Desk) -> None:
    """/ and a few letters, then Enter, count it like any other."""
    async with opened(demo_desk) as (app, pilot):
        place = await film(pilot)
        game = chosen_game(place)
        await press(pilot, "enter", "slash")
        assert isinstance(app.screen, SearchDialog)
        await press(pilot, *"rotat", "enter")
        assert open_live(demo_desk, game).entry.now.charges == (Charge("no-rotation"),)
        await press(pilot, "slash", "escape", "space")
        assert len(open_live(demo_desk, game).entry.done) == 1


async def test_finishing_shows_first_and_adds_with_yes_alone(demo_desk: Desk) -> None:
    """Enter previews; Esc goes back to the entry; y adds the note, and u brings the entry back."""
    async with opened(demo_desk) as (app, pilot):
        place = await film(pilot)
        game = chosen_game(place)
        notes = len(film_list(demo_desk))
        await press(pilot, "enter", letter_of(demo_desk, "no-talk"), "space", "enter")
        assert isinstance(app.screen, PreviewDialog)
        await press(pilot, "escape")
        assert isinstance(app.screen, EntryScreen)
        await press(pilot, "enter")
        await press(pilot, "enter")
        assert len(film_list(demo_desk)) == notes
        await press(pilot, "y")
        assert isinstance(app.screen, FilmPlace)
        assert len(film_list(demo_desk)) == notes + 1
        await press(pilot, "u")
        assert len(film_list(demo_desk)) == notes
        assert list(sittings(demo_desk)) == [game]
        assert "1 entry open" in shown(app, "#headline")
        await press(pilot, "d", "y")
        assert sittings(demo_desk) == {}


async def test_a_file_is_read_shown_and_added(demo_desk: Desk, tmp_path: Path) -> None:
    """The key r and a path show what would be added; y adds it to the game its heading names."""
    note = tmp_path / "friday.txt"
    note.write_text("Date: 2027-01-08\nOpponent: Quillmarsh\nQ1 8:42 2 no box out 21\nQ1 8:10 0 wibbled 4\n")
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        before = len(film_list(demo_desk))
        await press(pilot, "r")
        app.screen.query_one(Input).value = str(note)
        await press(pilot, "enter")
        assert isinstance(app.screen, PreviewDialog)
        text = said(app)
        assert "2 possessions, 1 breakdown seen" in text
        assert "wibbled" in text
        await press(pilot, "escape")
        assert len(film_list(demo_desk)) == before
        await press(pilot, "r")
        app.screen.query_one(Input).value = f"'{note}'"
        await press(pilot, "enter")
        await press(pilot, "y")
        assert len(film_list(demo_desk)) == before + 1


async def test_a_file_that_is_not_there_is_one_sentence(demo_desk: Desk) -> None:
    """Nothing to add is said, and nothing changes."""
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        await press(pilot, "r")
        app.screen.query_one(Input).value = "/nowhere/\x1b[31mnote.txt"
        await press(pilot, "enter")
        text = said(app)
        assert "is not there" in text
        assert "\x1b" not in text


async def test_a_note_without_a_game_asks_for_one(demo_desk: Desk, tmp_path: Path) -> None:
    """The game under the cursor comes first in the question."""
    note = tmp_path / "loose.txt"
    note.write_text("Q1 8:42 2 no box out 21\nQ1 8:10 0 no talk 4\n")
    async with opened(demo_desk) as (app, pilot):
        place = await film(pilot)
        game = chosen_game(place)
        await press(pilot, "r")
        app.screen.query_one(Input).value = str(note)
        await press(pilot, "enter")
        await press(pilot, "y")
        await press(pilot, "enter")
        assert film_list(demo_desk)[-1].game == game


async def test_a_game_is_added_from_one_line(demo_desk: Desk) -> None:
    """Date, opponent and venue; without a date it is refused in a sentence."""
    async with opened(demo_desk) as (app, pilot):
        place = await film(pilot)
        await press(pilot, "n")
        app.screen.query_one(Input).value = "next sat Harbour Point away"
        await press(pilot, "enter")
        assert place.known is not None
        made = next(one for one in place.known.games if one.opponent == "Harbour Point")
        assert (made.date.isoformat(), made.venue) == ("2027-01-16", "away")
        await press(pilot, "n")
        app.screen.query_one(Input).value = "Harbour Point"
        await press(pilot, "enter")
        assert "Write the date first" in said(app)


async def test_unclear_lines_are_sorted_with_one_key_each(demo_desk: Desk, tmp_path: Path) -> None:
    """Alike lines are settled together; a breakdown's letter counts them, x and n do not, undo asks again."""
    note = tmp_path / "odd.txt"
    note.write_text(
        "Date: 2027-01-08\nOpponent: Quillmarsh\n"
        "Q1 8:42 2 wibbled 21\nQ1 8:10 0 wibbled 21\nQ1 7:30 0 blurred\n"
    )
    add_files(demo_desk, [note])
    before = len(unclear_lines(demo_desk))
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        await press(pilot, "s")
        screen = app.screen
        assert isinstance(screen, SortScreen)
        words = shown(app, "#line")
        assert "wibbled" in words
        assert "odd.txt, line 3" in words
        assert "worded alike" in words
        await press(pilot, letter_of(demo_desk, "no-talk"))
        assert len(unclear_lines(demo_desk)) == before - 2
        await press(pilot, "backspace")
        assert len(unclear_lines(demo_desk)) == before
        await press(pilot, "a", "x")
        assert len(unclear_lines(demo_desk)) == before - 1
        await pilot.press(*"n" * (before - 1))
        while screen.busy or screen.ahead:
            await settle(pilot)
        assert unclear_lines(demo_desk) == ()
        assert shown(app, "#game") == "Nothing is unclear."
        await press(pilot, "escape")
        assert isinstance(app.screen, FilmPlace)


async def test_a_line_that_asks_who_it_was_takes_a_jersey(demo_desk: Desk, tmp_path: Path) -> None:
    """The jersey and Enter charge the breakdown that is counted already."""
    for one in unclear_lines(demo_desk):
        from planner.desk.film_sorting import sort_line

        sort_line(demo_desk, one.id, "nothing")
    note = tmp_path / "who.txt"
    note.write_text("Date: 2027-01-08\nOpponent: Quillmarsh\nQ1 8:42 2 no box out 98\n")
    add_files(demo_desk, [note])
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        await press(pilot, "s")
        assert "Who was it?" in shown(app, "#pad")
        await press(pilot, "2", "1", "enter")
        assert unclear_lines(demo_desk) == ()


async def test_a_film_note_is_taken_back_after_asking(demo_desk: Desk) -> None:
    """Key n keeps it, y takes it back, u brings it again."""
    async with opened(demo_desk) as (_, pilot):
        await film(pilot)
        before = len(film_list(demo_desk))
        await press(pilot, "x", "n")
        assert len(film_list(demo_desk)) == before
        await press(pilot, "x", "y")
        assert len(film_list(demo_desk)) == before - 1
        await press(pilot, "u")
        assert len(film_list(demo_desk)) == before


async def test_a_letter_is_changed(demo_desk: Desk) -> None:
    """The key l shows the letters and takes a change."""
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        await press(pilot, "l")
        app.screen.query_one(Input).value = "z = no-rotation"
        await press(pilot, "enter")
        assert letters(demo_desk)["z"] == "no-rotation"


TALK = """WEBVTT

00:01.000 --> 00:05.000
twenty one never boxed out he just watched the shot go up

00:20.000 --> 00:24.000
next one and nobody stops the ball and he goes coast to coast

00:40.000 --> 00:44.000
next one number ninety eight jumps at the pump fake and he is in the air
"""


def talked(desk: Desk, folder: Path) -> None:
    """Add a narrated film of three proposals to the game that was played first."""
    note = folder / "talk.vtt"
    note.write_text(TALK, encoding="utf-8")
    assert len(add_files(desk, [note], 1, possessions=30).new) == 1


async def test_proposals_are_answered_with_one_key_each(demo_desk: Desk, tmp_path: Path) -> None:
    """Words, time and jersey are shown; y counts, n does not, b counts another breakdown; u asks again."""
    talked(demo_desk, tmp_path)
    async with opened(demo_desk) as (app, pilot):
        await film(pilot)
        assert "3 narrated: p" in shown(app, "#headline")
        await press(pilot, "p")
        assert isinstance(app.screen, ProposalScreen)
        assert "3 proposals left" in shown(app, "#game")
        assert shown(app, "#line").startswith("00:01")
        assert "never boxed out" in shown(app, "#line")
        assert "No box out, 21?" in shown(app, "#pad")
        await press(pilot, "y")
        assert "2 proposals left" in shown(app, "#game")
        assert "coast to coast" in shown(app, "#line")
        await press(pilot, "n")
        assert "type who it was" in shown(app, "#line")
        assert "98?" in shown(app, "#pad")
        await press(pilot, "u")
        assert "coast to coast" in shown(app, "#line")
        await press(pilot, "b", *"rotat", "enter")
        await press(pilot, "2", "1", "y")
        assert shown(app, "#game") == "No proposal waits."
        with demo_desk.reading() as session:
            seen = queries.sightings(session, intake=film_list(demo_desk)[-1].id)
        assert [(one.breakdown, one.players) for one in seen] == [
            ("no-box-out", ("21",)),
            ("no-rotation", ()),
            ("left-feet", ("21",)),
        ]
        await press(pilot, "escape")
        assert isinstance(app.screen, FilmPlace)
        assert "narrated" not in shown(app, "#headline")


async def test_proposals_wait_for_later_and_many_are_answered_at_once(
    demo_desk: Desk, tmp_path: Path
) -> None:
    """Space goes on without an answer; s says yes to all as sure after asking; keys pressed fast are kept."""
    talked(demo_desk, tmp_path)
    async with opened(demo_desk, (60, 20)) as (app, pilot):
        await film(pilot)
        await press(pilot, "p", "space")
        assert "coast to coast" in shown(app, "#line")
        await press(pilot, "space", "space", "z", "u")
        assert "never boxed out" in shown(app, "#line")
        screen = app.screen
        assert isinstance(screen, ProposalScreen)
        least = min(screen.waiting, key=lambda one: one.sure)
        while screen.one != least:
            await press(pilot, "space")
        await press(pilot, "s", "n")
        assert len(screen.waiting) == 3
        await press(pilot, "s", "y")
        assert screen.waiting == ()
        await press(pilot, "u")
        assert len(screen.waiting) == 3
        await pilot.press("n", "n", "n")
        while screen.busy or screen.ahead:
            await settle(pilot)
        assert screen.waiting == ()
        assert screen.as_text() == ""


async def test_possessions_of_a_note_are_told(demo_desk: Desk) -> None:
    """The key h takes how many possessions a note covers; a word is refused in a sentence."""
    async with opened(demo_desk) as (app, pilot):
        place = await film(pilot)
        game = chosen_game(place)
        await press(pilot, "h")
        app.screen.query_one(Input).value = "many"
        await press(pilot, "enter")
        assert "no number of possessions" in said(app)
        await press(pilot, "escape", "h")
        app.screen.query_one(Input).value = "99"
        await press(pilot, "enter")
        assert [one.possessions for one in film_list(demo_desk) if one.game == game] == [99]


async def test_tomorrow_tells_what_waits_and_that_answers_make_a_plan_old(
    demo_desk: Desk, tmp_path: Path
) -> None:
    """Proposals that wait are named beside the needs; a yes after the plan was built says: build anew."""
    talked(demo_desk, tmp_path)
    async with opened(demo_desk) as (app, pilot):
        assert shown(app, "#needs").startswith("3 narrated wait (2, p)")
        demo_desk.now = lambda: NOW + dt.timedelta(minutes=5)
        answer(demo_desk, Which(every=True), YES)
        await press(pilot, "2", "1")
        assert shown(app, "#needs").startswith("Points lost")
        assert "film is newer" in shown(app, "#headline")
