"""Tomorrow: the days until the game, the plan first, what it rests on, one change after the other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from threading import Event
from typing import Any

import pytest
from textual.widgets import DataTable

from planner.build.horizon import Step
from planner.build.plan import Plan
from planner.desk import changes, horizon
from planner.desk.changes import change_plan, pin, stored_wishes
from planner.desk.desk import Desk
from planner.desk.film import add_files
from planner.desk.horizon import days_ahead
from planner.desk.outlook import grounds
from planner.desk.practice import Wishes, build_plan, find_plan
from planner.desk.team import set_setting
from planner.desk.versions import versions
from planner.screens.dialogs import ReadDialog
from planner.screens.place import KeyLine
from planner.screens.tomorrow import TomorrowPlace
from planner.screens.widgets.choose import ChooseDialog
from planner.screens.widgets.entry import PreviewDialog
from planner.stopping import go_on
from tests.running import NOW, PRACTICE_DAY, TODAY
from tests.screens.steps import SIZES, answer, opened, options, press, said, settle, shown, toasts, until

FRIDAY = PRACTICE_DAY + dt.timedelta(days=1)
NOTE = "Date: 2027-01-12\nOpponent: Quillmarsh\nQ1 8:42 2 no box out 21\n"


class Gate:
    """Holds back what is built until it is opened."""

    def __init__(self) -> None:
        self.open = Event()

    def wait(self) -> None:
        """Wait, and ask meanwhile whether the work is still wanted."""
        for _ in range(3000):
            go_on()
            if self.open.wait(0.01):
                return


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    """Return a gate before every change that is planned."""
    made = Gate()

    def held(desk: Desk, plan: Plan, change: changes.Change, keep: bool = True) -> changes.Changed:
        made.wait()
        return change_plan(desk, plan, change, keep)

    monkeypatch.setattr("planner.screens.by_wish.change_plan", held)
    yield made
    made.open.set()


def first_drill(plan: Plan) -> int:
    """Return the row of the plan's first drill."""
    return next(number for number, one in enumerate(plan.segments) if one.drills)


def minutes_of(plan: Plan, drill: str) -> int:
    """Return how long a plan runs a drill."""
    return sum(one.minutes for one in plan.segments if drill in one.drills)


def cells(place: TomorrowPlace) -> list[list[str]]:
    """Return the timeline as text."""
    table = place.query_one(DataTable)
    return [[str(cell) for cell in table.get_row_at(number)] for number in range(table.row_count)]


# ---- the days until the game -----------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
async def test_the_strip_shows_every_practice_until_the_game(quick_desk: Desk, size: tuple[int, int]) -> None:
    """Each practice stands with minutes and load, the one shown in brackets, and then the game."""
    plan = find_plan(quick_desk)
    set_setting(quick_desk, "load-ceiling", 200)
    async with opened(quick_desk, size) as (app, _):
        days, figures, works = shown(app, "#days").splitlines()
        assert days.split("[")[1].startswith("Thu 14")
        assert days.index("Thu 14") < days.index("Fri 15") < days.index("Sat 16")
        assert figures.split()[0] in {"40", "40'"}
        assert f"{plan.load:.0f}" in figures
        assert "≤120" in figures, "60 % of the ceiling on the day before: TAPER"
        assert "GAME" in figures
        assert "not planned" in works
        assert "v " in works


async def test_left_and_right_go_from_day_to_day(quick_desk: Desk) -> None:
    """A day that is not planned is empty, says which keys fill it, and b builds that very day."""
    async with opened(quick_desk) as (app, pilot):
        assert isinstance(app.screen, TomorrowPlace)
        await press(pilot, "right")
        assert "[Fri 15" in shown(app, "#days")
        assert "b builds that of Fri 15 Jan" in shown(app, "#headline")
        assert cells(app.screen) == []
        await press(pilot, "right")
        assert "the last practice until the game" in toasts(app)
        await press(pilot, "b")
        assert find_plan(quick_desk, FRIDAY).start == 17 * 60
        assert len(cells(app.screen)) == len(find_plan(quick_desk, FRIDAY).segments)
        await press(pilot, "left")
        assert "[Thu 14" in shown(app, "#days")
        assert cells(app.screen)[0][0] == "18:15"


async def test_the_days_are_planned_together_and_accepted_one_by_one(quick_desk: Desk) -> None:
    """G proposes all days and keeps none; a keeps the day shown, u takes that back, Esc lets the rest go."""
    before = find_plan(quick_desk)
    drill = next(iter(before.segments[first_drill(before)].drills))
    change_plan(quick_desk, before, pin(drill))
    before = find_plan(quick_desk)
    async with opened(quick_desk) as (app, pilot):
        place = app.screen
        assert isinstance(place, TomorrowPlace)
        await press(pilot, "g")
        assert "2 days planned together" in toasts(app)
        assert shown(app, "#headline").startswith("PROPOSED: Thu 14 Jan")
        assert str(place.query_one(KeyLine).content).startswith("a accept")
        assert minutes_of(place.proposed[PRACTICE_DAY], drill), "what was pinned for a day stays pinned"
        assert find_plan(quick_desk) == before
        await press(pilot, "s")
        assert "only proposed" in toasts(app)
        proposal = place.proposed[FRIDAY]
        await press(pilot, "right")
        assert [row[2] for row in cells(place)] == [one.title for one in proposal.segments]
        await press(pilot, "a")
        assert "Fri 15 Jan is kept" in toasts(app)
        assert find_plan(quick_desk, FRIDAY).segments == proposal.segments
        assert find_plan(quick_desk) == before
        await press(pilot, "u")
        assert [one.state for one in days_ahead(quick_desk).days] == ["planned", "open"]
        await press(pilot, "left")
        assert shown(app, "#headline").startswith("PROPOSED")
        await press(pilot, "escape")
        assert not shown(app, "#headline").startswith("PROPOSED")
        assert find_plan(quick_desk) == before


async def test_planning_together_tells_how_far_it_is_and_stops(
    quick_desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The headline counts the days; Esc ends the work in its midst, and nothing was kept or proposed."""
    gate, reached, ended = Gate(), Event(), Event()

    def slow(*arguments: Any) -> Any:
        tell = arguments[-1]
        tell(Step(2, 2, 1))
        reached.set()
        try:
            gate.wait()
        finally:
            ended.set()
        raise AssertionError("it was not stopped")

    monkeypatch.setattr(horizon, "plan_days", slow)
    async with opened(quick_desk) as (app, pilot):
        await pilot.press("g")
        await until(pilot, reached.is_set)
        assert "day 2 of 2" in shown(app, "#headline")
        assert str(app.screen.query_one(KeyLine).content).startswith("Esc stop")
        await pilot.press("escape")
        await settle(pilot)
        assert ended.is_set()
        assert "Stopped; the plan is as it was" in toasts(app)
        assert isinstance(app.screen, TomorrowPlace)
        assert not app.screen.proposed
        assert "Thu 14 Jan" in shown(app, "#headline")


async def test_without_a_game_there_is_nothing_to_plan_together_for(quick_desk: Desk) -> None:
    """Beyond the last game the strip says what is known, and g says what is missing."""
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, "d")
        await answer(pilot, "2027-06-01")
        assert "No plan here yet" in shown(app, "#headline")
        await press(pilot, "g")
        assert "no practice before a game" in toasts(app)


# ---- the plan first, its reasons beside it ---------------------------------------------------------------


async def test_the_plan_is_shown_before_the_needs_are_known(
    quick_desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the needs are still being estimated the timeline is there; the bars follow."""
    gate = Gate()

    def slow(*arguments: Any) -> Any:
        gate.wait()
        return grounds(*arguments)

    monkeypatch.setattr("planner.screens.tomorrow.grounds", slow)
    from planner.screens.app import StopsheetApp

    app = StopsheetApp(quick_desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: any(one.row_count for one in app.screen.query(DataTable)))
        assert "Looking at the film" in shown(app, "#needs")
        gate.open.set()
        await settle(pilot)
        assert "Points lost per 100" in shown(app, "#needs")


async def test_needs_are_estimated_again_only_when_film_or_a_setting_changed(
    quick_desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plan changed by hand asks for its doubts alone; a setting changed asks for the needs anew."""
    asked: list[bool] = []

    def counted(desk: Desk, plan: Plan | None, needs: Any = None) -> Any:
        asked.append(needs is None)
        return grounds(desk, plan, needs)

    monkeypatch.setattr("planner.screens.tomorrow.grounds", counted)
    async with opened(quick_desk) as (_, pilot):
        assert asked == [True]
        await press(pilot, "1")
        assert asked == [True]
        await press(pilot, *["down"] * first_drill(find_plan(quick_desk)), "h", "plus")
        assert asked == [True, False]
        set_setting(quick_desk, "half-life", 20)
        await press(pilot, "1")
        assert asked == [True, False, True]


async def test_reasons_stand_beside_the_timeline_where_it_is_wide(quick_desk: Desk) -> None:
    """At 120 columns each drill has its reason with its number; at 80 that of one stands below."""
    plan = find_plan(quick_desk)
    row = first_drill(plan)
    async with opened(quick_desk, (120, 40)) as (app, pilot):
        place = app.screen
        assert isinstance(place, TomorrowPlace)
        assert cells(place)[row][3] == plan.segments[row].why
        assert "(worth " in plan.segments[row].why
        await press(pilot, *["down"] * row)
        assert plan.segments[row].why not in shown(app, "#detail")
        await pilot.resize_terminal(80, 24)
        await settle(pilot)
        assert len(cells(place)[row]) == 3
        assert plan.segments[row].why in shown(app, "#detail")


async def test_where_a_plan_hangs_on_a_guess_is_told(demo_desk: Desk) -> None:
    """The headline counts what to mind; r reads it out: the guesses, the load before the game, the proof."""
    doubts = grounds(demo_desk, find_plan(demo_desk)).doubts
    assert doubts
    async with opened(demo_desk) as (app, pilot):
        assert f"{len(doubts) + 1} to mind: r" in shown(app, "#headline")
        await press(pilot, "r")
        assert isinstance(app.screen, ReadDialog)
        for one in doubts:
            assert one in app.screen._text
        assert "2 days before a game" in app.screen._text
        assert "points per 100 possessions" in app.screen._text


async def test_film_that_came_later_is_told_until_the_plan_is_built_anew(
    quick_desk: Desk, tmp_path: Any
) -> None:
    """A note read after the plan was built warns; a change by hand does not still it, b does."""
    later = Desk(quick_desk.home, TODAY, lambda: NOW + dt.timedelta(minutes=5))
    file = tmp_path / "late.txt"
    file.write_text(NOTE)
    add_files(later, [file])
    evening = Desk(quick_desk.home, TODAY, lambda: NOW + dt.timedelta(minutes=9))
    async with opened(evening) as (app, pilot):
        warned = "film is newer than this plan"
        assert warned in shown(app, "#headline")
        await press(pilot, *["down"] * first_drill(find_plan(evening)), "h", "plus", "h")
        assert warned in shown(app, "#headline")
        await press(pilot, "b")
        assert warned not in shown(app, "#headline")


# ---- one change after the other --------------------------------------------------------------------------


async def test_printing_waits_for_the_plan_that_is_being_changed(quick_desk: Desk, gate: Gate) -> None:
    """P while a change is planned says that it waits, and prints the plan that stands then."""
    before = find_plan(quick_desk)
    drill = next(iter(before.segments[first_drill(before)].drills))
    prints = quick_desk.home / "prints"
    for one in prints.glob("*.pdf"):
        one.unlink()
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, *["down"] * first_drill(before))
        await pilot.press("x", "p")
        await pilot.pause()
        assert "it is printed as soon as it stands" in toasts(app)
        assert not list(prints.glob("*.pdf"))
        gate.open.set()
        await settle(pilot)
        assert not minutes_of(find_plan(quick_desk), drill)
        assert "Printed" in said(app)
    (printed,) = prints.glob("*.pdf")
    from pypdf import PdfReader

    titles = " ".join(PdfReader(printed).pages[0].extract_text().split())
    wanted = quick_desk.library.by_id[drill].title
    assert " ".join(wanted.split()) not in titles


async def test_keys_pressed_quickly_change_the_plan_one_after_the_other(quick_desk: Desk, gate: Gate) -> None:
    """- twice, pressed before the first was planned, makes the drill two minutes shorter, not one."""
    before = find_plan(quick_desk)
    row = first_drill(before)
    drill = next(iter(before.segments[row].drills))
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, *["down"] * row)
        await pilot.press("minus", "minus")
        await pilot.pause()
        gate.open.set()
        await settle(pilot)
        assert minutes_of(find_plan(quick_desk), drill) == minutes_of(before, drill) - 2
        assert not isinstance(app.screen, ChooseDialog), "nobody was overtaken by himself"
        await press(pilot, "u", "u")
        assert find_plan(quick_desk) == before


async def test_a_change_is_stopped_with_escape(quick_desk: Desk, gate: Gate) -> None:
    """Esc ends what is being planned, and what was to come after it; the plan is as it was."""
    before = find_plan(quick_desk)
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, *["down"] * first_drill(before))
        await pilot.press("x", "p")
        await pilot.pause()
        await pilot.press("escape")
        await settle(pilot)
        assert "Stopped" in toasts(app)
        assert find_plan(quick_desk) == before
        assert isinstance(app.screen, TomorrowPlace)
        await press(pilot, "u")


async def test_longer_or_shorter_is_shown_before_it_is_kept(quick_desk: Desk) -> None:
    """M tells what other minutes would bring; Esc leaves the plan alone, y keeps it."""
    before = find_plan(quick_desk)
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, "m")
        await answer(pilot, "30")
        assert isinstance(app.screen, PreviewDialog)
        assert "30 min instead of 40" in said(app)
        assert "per 100" in said(app)
        assert find_plan(quick_desk) == before
        await press(pilot, "escape")
        assert find_plan(quick_desk) == before
        await press(pilot, "m")
        await answer(pilot, "30")
        await press(pilot, "y")
        assert find_plan(quick_desk).minutes == 30
        await press(pilot, "u")
        assert find_plan(quick_desk) == before
        await press(pilot, "m")
        await answer(pilot, "long")
        assert "no whole number of minutes" in said(app)


async def test_why_not_a_drill_is_answered_exactly(quick_desk: Desk) -> None:
    """What was left out is listed; typing narrows it, Enter tells the cost exactly, y takes it in."""
    plan = find_plan(quick_desk)
    wanted = next(one.drill for one in plan.left_out if one.why.startswith("in place of"))
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, "l")
        everything = len(options(app))
        assert everything == len(plan.left_out)
        await press(pilot, *wanted[:4], "!")
        assert options(app) == []
        await press(pilot, "backspace")
        assert 0 < len(options(app)) < everything
        listed = app.screen.query_one("OptionList")
        listed.highlighted = listed.get_option_index(wanted)
        await press(pilot, "enter")
        assert isinstance(app.screen, PreviewDialog)
        assert f"In: {quick_desk.library.by_id[wanted].title}" in said(app)
        assert find_plan(quick_desk) == plan
        await press(pilot, "y")
        assert minutes_of(find_plan(quick_desk), wanted)


async def test_a_swap_says_what_it_costs(quick_desk: Desk) -> None:
    """S lists what fits in the drill's place with its cost; Enter swaps, and says what that cost."""
    before = find_plan(quick_desk)
    row = first_drill(before)
    drill = next(iter(before.segments[row].drills))
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, "s")
        assert "Choose a drill first" in toasts(app)
        await press(pilot, *["down"] * row, "s")
        assert isinstance(app.screen, ChooseDialog)
        assert "costs" in options(app)[0]
        await press(pilot, "enter")
        assert not minutes_of(find_plan(quick_desk), drill)
        assert " for " in toasts(app)
        assert "per 100" in toasts(app)


async def test_a_pin_is_set_and_let_go(quick_desk: Desk) -> None:
    """I pins the drill, which is marked; i again lets it go."""
    plan = find_plan(quick_desk)
    row = first_drill(plan)
    async with opened(quick_desk) as (app, pilot):
        place = app.screen
        assert isinstance(place, TomorrowPlace)
        await press(pilot, *["down"] * row, "i")
        pinned = [one.drill for one in stored_wishes(quick_desk, find_plan(quick_desk)).pins]
        assert pinned == list(plan.segments[row].drills)
        marked = [number for number, one in enumerate(cells(place)) if one[2].startswith("● ")]
        assert len(marked) == 1
        place.query_one(DataTable).move_cursor(row=marked[0])
        await press(pilot, "i")
        assert stored_wishes(quick_desk, find_plan(quick_desk)).pins == ()


# ---- two coaches -----------------------------------------------------------------------------------------


@pytest.fixture
def second_coach(quick_desk: Desk) -> Iterator[Desk]:
    """Return the desk of another coach at the same data."""
    made = Desk(quick_desk.home, TODAY, lambda: NOW + dt.timedelta(minutes=3), coach="Vermilion")
    yield made
    made.close()


@pytest.mark.parametrize(("keys", "stands"), [(("escape",), "theirs"), (("down", "enter"), "mine")])
async def test_two_coaches_at_one_plan_are_both_heard(
    quick_desk: Desk, second_coach: Desk, gate: Gate, keys: tuple[str, ...], stands: str
) -> None:
    """Who saves second reads who was first and what differs; Esc lets that one stand."""
    before = find_plan(quick_desk)
    drill = next(iter(before.segments[first_drill(before)].drills))
    async with opened(quick_desk) as (app, pilot):
        await press(pilot, *["down"] * first_drill(before))
        await pilot.press("x")
        await pilot.pause()
        build_plan(second_coach, Wishes(PRACTICE_DAY, minutes=30))
        theirs = find_plan(quick_desk)
        gate.open.set()
        await settle(pilot)
        assert isinstance(app.screen, ChooseDialog)
        assert "changed by Vermilion" in said(app)
        assert "40 min instead of 30" in said(app)
        await press(pilot, *keys)
        standing = find_plan(quick_desk)
        if stands == "theirs":
            assert standing == theirs
        else:
            assert standing.minutes == 40
            assert not minutes_of(standing, drill)
            await press(pilot, "u")
            assert find_plan(quick_desk) == theirs
        assert [one.number is None for one in versions(quick_desk, PRACTICE_DAY)].count(True) == 1
        assert len(versions(quick_desk, PRACTICE_DAY)) == 2


async def test_a_turn_at_two_baskets_says_who_does_what_where(two_baskets: Desk) -> None:
    """Of two drills side by side both stand below, each with its basket and its players."""
    plan = find_plan(two_baskets)
    row = next(number for number, one in enumerate(plan.segments) if len(one.drills) > 1)
    async with opened(two_baskets) as (app, pilot):
        await press(pilot, *["down"] * row)
        told = shown(app, "#detail").splitlines()
        for line, one in zip(told, plan.segments[row].stations, strict=False):
            title = two_baskets.library.by_id[one.drill].title
            assert line == f"half {one.half}, {title}: {' '.join(one.players)}"
