from __future__ import annotations

import json

from planner.store.packing import pack_done, pack_plan, unpack_done, unpack_plan
from tests.store.making import a_plan, a_practice


def test_a_plan_survives_json() -> None:
    """A plan packed, written as JSON, read and unpacked is the very same plan."""
    assert unpack_plan(json.loads(json.dumps(pack_plan(a_plan())))) == a_plan()


def test_a_practice_survives_json() -> None:
    """A practice packed, written as JSON, read and unpacked is the very same practice."""
    assert unpack_done(json.loads(json.dumps(pack_done(a_practice())))) == a_practice()


def test_packing_leaves_the_plan_as_it_was() -> None:
    """Unpacking does not eat its argument, so that an entry of the journal can be read twice."""
    packed = pack_plan(a_plan())
    assert unpack_plan(packed) == unpack_plan(packed)
