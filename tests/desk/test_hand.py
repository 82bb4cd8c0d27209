"""Editing the stored plan by hand: kept, told, undone and redone; locks and pins outlive a new plan."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from planner.build.edit import plain
from planner.build.plan import Plan
from planner.desk.changes import stored_wishes
from planner.desk.desk import Desk
from planner.desk.hand import card_of, edit_plan, lock, locked_starts, pin_as_it_is, place_of, redo
from planner.desk.practice import build_plan, find_plan
from planner.desk.undo import undo_last
from planner.problem import Refusal


def first_drill(plan: Plan) -> int:
    """Return the number of the plan's first drill."""
    return next(number for number, one in enumerate(plan.segments) if one.drills)


def test_edits_are_kept_undone_and_redone(desk: Desk) -> None:
    """Three edits are stored one by one; undo goes back through the very plans, redo forward again."""
    plans = [find_plan(desk)]
    for made in (
        lambda h: h.resize(first_drill(plans[-1]), 1),
        lambda h: h.insert(1, plain("water", 2)),
        lambda h: h.swap(first_drill(plans[-1]), card_of(desk, "arm-and-a-half")),
    ):
        edit_plan(desk, plans[-1], made, "an edit")
        plans.append(find_plan(desk))
    assert all(one.segments != two.segments for one, two in itertools.pairwise(plans))
    assert stored_wishes(desk, plans[-1]).by_hand
    for before in plans[-2::-1]:
        assert "by hand: an edit" in undo_last(desk)
        assert find_plan(desk) == before
    assert not stored_wishes(desk, plans[0]).by_hand
    for after in plans[1:]:
        redo(desk)
        assert find_plan(desk) == after
    with pytest.raises(Refusal, match="nothing to do again"):
        redo(desk)


def test_a_new_edit_ends_what_could_be_redone(desk: Desk) -> None:
    """After an undo and another edit there is nothing to do again."""
    plan = find_plan(desk)
    number = first_drill(plan)
    edit_plan(desk, plan, lambda h: h.resize(number, 1), "longer")
    undo_last(desk)
    edit_plan(desk, plan, lambda h: h.remove(number), "out")
    with pytest.raises(Refusal, match="nothing to do again"):
        redo(desk)


def test_looking_stores_nothing(desk: Desk) -> None:
    """An edit only looked at tells what it would bring and leaves the plan."""
    plan = find_plan(desk)
    done = edit_plan(desk, plan, lambda h: h.remove(first_drill(plan)), "out", keep=False)
    assert done.brought.open > 0
    assert done.brought.lost > 0
    assert find_plan(desk) == plan


def test_what_is_locked_stays_when_the_plan_is_built_anew(desk: Desk) -> None:
    """A locked drill keeps its time, groups and minutes in a new plan; let go, it is the solver's again."""
    plan = find_plan(desk)
    number = first_drill(plan)
    edit_plan(desk, plan, lambda h: h.swap(number, card_of(desk, "arm-and-a-half")), "swap")
    mine = find_plan(desk)
    assert "locked" in lock(desk, mine, number)
    assert locked_starts(desk, mine) == {mine.segments[number].start}
    anew = build_plan(desk, replace(stored_wishes(desk, mine), keep_out=("weak-side-crash",), pins=()))
    assert mine.segments[number] in anew.plan.segments
    assert not any(one.drill == "arm-and-a-half" for one in anew.plan.left_out)
    assert "let go" in lock(desk, anew.plan, anew.plan.segments.index(mine.segments[number]))
    assert not locked_starts(desk, anew.plan)


def test_a_drill_is_pinned_as_it_is(desk: Desk) -> None:
    """A pin set by hand changes nothing now and is among the wishes for the minutes the drill has."""
    plan = find_plan(desk)
    number = first_drill(plan)
    pin_as_it_is(desk, plan, number)
    assert find_plan(desk) == plan
    pins = stored_wishes(desk, plan).pins
    assert (pins[-1].drill, pins[-1].minutes) == (
        plan.segments[number].stations[0].drill,
        plan.segments[number].minutes,
    )
    with pytest.raises(Refusal, match="no single drill"):
        pin_as_it_is(desk, plan, next(n for n, one in enumerate(plan.segments) if one.kind == "water"))


def test_places_are_named_by_clock_drill_or_row(desk: Desk) -> None:
    """A segment is found by its clock time, a drill in it or its row; anything else is refused."""
    plan = find_plan(desk)
    number = first_drill(plan)
    one = plan.segments[number]
    assert place_of(plan, str(number + 1)) == number
    assert place_of(plan, one.stations[0].drill) == number
    assert place_of(plan, f"{one.start // 60}:{one.start % 60:02}") == number
    for said in ("99", "0", "25:00", "nothing", ""):
        with pytest.raises(Refusal, match="Nothing in the plan"):
            place_of(plan, said)
    with pytest.raises(Refusal, match="no drill"):
        card_of(desk, "nothing")
