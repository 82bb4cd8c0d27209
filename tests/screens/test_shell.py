"""The shell: six places, keys, help, palette, undo, copying, looks, refusals, faults, the first run."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Static

from planner.desk.desk import Desk
from planner.desk.team import save_player
from planner.problem import Problem, Refusal
from planner.screens.actions import EVERYWHERE, PLACES
from planner.screens.app import StopsheetApp, open_app
from planner.screens.dialogs import ReadDialog
from planner.screens.keymap import actions_of_places
from planner.screens.place import KeyLine, Place, TopBar
from planner.screens.tomorrow import TomorrowPlace
from planner.screens.widgets.choose import ChooseDialog
from planner.store import queries
from planner.store.values import PlayerInfo
from tests.running import NOW, TODAY
from tests.screens.steps import SIZES, opened, press, settle, shown, toasts


@pytest.fixture
def empty_desk(no_home: Path) -> Desk:
    """Return a desk at a data folder that is not there yet."""
    return Desk(no_home, TODAY, lambda: NOW)


@pytest.mark.parametrize("size", SIZES)
async def test_every_place_opens_by_its_digit(demo_desk: Desk, size: tuple[int, int]) -> None:
    """At every width each digit leads to its place, which the top bar marks with brackets."""
    async with opened(demo_desk, size) as (app, pilot):
        for one in PLACES:
            await press(pilot, one.key)
            assert isinstance(app.screen, Place)
            assert app.screen.place == one.id
            assert f"[{one.key} {one.title}]" in str(app.screen.query_one(TopBar).content)


async def test_every_place_survives_a_change_of_size(demo_desk: Desk) -> None:
    """A terminal made narrow and wide again leaves every place standing."""
    async with opened(demo_desk, (120, 40)) as (app, pilot):
        for one in PLACES:
            await press(pilot, one.key)
            for size in ((60, 20), (80, 24), (120, 40)):
                await pilot.resize_terminal(*size)
                await settle(pilot)
            assert isinstance(app.screen, Place)
            assert app.screen.place == one.id


@pytest.mark.parametrize("place", PLACES, ids=lambda one: one.id)
async def test_help_names_every_action_and_the_key_line_at_most_five(demo_desk: Desk, place: object) -> None:
    """Help lists each action of the place and of the app; the key line holds five keys at most."""
    async with opened(demo_desk) as (app, pilot):
        await press(pilot, place.key)
        line = str(app.screen.query_one(KeyLine).content)
        assert 1 < len(line.split("   ")) <= 5
        assert line.endswith("F1 help")
        actions = [*app.screen.ACTIONS, *EVERYWHERE]
        await press(pilot, "f1")
        assert isinstance(app.screen, ReadDialog)
        for one in actions:
            assert one.words in app.screen._text


def test_within_a_place_no_two_actions_share_a_key_and_ids_are_unique() -> None:
    """Every place's keys are its own; only an action that means the same may stand in for one everywhere."""
    ids = [one.id for one in EVERYWHERE]
    for actions in actions_of_places().values():
        own = actions[len(EVERYWHERE) :]
        ids += [one.id for one in own]
        keys = [key for one in own for key in one.key.split(",")]
        assert len(keys) == len(set(keys)), keys
        taken = {key: one for one in EVERYWHERE for key in one.key.split(",")}
        for one in own:
            for key in set(one.key.split(",")) & set(taken):
                assert one.id.split(".")[1] == taken[key].id.split(".")[1], (one.id, key)
    assert len(ids) == len(set(ids))


async def test_the_palette_holds_every_action(demo_desk: Desk) -> None:
    """Whatever a key does can be found by its words in the palette, and is run from there."""
    async with opened(demo_desk) as (app, pilot):
        for one in PLACES:
            await press(pilot, one.key)
            commands = {each.title: each for each in app.get_system_commands(app.screen)}
            assert {each.words for each in (*app.screen.ACTIONS, *EVERYWHERE)} == set(commands)
        await pilot.press("ctrl+p")
        await settle(pilot)
        await pilot.press(*"Go to Drills")
        await settle(pilot)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, Place)
        assert app.screen.place == "drills"


async def test_undo_takes_back_what_was_done_last_from_any_place(demo_desk: Desk) -> None:
    """``u`` undoes the newest entry of the journal and says what it was; with nothing left it refuses."""
    save_player(demo_desk, PlayerInfo("77"))
    async with opened(demo_desk) as (app, pilot):
        await press(pilot, "u")
        assert "player 77" in toasts(app)
        with demo_desk.reading() as session:
            assert "77" not in {one.jersey for one in queries.players(session)}


async def test_copying_puts_plain_text_on_the_clipboard(demo_desk: Desk) -> None:
    """``c`` copies what each place shows, without markup or escape sequences."""
    async with opened(demo_desk) as (app, pilot):
        for digit, words in (("1", "Clock"), ("3", "Set-up"), ("4", "Minutes"), ("6", "Roster")):
            await press(pilot, digit, "c")
            assert words in app.clipboard
            assert "\x1b" not in app.clipboard


async def test_the_look_turns_from_dark_to_light_and_back(demo_desk: Desk) -> None:
    """``t`` switches the theme; the app can begin in the light one."""
    async with opened(demo_desk, light=True) as (app, pilot):
        assert not app.current_theme.dark
        await press(pilot, "t")
        assert app.current_theme.dark
        await press(pilot, "t")
        assert not app.current_theme.dark


async def test_a_refusal_becomes_a_dialog(demo_desk: Desk) -> None:
    """What a verb refuses in the background is read as its one sentence."""

    def refuse() -> None:
        raise Refusal("The gym is closed; choose another day.")

    async with opened(demo_desk) as (app, pilot):
        assert isinstance(app.screen, Place)
        app.screen.in_background(refuse, lambda _: None, "try")
        await settle(pilot)
        assert isinstance(app.screen, ReadDialog)
        assert app.screen._text == "The gym is closed; choose another day."
        await press(pilot, "escape")
        assert isinstance(app.screen, TomorrowPlace)


async def test_a_fault_in_the_background_is_shown_and_the_app_goes_on(demo_desk: Desk) -> None:
    """A fault of the program is told as its kind and place, without what was in its message."""

    def break_down() -> None:
        raise ZeroDivisionError("player 23")

    async with opened(demo_desk) as (app, pilot):
        assert isinstance(app.screen, Place)
        app.screen.in_background(break_down, lambda _: None, "try")
        await settle(pilot)
        assert isinstance(app.screen, ReadDialog)
        assert "ZeroDivisionError" in app.screen._text
        assert "break_down at line" in app.screen._text
        assert "player 23" not in app.screen._text
        await press(pilot, "escape", "6")
        assert isinstance(app.screen, Place)
        assert app.screen.place == "team"


async def test_a_fault_in_showing_an_answer_is_shown_too(demo_desk: Desk) -> None:
    """Where the answer of a job cannot be shown, that is told like any other fault."""

    def show(answer: str) -> None:
        raise KeyError(answer)

    async with opened(demo_desk) as (app, pilot):
        assert isinstance(app.screen, Place)
        app.screen.in_background(lambda: "player 23", show, "try")
        await settle(pilot)
        assert isinstance(app.screen, ReadDialog)
        assert "KeyError" in app.screen._text
        assert "player 23" not in app.screen._text


def test_a_fault_that_ends_the_app_is_one_sentence(demo_desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Instead of a page of names and values the coach reads that it was a fault, and that all is kept."""

    def run(app: StopsheetApp, mouse: bool) -> None:
        monkeypatch.setattr(StopsheetApp, "is_headless", False)
        app._handle_exception(ZeroDivisionError("player 23"))

    monkeypatch.delenv("STOPSHEET_DEBUG", raising=False)
    monkeypatch.setattr("planner.screens.app.need_terminal", lambda: None)
    monkeypatch.setattr(StopsheetApp, "run", run)
    with pytest.raises(Refusal, match="fault of stopsheet \\(ZeroDivisionError\\)") as told:
        open_app(demo_desk)
    assert "player 23" not in str(told.value)


async def test_a_look_that_is_refused_is_told_once(demo_desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Closing the refusal of a look leads to the place, not to the refusal again; its digit looks again."""

    def shut(self: TomorrowPlace) -> None:
        raise Refusal("The data is in use.")

    monkeypatch.setattr(TomorrowPlace, "_look", shut)
    app = StopsheetApp(demo_desk)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        for keys in ((), ("1",)):
            await press(pilot, *keys)
            await settle(pilot)
            assert isinstance(app.screen, ReadDialog)
            await press(pilot, "escape")
            assert isinstance(app.screen, TomorrowPlace)


async def test_a_late_answer_is_dropped(demo_desk: Desk) -> None:
    """Of two jobs of one name only the later one's answer is shown, whichever ends first."""
    from threading import Event

    gate, got = Event(), []
    async with opened(demo_desk) as (app, pilot):
        place = app.screen
        assert isinstance(place, Place)
        place.in_background(lambda: gate.wait(10) and "early", got.append, "same")
        place.in_background(lambda: "late", got.append, "same")
        await pilot.pause()
        gate.set()
        await settle(pilot)
        assert got == ["late"]


async def test_keys_can_be_changed(demo_desk: Desk) -> None:
    """A key map moves an action to another key: the old one is free, help and key line say the new one."""
    keys = {"app.theme": "f9", "drills.find": "z", "go.team": "0"}
    async with opened(demo_desk, keys=keys) as (app, pilot):
        await press(pilot, "t")
        assert app.current_theme.dark
        await press(pilot, "f9")
        assert not app.current_theme.dark
        await press(pilot, "3")
        assert str(app.screen.query_one(KeyLine).content).startswith("z find")
        assert "0 Team" in str(app.screen.query_one(TopBar).content)
        await press(pilot, "z")
        assert app.screen.query_one("#find").has_focus
        await press(pilot, "escape", "f1")
        assert isinstance(app.screen, ReadDialog)
        assert "  F9 " in app.screen._text
        await press(pilot, "escape", "0")
        assert isinstance(app.screen, Place)
        assert app.screen.place == "team"


async def test_faults_of_the_key_map_are_told_once(demo_desk: Desk) -> None:
    """What of the key map cannot be used is read in a dialog at the start, and the app goes on."""
    app = StopsheetApp(demo_desk, key_faults=[Problem("keys.toml", 3, "there is no action 'film.wach'")])
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert isinstance(app.screen, ReadDialog)
        assert "film.wach" in app.screen._text
        await press(pilot, "escape")
        assert isinstance(app.screen, TomorrowPlace)


async def test_nothing_crashes_without_a_team(empty_desk: Desk) -> None:
    """Every place opens on an empty data folder; leaving the welcome is possible, a digit asks again."""
    async with opened(empty_desk) as (app, pilot):
        assert isinstance(app.screen, ChooseDialog)
        await press(pilot, "escape")
        assert isinstance(app.screen, TomorrowPlace)
        for one in PLACES:
            await press(pilot, one.key)
            if isinstance(app.screen, ChooseDialog):
                await press(pilot, "escape")
            assert isinstance(app.screen, Place), one.id
            assert app.screen.place == one.id
            asked = [each for each in app.screen.ACTIONS if each.id not in {"drills.edit", "drills.new"}]
            for action in asked:
                await app.screen.run_action(action.run)
                await settle(pilot)
                while not isinstance(app.screen, Place):
                    await press(pilot, "escape")
        await press(pilot, "3", "u")
        assert isinstance(app.screen, ReadDialog)
        assert "There is no team here yet" in app.screen._text
    assert not (empty_desk.home / "stopsheet.db").exists()


async def test_the_first_run_leads_into_the_demo(empty_desk: Desk) -> None:
    """From the welcome the demo season is made in a folder of its own and shown."""
    async with opened(empty_desk) as (app, pilot):
        await press(pilot, "enter")
        await settle(pilot)
        assert app.desk.home == empty_desk.home.parent / f"{empty_desk.home.name}-demo"
        assert isinstance(app.screen, TomorrowPlace)
        assert app.screen.known is not None
        assert app.screen.known.plan is not None
        app.desk.close()


async def test_five_answers_set_a_team_up(empty_desk: Desk) -> None:
    """The five questions make team, roster, start, length and next game."""
    async with opened(empty_desk) as (app, pilot):
        await press(pilot, "down", "enter")
        for text in ("Herons", "4 7 00", "18:00", "75", "2027-01-20 Harbour Point"):
            app.screen.query_one("Input").value = text
            await press(pilot, "enter")
        await settle(pilot)
        with empty_desk.reading() as session:
            assert [one.jersey for one in queries.players(session)] == ["00", "4", "7"]
            assert queries.setting(session, "minutes") == 75
            game = queries.next_game(session, TODAY)
        assert game is not None
        assert game.opponent == "Harbour Point"
    empty_desk.close()


def test_the_app_refuses_without_a_terminal(demo_desk: Desk) -> None:
    """Where nobody can see or steer it, the app says that every screen has a command too."""
    with pytest.raises(Refusal, match="needs a terminal"):
        open_app(demo_desk)


async def test_focus_help_comes_first(demo_desk: Desk) -> None:
    """Help begins with what can be done in the widget that has the focus."""
    async with opened(demo_desk) as (app, pilot):
        await press(pilot, "3", "slash", "f1")
        assert isinstance(app.screen, ReadDialog)
        assert app.screen._text.startswith("Type words; each must stand in the drill.")
        await press(pilot, "escape")
        assert shown(app, "#drill-count")
        assert app.screen.query(Static)
