"""Finding drills by what a coach has and wants."""

from __future__ import annotations

from typing import Any

import pytest

from planner.drills.card import Minutes
from planner.drills.search import Wanted, find_drills, in_teaching_order
from planner.drills.vocabulary import Stage
from tests.drills.making import VOCABULARY, a_drill

DRILLS = (
    a_drill("front", Stage.GUIDED),
    a_drill(
        "lob", Stage.LIVE, half_courts=2, players_min=8, minutes=Minutes(10, 12, 15), equipment=("1 ball",)
    ),
    a_drill("echo", Stage.WALK, shares={"talk": 12}, equipment=(), title="Call and answer"),
    a_drill("loosen", None, kind="warm-up", shares={}),
)


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ({}, ["front", "lob", "echo", "loosen"]),
        ({"principle": "post"}, ["front", "lob"]),
        ({"principle": "talk"}, ["front", "lob", "echo"]),
        ({"stage": Stage.LIVE}, ["lob"]),
        ({"kind": "warm-up"}, ["loosen"]),
        ({"players": 4}, ["front", "echo", "loosen"]),
        ({"players": 11}, []),
        ({"minutes": 5}, ["front", "echo", "loosen"]),
        ({"minutes": 13}, ["lob"]),
        ({"half_court": True}, ["front", "echo", "loosen"]),
        ({"equipment": ("cone",)}, ["front", "loosen"]),
        ({"equipment": ("ball", "cones")}, ["front", "loosen"]),
        ({"without": ("cones",)}, ["lob", "echo"]),
        ({"equipment": ("balls",)}, ["front", "lob", "loosen"]),
        ({"without": ("ball",)}, ["echo"]),
        ({"words": ("answ",)}, ["echo"]),
        ({"words": ("ANSWER", "call")}, ["echo"]),
        ({"words": ("pinned",)}, ["front", "lob", "echo", "loosen"]),
        ({"words": ("high side",)}, ["front", "lob", "echo", "loosen"]),
        ({"words": ("side high",)}, []),
        ({"words": ("ide",)}, []),
        ({"words": ("...",)}, ["front", "lob", "echo", "loosen"]),
        ({"words": ("[", "lob")}, ["lob"]),
    ],
)
def test_only_what_fits_is_found(wanted: dict[str, Any], found: list[str]) -> None:
    """Each thing asked narrows the list; words match from their beginning, whatever their case."""
    assert [one.id for one in find_drills(DRILLS, Wanted(**wanted))] == found


def test_teaching_order() -> None:
    """By principle as the library has them, then by stage; warm-ups and their kin come last."""
    late = a_drill("a-late", Stage.CONTESTED)
    found = in_teaching_order([DRILLS[3], DRILLS[2], DRILLS[1], late, DRILLS[0]], VOCABULARY)
    assert [one.id for one in found] == ["front", "a-late", "lob", "echo", "loosen"]
