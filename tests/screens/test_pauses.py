"""Searching for unreachable objects: put off while the app opens, quick afterwards, untouched elsewhere."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest

from planner.desk.desk import Desk
from planner.screens import pauses
from planner.screens.pauses import Pauses
from tests.screens.steps import opened


@pytest.fixture
def own_process() -> Iterator[None]:
    """Let this process count as the app's own; afterwards it is as it was."""
    with pauses.put_off():
        yield
    assert not Pauses.ours
    assert gc.isenabled()
    assert gc.get_freeze_count() == 0


@pytest.mark.usefixtures("own_process")
async def test_searches_are_put_off_until_a_place_stands(demo_desk: Desk) -> None:
    """While the app opens nothing is searched; once a place stands, what is there is left out for good."""
    assert not gc.isenabled()
    before = gc.get_freeze_count()
    async with opened(demo_desk):
        assert gc.isenabled()
        assert gc.get_freeze_count() > before + 10_000


async def test_a_process_that_is_shared_is_left_alone(demo_desk: Desk) -> None:
    """An app in a process that is not its own changes nothing there."""
    async with opened(demo_desk):
        assert gc.isenabled()
        assert gc.get_freeze_count() == 0
