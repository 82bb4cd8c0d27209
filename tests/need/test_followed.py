"""What one breakdown led to."""

from __future__ import annotations

from dataclasses import replace

from planner.need.estimate import Followed
from planner.need.followed import followed
from tests.need import kit


def test_the_first_is_told_from_what_came_after() -> None:
    """Each possession counts once for a pair, most often first; a possession of unknown points too."""
    trips = (
        kit.trip(2, "no-talk", "late-closeout", "late-closeout", first="no-talk"),
        kit.trip(0, "no-talk", "no-box-out", first="no-talk"),
        kit.trip(0, "no-box-out"),
    )
    game = replace(kit.game(0, {}, trips=trips), chains=(("no-talk", "late-closeout"),))
    assert followed([game]) == (
        Followed("no-talk", "late-closeout", 2),
        Followed("no-talk", "no-box-out", 1),
    )


def test_unknown_order_tells_nothing() -> None:
    """Where nobody said what came first there is no pair."""
    assert followed([kit.game(0, {}, trips=(kit.trip(2, "no-talk", "late-closeout"),))]) == ()


def test_switched_off_neither_leads_nor_follows() -> None:
    """What is not taught is passed over: the next one in the note leads."""
    trip = kit.trip(2, "no-talk", "late-closeout", "no-box-out", first="no-talk")
    assert followed([kit.game(0, {}, trips=(trip,))], {"no-talk"}) == (
        Followed("late-closeout", "no-box-out", 1),
    )
