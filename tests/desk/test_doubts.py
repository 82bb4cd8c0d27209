"""A plan says where it hangs on a guess."""

from __future__ import annotations

import pytest

from planner.desk.desk import Desk
from planner.desk.practice import Wishes, build_plan
from tests.running import TODAY


def test_a_guess_is_told_beside_the_plan(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where every cost counts as a guess the demo's plan names one in whole words; the JSON holds them."""
    monkeypatch.setattr("planner.build.doubt.GUESSED", 1.1)
    built = build_plan(desk, Wishes(TODAY.replace(day=TODAY.day + 1)), keep=False)
    assert built.doubts
    titles = {one.title for one in desk.library.vocabulary.principles}
    assert all(any(title in one for title in titles) for one in built.doubts)
    assert built.as_json()["doubts"] == list(built.doubts)
    assert built.as_json()["segments"] == built.plan.as_json()["segments"]
