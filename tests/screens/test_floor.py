from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import DataTable, Input, Static

from planner.desk import floor as desk_floor
from planner.desk.desk import Desk
from planner.desk.floor_file import must_run, now_of, running
from planner.desk.practice import find_plan
from planner.screens.app import StopsheetApp
from planner.screens.floor import FloorPlace
from planner.screens.place import KeyLine
from planner.screens.widgets.clock import BigClock
from planner.season.floor import Run
from planner.store import queries
from tests.running import PRACTICE_DAY as DAY
from tests.running import Watch
from tests.screens.steps import SIZES, go, opened, press, said, shown, toasts


async def floor(pilot: Pilot[None]) -> FloorPlace:
    """Go to the floor."""
    return await go(pilot, "5", FloorPlace)


def now(desk: Desk) -> Run:
    """Return the run as the file tells it."""
    return must_run(desk).run(now_of(desk))


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_the_plan_of_the_day_is_begun_with_one_key(gym: Desk, size: tuple[int, int]) -> None:
    """Before, the plan stands there; then the clock, what runs with its cues, and what comes when."""
    async with opened(gym, size) as (app, pilot):
        place = await floor(pilot)
        assert "Planned for today 18:15" in shown(app, "#idle")
        await press(pilot, "w")
        assert place.has_class("-running")
        clock = app.screen.query_one(BigClock)
        assert clock.reads == "10:00"
        assert "█" in str(clock.content)
        assert shown(app, "#now").startswith("NOW  ")
        assert shown(app, "#coming").startswith("NEXT 18:25")
        assert "on time" in shown(app, "#stand")
        assert "ends" in place.as_text()


async def test_the_clock_goes_on_and_says_in_words_when_it_is_over(gym: Desk, watch: Watch) -> None:
    """The tick changes the clock; over time has a plus and a word, and the delay is carried to the end."""
    async with opened(gym) as (app, pilot):
        place = await floor(pilot)
        await press(pilot, "w")
        before = app.screen.query_one("#coming", Static)
        watch.go(9.5)
        place.tick()
        assert app.screen.query_one(BigClock).reads == "0:30"
        watch.go(4.5)
        place.tick()
        assert app.screen.query_one(BigClock).reads == "+4:00"
        assert "OVER by 4:00" in shown(app, "#under")
        assert "4 minutes late" in shown(app, "#stand")
        assert "o makes up time" in shown(app, "#stand")
        assert app.screen.query_one("#coming", Static) is before
        await press(pilot, "plus")
        assert "OVER by 3:00" in shown(app, "#under")


async def test_stops_misses_pause_and_undo_are_kept_as_pressed(gym: Desk, watch: Watch) -> None:
    """Keys pressed quickly are kept in their order; u and backspace take back the last one."""
    async with opened(gym) as (app, pilot):
        await floor(pilot)
        await press(pilot, "w", "n", "s", "s", "m", "s")
        assert (now(gym).current.stops, now(gym).current.tries) == (3, 4)
        assert "3" in shown(app, "#under").splitlines()[1]
        await press(pilot, "backspace")
        assert (now(gym).current.stops, now(gym).current.tries) == (2, 3)
        await press(pilot, "u")
        assert (now(gym).current.stops, now(gym).current.tries) == (2, 2)
        await press(pilot, "p")
        watch.go(3)
        assert now(gym).rest == 180_000
        assert "CLOCK STOPPED" in shown(app, "#under")
        await press(pilot, "b", "s")
        assert now(gym).current.segment.kind == "warm-up"
        assert now(gym).current.tries == 0


async def test_a_practice_goes_on_in_a_program_begun_later(gym: Desk, watch: Watch) -> None:
    """Closing the app stops nothing: opened again it shows the second that is due."""
    async with StopsheetApp(gym).run_test(size=(80, 24)) as pilot:
        await floor(pilot)
        await press(pilot, "w")
    watch.go(3.25)
    async with opened(gym) as (app, pilot):
        await floor(pilot)
        assert app.screen.query_one(BigClock).reads == "6:45"


async def test_time_is_made_up_by_shortening_and_dropping(gym: Desk, watch: Watch) -> None:
    """Each choice says how practice would end; water is not offered for dropping."""
    async with opened(gym) as (app, pilot):
        await floor(pilot)
        await press(pilot, "w")
        watch.go(14)
        await press(pilot, "o", "enter")
        assert now(gym).late <= 0
        coming = len(now(gym).coming)
        await press(pilot, "backspace", "o", "down", "enter")
        text = "\n".join(one.prompt.plain for one in app.screen.query_one("OptionList").options)  # type: ignore[attr-defined]
        assert "then ends" in text
        assert "Water" not in text
        await press(pilot, "enter")
        assert len(now(gym).coming) == coming - 1


async def test_the_rest_is_planned_anew_and_taken_with_yes_alone(gym: Desk, watch: Watch) -> None:
    """The new plan is shown first; Esc leaves everything as it was."""
    async with opened(gym) as (_, pilot):
        await floor(pilot)
        await press(pilot, "w")
        watch.go(25)
        before = now(gym).coming
        await press(pilot, "o", "down", "down", "enter")
        await press(pilot, "escape")
        assert now(gym).coming == before
        await press(pilot, "o", "down", "down", "enter")
        await press(pilot, "y")
        assert now(gym).coming != before
        assert now(gym).late <= 0


async def test_the_log_is_confirmed_on_one_screen(gym: Desk, watch: Watch) -> None:
    """Minutes, score, absent jerseys and effort are corrected, then y logs; u takes the log back."""
    async with opened(gym) as (app, pilot):
        place = await floor(pilot)
        await press(pilot, "w")
        watch.go(10)
        await press(pilot, "n", "s")
        watch.go(7)
        await press(pilot, "x", "y")
        assert place.has_class("-over")
        assert app.screen.query_one("#log", DataTable).row_count == 2
        await press(pilot, "minus", "down", "k")
        app.screen.query_one(Input).value = "5/7"
        await press(pilot, "enter", "a")
        app.screen.query_one(Input).value = "5, 00"
        await press(pilot, "enter", "r", "down", "down", "down", "down", "down", "enter")
        assert "Absent: 5, 00.  Effort of the session: 5 Hard." in shown(app, "#confirm")
        await press(pilot, "y")
        assert running(gym) is None
        with gym.reading() as session:
            done = queries.done_practices(session, DAY, DAY)[0]
        assert [one.seconds for one in done.segments] == [540, 420]
        assert (done.segments[1].stops, done.segments[1].tries) == (5, 7)
        assert (done.absent, done.rating) == (("5", "00"), 5)
        await press(pilot, "u")
        assert "undone" in shown(app, "#idle")
        await press(pilot, "w")
        assert place.has_class("-over")


async def test_a_wrong_score_is_refused_in_a_sentence(gym: Desk, watch: Watch) -> None:
    """Nothing is logged with a score that cannot be."""
    desk_floor.begin(gym)
    watch.go(5)
    desk_floor.happen(gym, "end")
    async with opened(gym) as (app, pilot):
        await floor(pilot)
        await press(pilot, "k")
        app.screen.query_one(Input).value = "seven"
        await press(pilot, "enter")
        assert "write it as 7/10" in said(app)
        await press(pilot, "escape", "k")
        app.screen.query_one(Input).value = "1/2"
        await press(pilot, "enter", "y")
        assert "has no score" in said(app)
        assert now(gym).over


async def test_tomorrow_s_plan_is_run_today_only_after_asking(demo_desk: Desk) -> None:
    """The question says that the log will carry today's date; n begins nothing."""
    async with opened(demo_desk) as (_, pilot):
        await floor(pilot)
        await press(pilot, "w", "n")
        assert running(demo_desk) is None
        await press(pilot, "w", "y")
        assert running(demo_desk) is not None
        await press(pilot, "d", "y")
        assert running(demo_desk) is None


async def test_a_practice_left_running_says_so(gym: Desk, watch: Watch) -> None:
    """The next morning the place offers to end it when it was due."""
    desk_floor.begin(gym)
    watch.go(14 * 60)
    async with opened(gym) as (app, pilot):
        await floor(pilot)
        assert "Left running? x ends it at 18:25" in shown(app, "#stand")
        await press(pilot, "x", "y")
        assert now(gym).over
        assert now(gym).current.spent == 600_000


async def test_keys_that_need_a_practice_say_so(gym: Desk) -> None:
    """Before practice they only tell what to do; the log's keys wait for its end."""
    async with opened(gym) as (app, pilot):
        place = await floor(pilot)
        await press(pilot, "n", "s", "o", "y", "a", "r", "k", "x", "d", "plus", "backspace")
        assert app.screen is place
        assert running(gym) is None
        await press(pilot, "w", "y", "a", "r", "k")
        assert app.screen is place


async def test_a_practice_ended_at_once_has_no_row_to_correct(gym: Desk) -> None:
    """Ended before a second has passed, + and k say that nothing was run; the app goes on."""
    async with opened(gym) as (app, pilot):
        await go(pilot, "5", FloorPlace)
        await press(pilot, "w", "x", "y", "plus", "k")
        assert toasts(app).count("Nothing was run for as long as a second") == 2
        assert isinstance(app.screen, FloorPlace)


async def test_an_effort_is_chosen_by_typing_its_number(gym: Desk, watch: Watch) -> None:
    """In the list of efforts the digits typed go to that number, two digits too."""
    async with opened(gym) as (_, pilot):
        place = await go(pilot, "5", FloorPlace)
        await press(pilot, "w")
        watch.go(3)
        await press(pilot, "n", "x", "y", "r", "7", "enter")
        assert place.confirmed.rating == 7
        await press(pilot, "r", "1", "0", "enter")
        assert place.confirmed.rating == 10


@pytest.mark.parametrize("size", SIZES)
async def test_both_groups_of_a_turn_are_shown(two_baskets: Desk, size: tuple[int, int]) -> None:
    """Two baskets: who is where with which drill stands beside the clock, and before in what is to come."""
    plan = find_plan(two_baskets)
    row = next(number for number, one in enumerate(plan.segments) if len(one.drills) > 1)
    both = plan.segments[row].stations
    async with opened(two_baskets, size) as (app, pilot):
        await floor(pilot)
        await press(pilot, "w", *["n"] * (row - 1))
        for one in both:
            assert (
                f"{one.half} {two_baskets.library.by_id[one.drill].title}: {' '.join(one.players)}"
                in shown(app, "#coming")
            )
        await press(pilot, "n")
        now_shown = " ".join(shown(app, "#now").split())
        for one in both:
            assert " ".join(two_baskets.library.by_id[one.drill].title.split()) in now_shown
            assert " ".join(one.players) in now_shown
        assert f"half {both[0].half}" in shown(app, "#under"), "whose stops are counted"


async def test_the_key_line_holds_five_keys_in_every_state(gym: Desk, watch: Watch) -> None:
    """Before, during and after practice at most five keys are shown, and help is one of them."""
    async with opened(gym) as (app, pilot):
        await floor(pilot)
        for keys in ((), ("w",), ("x", "y")):
            if "x" in keys:
                watch.go(5)
            await press(pilot, *keys)
            line = str(app.screen.query_one(KeyLine).content).split("   ")
            assert 1 < len(line) <= 5
            assert line[-1] == "F1 help"
