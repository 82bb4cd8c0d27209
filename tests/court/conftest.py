from __future__ import annotations

import tomllib
from collections.abc import Callable

import pytest

from planner.court.diagram import read_diagrams
from planner.court.frame import Frame
from planner.court.geometry import Court, read_court
from planner.data import drill_library
from planner.problem import Problem

RULES = ("school", "college", "international")

Reader = Callable[..., tuple[tuple[Frame, ...], list[Problem]]]


def shipped(rules: str) -> Court:
    path = drill_library() / "courts" / f"{rules}.toml"
    court, problems = read_court(path.name, path.read_text("utf-8"))
    assert court is not None, problems
    return court


@pytest.fixture(params=RULES)
def court(request: pytest.FixtureRequest) -> Court:
    """Each rule set's court in turn."""
    return shipped(request.param)


@pytest.fixture
def college() -> Court:
    return shipped("college")


@pytest.fixture
def read(college: Court) -> Reader:
    """Read TOML text of diagrams on the college court."""

    def _read(text: str, on: Court = college) -> tuple[tuple[Frame, ...], list[Problem]]:
        return read_diagrams("drill.toml", tomllib.loads(text)["diagram"], on, text)

    return _read


SHELL = """
[[diagram]]
caption = "Shell"
players = { 1 = "right slot", 2 = "right corner", 3 = "left corner", 4 = "left slot", \
x1 = "on", x2 = "deny", x3 = "help", x4 = "gap" }
ball = "1"
moves = ["1 passes to 2", "x2 closes out to 2", "x1 jumps to the ball", "x4 drops to help 4"]

[[diagram]]
caption = "Skip"
moves = ["2 skips to 3", "x3 closes out to 3"]
"""

SCREEN = """
[[diagram]]
players = { 1 = "right wing", 5 = "right block", x1 = "on 1", x5 = "behind 5", C = "left sideline" }
ball = "1"
cones = ["left elbow"]
waiting = ["left baseline"]
moves = ["5 screens for 1 at [14, 21]", "1 dribbles off 5 to the top", "x1 goes over 5 to 1", \
"x5 bluffs at 1", "1 shoots", "x5 boxes out 5"]
"""

BREAK = """
[[diagram]]
court = "full"
players = { 1 = "right outlet", 3 = "right block", x1 = "right slot", x3 = "paint" }
ball = "3"
moves = ["3 outlets to 1", "x3 sprints to the far rim", "x1 sprints to the far top"]
"""
