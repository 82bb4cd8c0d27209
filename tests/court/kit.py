"""Diagrams to draw at random, for property tests."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from planner.court.diagram import read_diagrams
from planner.court.frame import Frame
from planner.court.geometry import Court, read_court
from planner.court.spots import spot_table
from planner.data import drill_library

MARKS = ("1", "2", "3", "4", "5", "x1", "x2", "x3", "x4", "x5", "C")
_RELATIONS = ("on", "help", "deny", "gap", "behind", "front", "split", "trail")
_ACTS = (
    "passes to {o}",
    "dribbles to {p}",
    "dribbles off {o} to {p}",
    "cuts to {p}",
    "goes under {o} to {p}",
    "closes out to {o}",
    "bluffs at {o}",
    "screens for {o}",
    "boxes out {o}",
    "traps {o}",
    "hands off to {o}",
    "shoots",
    "rebounds",
    "stays",
)


def shipped(rules: str) -> Court:
    """Return one of the library's courts."""
    path = drill_library() / "courts" / f"{rules}.toml"
    court, problems = read_court(path.name, path.read_text("utf-8"))
    assert court is not None, problems
    return court


COURTS = tuple(shipped(one) for one in ("school", "college", "international"))
_SPOTS = st.sampled_from(sorted(spot_table(COURTS[0])))
_FEET = st.tuples(st.floats(-40, 40, width=32), st.floats(-10, 110, width=32)).map(list)


@st.composite
def tables(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Return one to three diagram tables; many of their moves cannot happen and are left out."""
    whole = draw(st.booleans())
    marks = draw(st.lists(st.sampled_from(MARKS), min_size=1, max_size=11, unique=True))
    players: dict[str, Any] = {}
    for mark in marks:
        relation = [st.sampled_from(_RELATIONS)] if mark.startswith("x") and mark[1:] in marks else []
        players[mark] = draw(st.one_of(_SPOTS, _FEET, *relation))
    rows = []
    for number in range(draw(st.integers(1, 3))):
        moves = []
        for _ in range(draw(st.integers(0, 7))):
            who, other = draw(st.sampled_from(marks)), draw(st.sampled_from(marks))
            act = draw(st.sampled_from(_ACTS)).format(o=other, p=draw(_SPOTS))
            moves.append(f"{who} {act}")
        row: dict[str, Any] = {"caption": draw(st.text(max_size=20)), "moves": moves}
        if number == 0:
            row |= {
                "court": "full" if whole else "half",
                "players": players,
                "ball": draw(st.sampled_from(marks)),
            }
            row["cones"] = draw(st.lists(st.one_of(_SPOTS, _FEET), max_size=3))
            row["waiting"] = draw(st.lists(st.one_of(_SPOTS, _FEET), max_size=2))
        rows.append(row)
    return rows


@st.composite
def frames(draw: st.DrawFn) -> Frame:
    """Return one frame of a random diagram on a random court."""
    read, _ = read_diagrams("random.toml", draw(tables()), draw(st.sampled_from(COURTS)))
    return draw(st.sampled_from(read))
