"""Tomorrow by hand: one thing changes, the clock follows, advice is given, and all of it goes back."""

from __future__ import annotations

from planner.desk.changes import stored_wishes
from planner.desk.desk import Desk
from planner.desk.practice import find_plan
from planner.screens.tomorrow import TomorrowPlace
from tests.screens.steps import answer, opened, press, said, shown, toasts


def row_of_drill(desk: Desk) -> int:
    """Return the row of the plan's first drill."""
    return next(number for number, one in enumerate(find_plan(desk).segments) if one.drills)


async def test_longer_by_hand_moves_the_clock_and_says_so(demo_desk: Desk) -> None:
    """By hand, + makes the drill a minute longer and nothing else; u takes it back and y does it again."""
    before = find_plan(demo_desk)
    row = row_of_drill(demo_desk)
    async with opened(demo_desk) as (app, pilot):
        await press(pilot, "h", *["down"] * row, "plus")
        after = find_plan(demo_desk)
        assert after.segments[row].minutes == before.segments[row].minutes + 1
        assert [one.title for one in after.segments if one.drills] == [
            one.title for one in before.segments if one.drills
        ]
        assert "load" in toasts(app)
        assert "BY HAND" in shown(app, "#headline")
        await press(pilot, "o")
        assert "Worth" in said(app)
        await press(pilot, "escape", "u")
        assert find_plan(demo_desk) == before
        await press(pilot, "y")
        assert find_plan(demo_desk) == after


async def test_move_insert_remove_and_lock(demo_desk: Desk) -> None:
    """] moves later with the cursor, n puts a talk in, x takes it out again, k locks the stretch."""
    before = find_plan(demo_desk)
    row = row_of_drill(demo_desk)
    async with opened(demo_desk, (120, 40)) as (app, pilot):
        place = app.screen
        assert isinstance(place, TomorrowPlace)
        await press(pilot, *["down"] * row, "right_square_bracket")
        moved = find_plan(demo_desk)
        assert moved.segments[row + 1].title == before.segments[row].title
        selected = place.selected()
        assert selected is not None
        assert selected.title == before.segments[row].title
        await press(pilot, "n")
        await answer(pilot, "a talk 3")
        talk = find_plan(demo_desk).segments[row + 1]
        assert (talk.title, talk.minutes) == ("a talk", 3)
        await press(pilot, "k")
        assert [one.title for one in stored_wishes(demo_desk, moved).locks] == ["a talk"]
        await press(pilot, "k", "h", "x")
        assert "a talk" not in [one.title for one in find_plan(demo_desk).segments]
        await press(pilot, "n")
        await answer(pilot, "nothing of the kind")
        assert "no drill" in said(app)
