"""A drill card as plain values."""

from __future__ import annotations

import dataclasses
import json

from planner.drills.plain import plain
from tests.drills.making import a_drill


def test_every_field_a_coach_reads_is_there() -> None:
    """All fields but the file are in it, in plain values that JSON holds; shares are parts of a minute."""
    found = json.loads(json.dumps(plain(a_drill("front", scoring=None))))
    renamed = {"shares": "principles", "players_min": "players", "players_max": "players"}
    fields = {renamed.get(one.name, one.name) for one in dataclasses.fields(a_drill("front"))}
    assert set(found) == fields - {"file"}
    assert found["principles"] == {"post": 0.6, "talk": 0.2}
    assert (found["players"], found["minutes"], found["stage"]) == ([4, 10], [5, 8, 12], "guided")
    assert found["scoring"] is None
    assert plain(a_drill("front"))["scoring"] == {
        "rule": "No catch in the lane.",
        "counts": "denials",
        "target": 6,
        "tries": 10,
    }
