"""Changes by wish: looked at quickly, kept only when searched to the end."""

from __future__ import annotations

from functools import partial

import pytest

from planner.build import near
from planner.desk.changes import change_plan, differences, keep_change, keep_out, last
from planner.desk.desk import Desk
from planner.desk.practice import find_plan


@pytest.fixture
def hurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave a quick search next to nothing to spend."""
    monkeypatch.setattr(near, "Quick", partial(near.Quick, effort=1))


@pytest.mark.usefixtures("hurried")
def test_what_was_looked_at_in_haste_is_kept_searched_to_the_end(quick_desk: Desk) -> None:
    """A look that stayed unproven says so; the plan kept for it is proven and worth no less."""
    plan = find_plan(quick_desk)
    drill = next(one.stations[0].drill for one in plan.segments if one.drills)
    looked = change_plan(quick_desk, plan, keep_out(drill), keep=False)
    assert not looked.built.plan.proven
    assert "Not searched to the end" in "\n".join(differences(plan, looked.built.plan, {}))
    assert find_plan(quick_desk) == plan
    keep_change(quick_desk, looked)
    kept = find_plan(quick_desk)
    assert kept.proven
    assert kept.objective >= looked.built.plan.objective - 1e-6
    assert drill not in {one for segment in kept.segments for one in segment.drills}


def test_a_proven_look_is_kept_as_it_is(quick_desk: Desk) -> None:
    """Where the look was proven, the plan kept is the one that was shown."""
    plan = find_plan(quick_desk)
    looked = change_plan(quick_desk, plan, last(plan.minutes - 5), keep=False)
    assert looked.built.plan.proven
    keep_change(quick_desk, looked)
    assert find_plan(quick_desk).segments == looked.built.plan.segments
