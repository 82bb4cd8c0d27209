"""The app over a copy of the demo season, on the demo's evening, with a clock that stands still."""

from __future__ import annotations

import pytest

from planner.desk.desk import Desk


@pytest.fixture
def demo_desk(desk: Desk) -> Desk:
    """Return a desk at a copy of the demo season that the test may change."""
    return desk
