"""Long work ends where it is once nobody wants it any more."""

from __future__ import annotations

import pytest

from planner.build.linear import Linear
from planner.desk.desk import Desk
from planner.desk.practice import Wishes, build_plan, find_plan
from planner.stopping import Stopped, go_on, stoppable


def test_work_goes_on_until_it_is_unwanted() -> None:
    """Outside, and while it is wanted, nothing happens; then it ends, and leaves nothing behind."""
    wanted = [True, True, False]
    go_on()
    with stoppable(lambda: not wanted.pop(0)):
        go_on()
        go_on()
        with pytest.raises(Stopped):
            go_on()
    go_on()


def test_the_solver_asks_before_every_run() -> None:
    """A problem that nobody wants solved is not solved."""
    problem = Linear()
    problem.column(0, 1, 1.0)
    with stoppable(lambda: True), pytest.raises(Stopped):
        problem.solve()
    assert problem.solve().objective == 1.0


def test_a_plan_that_is_stopped_leaves_the_old_one(quick_desk: Desk) -> None:
    """Stopped in the midst of the search, nothing is stored."""
    before, asked = find_plan(quick_desk), [0]

    def late() -> bool:
        asked[0] += 1
        return asked[0] > 2

    with stoppable(late), pytest.raises(Stopped):
        build_plan(quick_desk, Wishes(before.date, minutes=30))
    assert asked[0] == 3
    assert find_plan(quick_desk) == before
