"""The Drills place: finding by typing, the card and its pictures, the ladder, own drills, pins, printing."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from planner.desk.desk import Desk
from planner.desk.own_drills import copy_drill, own_path
from planner.desk.team import save_player
from planner.screens.app import StopsheetApp
from planner.screens.dialogs import AskDialog, ReadDialog
from planner.screens.drills import DrillsPlace
from planner.screens.widgets.drill_card import DrillCard, stage_dots
from planner.screens.widgets.ladder import LadderDialog
from planner.store import queries
from planner.store.values import PlayerInfo
from tests.running import TODAY
from tests.screens.steps import SIZES, answer, go, opened, options, press, settle, shown, toasts


def card(app: StopsheetApp) -> DrillCard:
    """Return the card on the right."""
    return app.screen.query_one("#card", DrillCard)


def drawn(app: StopsheetApp) -> str:
    """Return the card as it is drawn."""
    return shown(app, "#card-text")


@pytest.fixture
def editor(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    """Let the editor be a script that adds what the returned file holds; suspending does nothing."""
    addition = tmp_path / "addition"
    addition.write_text("")
    script = tmp_path / "editor.sh"
    script.write_text(f'#!/bin/sh\ncat {addition} >> "$1"\n')
    script.chmod(0o700)
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", str(script))
    monkeypatch.setattr(StopsheetApp, "suspend", lambda _: contextlib.nullcontext())
    return addition


@pytest.mark.parametrize("size", SIZES)
async def test_the_list_is_filtered_as_it_is_typed(demo_desk: Desk, size: tuple[int, int]) -> None:
    """Each letter narrows the list; short questions narrow it by principle, stage and players."""
    async with opened(demo_desk, size) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        everything = len(place.found)
        assert everything == len(demo_desk.library.drills)
        await press(pilot, "slash", *"p:box-out s:live n:8")
        assert 0 < len(place.found) < everything
        for one in place.found:
            assert "box-out" in one.shares
            assert one.stage == "live"
            assert one.players_min <= 8 <= one.players_max
        assert f"{len(place.found)} of {everything}" in shown(app, "#drill-count")
        await press(pilot, "enter")
        assert app.screen.query_one("#drill-list").has_focus
        await press(pilot, "escape")
        assert len(place.found) == everything


async def test_what_is_not_understood_is_said(demo_desk: Desk) -> None:
    """A short question that makes no sense is named, and narrows nothing."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        await press(pilot, "slash", *"s:x")
        assert "not understood: s:x" in shown(app, "#drill-count")
        assert len(place.found) == len(demo_desk.library.drills)


async def test_letters_typed_into_the_find_line_do_nothing_else(demo_desk: Desk) -> None:
    """While typing, digits and letters go into the line: no place is left and nothing is undone."""
    save_player(demo_desk, PlayerInfo("77"))
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        await press(pilot, "slash", *"1u6qt")
        assert app.screen is place
        assert app.screen.query_one("#find").value == "1u6qt"
        with demo_desk.reading() as session:
            assert "77" in {one.jersey for one in queries.players(session)}


async def test_the_court_is_drawn_frame_by_frame(demo_desk: Desk) -> None:
    """] shows the next picture with its caption, [ the one before, round and round."""
    async with opened(demo_desk, (120, 40)) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        several = [one for one in place.found if len(demo_desk.library.diagram_rows[one.id]) > 1]
        await press(pilot, "slash", *several[0].id, "enter")
        found = card(app).shown
        assert found is not None
        assert len(found.frames) > 1
        assert f"[1 of {len(found.frames)}] {found.frames[0].caption}" in drawn(app)
        assert any("\u2801" <= letter <= "\u28ff" for letter in drawn(app))
        await press(pilot, "right_square_bracket")
        assert f"[2 of {len(found.frames)}] {found.frames[1].caption}" in drawn(app)
        await press(pilot, "left_square_bracket", "left_square_bracket")
        assert f"[{len(found.frames)} of {len(found.frames)}]" in drawn(app)


async def test_the_card_holds_everything_and_fills_the_screen_on_enter(demo_desk: Desk) -> None:
    """Enter shows the card whole, Escape goes back to the list; the card has all a coach says and does."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        drill = place.selected()
        assert drill is not None
        for text in (drill.title, *drill.cues, *(one.say for one in drill.faults), *drill.easier):
            assert " ".join(text.split()) in drawn(app)
        await press(pilot, "enter")
        assert not app.screen.query_one("#drill-side").display
        assert card(app).has_focus
        await press(pilot, "escape")
        assert app.screen.query_one("#drill-side").display
        assert app.screen.query_one("#drill-list").has_focus


async def test_the_ladder_shows_where_the_team_stands_and_leads_to_a_drill(demo_desk: Desk) -> None:
    """Key g shows the stages with what is passed; Enter there goes to the drill, whatever was typed."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        await press(pilot, "slash", *"p:transition", "enter", "g")
        assert isinstance(app.screen, LadderDialog)
        rows = options(app)
        assert any(one.startswith("✓ 1 walk") for one in rows)
        assert any(one.startswith("▸ 2 guided") for one in rows)
        here = app.screen.query_one("OptionList").highlighted
        await press(pilot, "down", "enter")
        assert app.screen is place
        assert here is not None
        chosen = place.selected()
        assert chosen is not None
        assert any(chosen.title in one for one in rows)
        assert chosen.main_principle == "transition"


async def test_a_drill_goes_into_the_next_practice_and_out_again(demo_desk: Desk) -> None:
    """Key i pins the drill in the next plan and says what that costs; i again lets it go; u undoes."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        with demo_desk.reading() as session:
            before = queries.next_plan(session, TODAY)
        assert before is not None
        await press(pilot, "slash", *"p:post s:guided k:drill", "enter")
        drill = place.selected()
        assert drill is not None
        await press(pilot, "i")
        assert f"{drill.title} is in the practice of" in toasts(app)

        def pins() -> list[str]:
            with demo_desk.reading() as session:
                info = queries.find_practice(session, before.date, before.start)
            assert info is not None
            return [row[0] for row in info.wishes["pins"]]

        assert drill.id in pins()
        await press(pilot, "i")
        assert drill.id not in pins()
        await press(pilot, "u")
        assert drill.id in pins()


async def test_editing_a_library_drill_offers_a_copy_first(demo_desk: Desk, editor: Path) -> None:
    """Key e asks before it copies; No copies nothing, yes makes an own drill, u puts it away again."""
    editor.write_text("# seen by the coach\n")
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        drill = place.selected()
        assert drill is not None
        await press(pilot, "e")
        assert isinstance(app.screen, AskDialog)
        await press(pilot, "n")
        assert not own_path(demo_desk, drill.id).exists()
        await press(pilot, "e", "y")
        assert own_path(demo_desk, drill.id).read_text("utf-8").endswith("# seen by the coach\n")
        assert place.known is not None
        assert drill.id in place.known.library.own
        assert "Your own drill." in drawn(app)
        await press(pilot, "u")
        assert not own_path(demo_desk, drill.id).exists()
        assert place.known is not None
        assert drill.id not in place.known.library.own


async def test_a_broken_drill_is_listed_with_what_is_wrong(demo_desk: Desk, editor: Path) -> None:
    """A file that no longer reads stays in the list with its faults in the card; u brings it back."""
    copy_drill(demo_desk, "close-the-middle-gate")
    editor.write_text("= nonsense\n")
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        await press(pilot, "slash", *"k:own", "enter", "e")
        assert isinstance(app.screen, ReadDialog)
        assert "not valid TOML" in app.screen._text
        await press(pilot, "escape")
        assert place.selected_id() == "!close-the-middle-gate"
        assert "not valid TOML" in drawn(app)
        assert options(app, "#drill-list")[0] == "! close-the-middle-gate: to put right"
        await press(pilot, "u")
        assert place.known is not None
        assert not place.known.faulty


async def test_undo_takes_the_newest_thing_be_it_a_file_or_not(demo_desk: Desk, editor: Path) -> None:
    """After a drill was edited and then a player added, u takes the player back, and only then the drill."""
    editor.write_text("# changed\n")
    async with opened(demo_desk) as (_, pilot):
        place = await go(pilot, "3", DrillsPlace)
        drill = place.selected()
        assert drill is not None
        await press(pilot, "e", "y")
        save_player(demo_desk, PlayerInfo("77"))
        await press(pilot, "u")
        assert own_path(demo_desk, drill.id).exists()
        with demo_desk.reading() as session:
            assert "77" not in {one.jersey for one in queries.players(session)}
        await press(pilot, "u")
        assert not own_path(demo_desk, drill.id).exists()


async def test_a_drill_of_ones_own_is_begun_put_away_and_brought_back(demo_desk: Desk, editor: Path) -> None:
    """Key n begins a drill beside the selected one, x puts it into the trash folder, r brings it back."""
    async with opened(demo_desk) as (_, pilot):
        place = await go(pilot, "3", DrillsPlace)
        await press(pilot, "n")
        await answer(pilot, "two-corner-shell")
        path = own_path(demo_desk, "two-corner-shell")
        assert path.exists()
        assert place.selected_id() == "!two-corner-shell"
        await press(pilot, "x", "y")
        assert not path.exists()
        await press(pilot, "r", "enter")
        assert path.exists()


async def test_without_an_editor_the_refusal_is_read(
    demo_desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no editor is set, e says how to set one, and nothing is copied."""
    for name in ("VISUAL", "EDITOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(StopsheetApp, "suspend", lambda _: contextlib.nullcontext())
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        drill = place.selected()
        assert drill is not None
        await press(pilot, "e", "y")
        assert isinstance(app.screen, ReadDialog)
        assert "No editor is known" in app.screen._text
        assert not own_path(demo_desk, drill.id).exists()


async def test_a_card_is_printed_by_a_process_of_its_own(demo_desk: Desk) -> None:
    """Key p writes the card's PDF beside the data and says where."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "3", DrillsPlace)
        drill = place.selected()
        assert drill is not None
        await press(pilot, "p")
        assert isinstance(app.screen, ReadDialog)
        pdf = demo_desk.home / "prints" / f"drill-{drill.id}.pdf"
        assert str(pdf) in app.screen._text.replace("\n", "")
        assert drill.title.split(":")[0] in PdfReader(pdf).pages[0].extract_text()


async def test_a_hostile_drill_shows_as_plain_text(demo_desk: Desk) -> None:
    """Markup in a drill's title is shown as it stands, and never read."""
    path = copy_drill(demo_desk, "close-the-middle-gate", "hostile-gate")
    text = path.read_text("utf-8")
    start = text.index("title")
    line = text[start : text.index("\n", start)]
    path.write_text(text.replace(line, 'title = "[red]Gate[/] [@click=app.quit]x[/]"'), "utf-8")
    demo_desk.__dict__.pop("library", None)
    async with opened(demo_desk) as (app, pilot):
        await go(pilot, "3", DrillsPlace)
        await press(pilot, "slash", *"k:own", "enter")
        assert any("[red]Gate[/]" in one for one in options(app, "#drill-list"))
        assert "[@click=app.quit]x[/]" in drawn(app)
        await settle(pilot)


def test_stages_are_told_in_dots() -> None:
    """Each of the four stages has its own number of full dots, so that colour is not needed."""
    from planner.drills.vocabulary import Stage

    assert [stage_dots(one) for one in Stage] == ["●○○○", "●●○○", "●●●○", "●●●●"]
