"""The Team place: every section shows what was set up, every write can be undone with u."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from planner.desk.desk import Desk
from planner.desk.team import SETTINGS, TEXT_SETTINGS, save_player, set_up
from planner.desk.teams import new_team_beside
from planner.problem import Refusal
from planner.screens.dialogs import AskDialog, ReadDialog
from planner.screens.team import TeamPlace
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.team_text import SECTIONS, fixed_from, game_from, gym_from, player_from
from planner.store import queries
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo
from tests.running import TODAY, rows
from tests.screens.steps import SIZES, answer, go, opened, options, press, shown, toasts


def state(desk: Desk) -> dict[str, object]:
    """Return every row of the store in no order; a player is known by the jersey, not by a number."""
    found = rows(desk.home)
    found["player"] = [{key: value for key, value in one.items() if key != "id"} for one in found["player"]]
    return {table: sorted(map(repr, kept)) for table, kept in found.items()}


async def enter(pilot: Pilot[None], section: str) -> TeamPlace:
    """Go to a section's rows."""
    place = await go(pilot, "6", TeamPlace)
    place.query_one("#team-sections").highlighted = list(SECTIONS).index(section)
    await press(pilot, "right")
    assert place.section == section
    return place


async def choose(pilot: Pilot[None], row: str) -> None:
    """Put the cursor on the row of that id."""
    listed = pilot.app.screen.query_one("#team-rows")
    ids = [listed.get_option_at_index(n).id for n in range(listed.option_count)]
    listed.highlighted = ids.index(row)
    await press(pilot, "shift")


@pytest.mark.parametrize("size", SIZES)
async def test_every_section_shows_its_rows(demo_desk: Desk, size: tuple[int, int]) -> None:
    """Walking down the sections shows each one's rows on the right and what it is for below."""
    async with opened(demo_desk, size) as (app, pilot):
        place = await go(pilot, "6", TeamPlace)
        for section in SECTIONS:
            assert place.section == section
            assert shown(app, "#team-detail")
            assert options(app, "#team-rows") or section in {"gym", "fixed"}
            await press(pilot, "down")
        await press(pilot, "c")
        assert app.clipboard


@pytest.mark.parametrize(
    ("section", "text", "words"),
    [
        ("roster", "88 guard Ilvo", "88  guard      Ilvo"),
        ("gym", "sat 9:00 11:00 half north gym", "every Sat    09:00–11:00  half the gym  north gym"),
        ("fixed", "Team talk 5 first mon", "Team talk, 5 min, first, Mon only"),
        ("games", "2027-02-02 Harbour Point away", "2027-02-02  v Harbour Point away"),
    ],
)
async def test_what_is_added_is_shown_and_undone(
    demo_desk: Desk, section: str, text: str, words: str
) -> None:
    """Key a adds from one line; u takes it back, and the store is row for row as it was."""
    before = state(demo_desk)
    async with opened(demo_desk, (120, 40)) as (app, pilot):
        await enter(pilot, section)
        await press(pilot, "a")
        await answer(pilot, text)
        assert any(words in one for one in options(app, "#team-rows"))
        assert "u undoes it" in toasts(app)
        await press(pilot, "u")
        assert not any(words in one for one in options(app, "#team-rows"))
    assert state(demo_desk) == before


@pytest.mark.parametrize("section", ["roster", "gym", "fixed", "settings"])
async def test_what_is_removed_comes_back_as_it_was(demo_desk: Desk, section: str) -> None:
    """Key x removes the row (a setting: as usual again); u brings it back under its own number."""
    before = state(demo_desk)
    async with opened(demo_desk) as (app, pilot):
        place = await enter(pilot, section)
        stood = options(app, "#team-rows")
        row = place.row()
        assert row is not None
        await press(pilot, "x")
        assert options(app, "#team-rows") != stood
        assert state(demo_desk) != before
        await press(pilot, "u")
        assert options(app, "#team-rows") == stood
    assert state(demo_desk) == before


async def test_a_game_is_changed_removed_and_brought_back(demo_desk: Desk) -> None:
    """Key e changes a game, x removes one without film, u undoes both; film holds a game."""
    before = state(demo_desk)
    async with opened(demo_desk, (120, 40)) as (app, pilot):
        place = await enter(pilot, "games")
        assert place.known is not None
        ahead = next(one for one in place.known.games if one.date > TODAY)
        filmed = next(one for one in place.known.games if one.films)
        await choose(pilot, str(ahead.id))
        await press(pilot, "e")
        assert app.screen.query_one(Input).value.startswith(ahead.date.isoformat())
        await answer(pilot, "2027-02-09 Upper Wexmoor neutral")
        assert any("2027-02-09  v Upper Wexmoor neutral" in one for one in options(app, "#team-rows"))
        await press(pilot, "x")
        assert not any("Upper Wexmoor" in one for one in options(app, "#team-rows"))
        await press(pilot, "u", "u")
        assert state(demo_desk) == before
        await choose(pilot, str(filmed.id))
        await press(pilot, "x")
        assert isinstance(app.screen, ReadDialog)
        assert "has film" in app.screen._text


async def test_a_player_keeps_the_jersey_when_changed(demo_desk: Desk) -> None:
    """Key e changes position and name of the player under the cursor; a dash leaves the position empty."""
    async with opened(demo_desk) as (_, pilot):
        place = await enter(pilot, "roster")
        row = place.row()
        assert row is not None
        await press(pilot, "e")
        await answer(pilot, "- Sanne")
        with demo_desk.reading() as session:
            found = {one.jersey: one for one in queries.players(session)}[row.id]
        assert (found.position, found.name) == ("", "Sanne")


async def test_a_breakdown_is_switched_by_space(demo_desk: Desk) -> None:
    """Space leaves the breakdown out and counts it again; the mark says which."""
    async with opened(demo_desk) as (_, pilot):
        place = await enter(pilot, "teach")
        await choose(pilot, "late-help")
        row = place.row()
        assert row is not None
        assert row.text.startswith("[x]")
        await press(pilot, "space")
        row = place.row()
        assert row is not None
        assert row.id == "late-help"
        assert row.text.startswith("[ ]")
        with demo_desk.reading() as session:
            assert "late-help" in queries.switched_off(session)
        await press(pilot, "enter")
        with demo_desk.reading() as session:
            assert "late-help" not in queries.switched_off(session)


async def test_a_coverage_decides_what_cannot_happen(demo_desk: Desk) -> None:
    """Switching a coverage on marks what it leaves out among the breakdowns, with the reason."""
    async with opened(demo_desk) as (_, pilot):
        place = await enter(pilot, "play")
        assert place.known is not None
        one = next(each for each in place.known.coverages if each.off)
        await choose(pilot, one.id)
        await press(pilot, "e")
        assert place.known.left_out
        left = next(iter(place.known.left_out))
        await press(pilot, "left", "up")
        await press(pilot, "right")
        await choose(pilot, left)
        row = place.row()
        assert row is not None
        assert row.text.startswith("[-]")
        assert one.title in row.detail
        await press(pilot, "u")
        assert not place.known.left_out


async def test_every_setting_is_there_with_meaning_and_bounds(demo_desk: Desk) -> None:
    """Each setting has a row whose words give meaning and bounds; one out of bounds is refused."""
    async with opened(demo_desk) as (app, pilot):
        place = await enter(pilot, "settings")
        for key in (*SETTINGS, *TEXT_SETTINGS):
            await choose(pilot, key)
            row = place.row()
            assert row is not None
            meaning = SETTINGS[key][2] if key in SETTINGS else TEXT_SETTINGS[key][1]
            assert meaning[1:] in shown(app, "#team-detail")
        await choose(pilot, "minutes")
        await press(pilot, "e")
        await answer(pilot, "75")
        with demo_desk.reading() as session:
            assert queries.setting(session, "minutes") == 75
        await press(pilot, "e")
        await answer(pilot, "900")
        assert isinstance(app.screen, ReadDialog)
        assert "must be from 10 to 300" in app.screen._text
        await press(pilot, "escape", "u")
        with demo_desk.reading() as session:
            assert queries.setting(session, "minutes") != 75


async def test_the_season_s_days_are_set(demo_desk: Desk) -> None:
    """The team's name and season are changed one by one; an end before the start is refused."""
    async with opened(demo_desk) as (app, pilot):
        place = await enter(pilot, "team")
        await press(pilot, "e")
        await answer(pilot, "Marsh Herons")
        assert shown(app, "#team-line").startswith("Marsh Herons")
        await choose(pilot, "end")
        await press(pilot, "e")
        await answer(pilot, "2020-01-01")
        assert isinstance(app.screen, ReadDialog)
        await press(pilot, "escape", "u")
        assert place.known is not None
        assert place.known.team.name != "Marsh Herons"


async def test_the_next_opponent_can_be_weighed(demo_desk: Desk) -> None:
    """Key o says how much more an opponent goes at a principle; the game's row says it again."""
    async with opened(demo_desk) as (_, pilot):
        place = await enter(pilot, "games")
        await press(pilot, "o", "enter")
        await answer(pilot, "1.5")
        row = place.row()
        assert row is not None
        assert "they go more at on-ball x1.5" in row.detail


async def test_a_copy_is_saved_and_brought_back(demo_desk: Desk) -> None:
    """Data saves a copy; after a change, bringing it back undoes the change and keeps what stood."""
    before = state(demo_desk)
    async with opened(demo_desk) as (app, pilot):
        place = await enter(pilot, "data")
        assert str(demo_desk.home) in shown(app, "#team-detail")
        await press(pilot, "enter")
        assert isinstance(app.screen, ReadDialog)
        assert Path(app.screen._text).is_file()
        await press(pilot, "escape")
        place.query_one("#team-sections").focus()
        await enter(pilot, "roster")
        await press(pilot, "x")
        assert state(demo_desk) != before
        await enter(pilot, "data")
        await choose(pilot, "restore")
        await press(pilot, "enter", "enter")
        assert isinstance(app.screen, AskDialog)
        await press(pilot, "enter")
        assert isinstance(app.screen, AskDialog), "Enter alone never says yes"
        await press(pilot, "y")
        assert isinstance(app.screen, ReadDialog)
        assert "kept" in app.screen._text
    assert state(demo_desk) == before


async def test_the_data_can_be_checked_and_written_out(demo_desk: Desk) -> None:
    """Check says that all is sound; the plain export is a file of JSON."""
    import json

    async with opened(demo_desk) as (app, pilot):
        await enter(pilot, "data")
        await choose(pilot, "check")
        await press(pilot, "enter")
        assert isinstance(app.screen, ReadDialog)
        assert "sound" in app.screen._text
        await press(pilot, "escape")
        await choose(pilot, "export")
        await press(pilot, "enter")
        assert isinstance(app.screen, ReadDialog)
        assert "tables" in json.loads(Path(app.screen._text).read_text("utf-8"))


async def test_a_school_s_calendar_is_shown_before_it_is_added(demo_desk: Desk, tmp_path: Path) -> None:
    """The file's games are counted first; yes adds them, u takes them out again."""
    file = tmp_path / "school.ics"
    file.write_text(
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nUID:a1\r\nDTSTART;VALUE=DATE:20270205\r\n"
        "SUMMARY:v Harbour Point\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    before = state(demo_desk)
    async with opened(demo_desk) as (app, pilot):
        await enter(pilot, "data")
        await choose(pilot, "calendar-in")
        await press(pilot, "enter")
        await answer(pilot, str(file))
        assert isinstance(app.screen, AskDialog)
        assert state(demo_desk) == before
        await press(pilot, "y")
        assert isinstance(app.screen, ReadDialog)
        await press(pilot, "escape")
        with demo_desk.reading() as session:
            assert queries.find_games(session, opponent="harbour point")
        await press(pilot, "u")
    assert state(demo_desk) == before


async def test_a_key_in_the_wrong_section_says_so(demo_desk: Desk) -> None:
    """Keys that have nothing to do in a section say what would, and change nothing."""
    before = state(demo_desk)
    async with opened(demo_desk) as (app, pilot):
        await go(pilot, "6", TeamPlace)
        await press(pilot, "x")
        assert "Choose a row first" in toasts(app)
        await enter(pilot, "teach")
        await press(pilot, "a", "x", "o")
        for words in ("Nothing is added here", "Nothing is removed here", "Choose a game first"):
            assert words in toasts(app)
    assert state(demo_desk) == before


def test_lines_are_read_as_they_are_typed() -> None:
    """Each line that adds something gives what it says."""
    assert player_from("12") == PlayerInfo("12")
    assert player_from(" 12  guard  Ilvo de Boer ") == PlayerInfo("12", "Ilvo de Boer", "guard")
    assert gym_from("tue 16:30 5pm", TODAY) == GymRule(990, 1020, 2, weekday=1)
    assert gym_from("2027-02-01 9:00 11:00 closed exams", TODAY) == GymRule(
        540, 660, 0, date=TODAY.replace(month=2, day=1), note="exams"
    )
    assert gym_from("FREQ=WEEKLY;BYDAY=TU 9:00 11:00", TODAY).first == TODAY
    assert fixed_from("Free throws 8 20") == FixedRule("Free throws", 8, 20)
    assert fixed_from("Stretch 8 last fri") == FixedRule("Stretch", 8, "last", weekday=4)
    assert game_from("tomorrow Harbour Point home", TODAY)[1:] == ("Harbour Point", "home")
    assert game_from("tomorrow Home", TODAY)[1:] == ("Home", "")


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (player_from, "  "),
        (fixed_from, "Stretch"),
        (fixed_from, "Stretch ten last"),
        (fixed_from, "Stretch 10 somewhere"),
        (lambda text: gym_from(text, TODAY), "tue 16:30"),
        (lambda text: gym_from(text, TODAY), "tue noon 16:30"),
        (lambda text: game_from(text, TODAY), "2027-02-01"),
        (lambda text: game_from(text, TODAY), "3/4 Harbour Point"),
    ],
)
def test_lines_that_say_too_little_are_refused(read: object, text: str) -> None:
    """A line that cannot be read is refused with a sentence that shows how to write it."""
    with pytest.raises(Refusal):
        read(text)


async def test_another_team_is_taken_in_hand_and_shown(demo_desk: Desk) -> None:
    """The key w lists the teams of the folder; choosing one shows its roster and keeps it in hand."""
    second = new_team_beside(demo_desk, "Otters Two")
    set_up(second, TeamInfo("Otters Two"))
    save_player(second, PlayerInfo("77"))
    second.close()
    async with opened(demo_desk) as (app, pilot):
        await enter(pilot, "roster")
        await press(pilot, "w")
        dialog = app.screen
        assert isinstance(dialog, ChooseDialog)
        listed = dialog.query_one(OptionList)
        assert [str(one.id) for one in listed.options] == ["marrowby-otters", "otters-two"]
        await press(pilot, "down", "enter")
        assert app.desk.home == second.home
        assert "77" in " ".join(options(app, "#team-rows"))
        assert "Otters Two" in shown(app, "#team-line")


async def test_with_one_team_the_key_says_how_to_make_another(demo_desk: Desk) -> None:
    """With a single team w opens nothing and names the command."""
    async with opened(demo_desk) as (app, pilot):
        await enter(pilot, "roster")
        await press(pilot, "w")
        assert "team new NAME --further" in toasts(app)
