from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.build.brief import FixedBlock, GymWindow, SquadPlayer, Weight
from planner.build.candidates import find_candidates
from planner.build.make import make_plan
from planner.build.timetable import OPEN_TITLE, stations
from tests.build import kit

SQUADS = st.lists(
    st.tuples(
        st.sampled_from(["0", "00", *map(str, range(1, 60))]), st.sampled_from(["", "guard", "wing", "big"])
    ),
    min_size=9,
    max_size=16,
    unique_by=lambda one: one[0],
).map(lambda rows: tuple(SquadPlayer(*one) for one in rows))


@given(SQUADS)
def test_two_groups_share_out_players_and_positions(squad: tuple[SquadPlayer, ...]) -> None:
    """Each player is in one group; the groups differ by one at most, in all and in each position."""
    drill = kit.drill(1, players_max=8, players_min=4)
    brief = kit.brief((drill,), squad=squad, weights={"box-out": Weight(3.0)})
    (one,), _ = find_candidates(brief)
    groups = stations(squad, one)
    assert [group.half for group in groups] == ["A", "B"]
    everyone = [jersey for group in groups for jersey in group.players]
    assert sorted(everyone) == sorted(player.jersey for player in squad)
    assert abs(len(groups[0].players) - len(groups[1].players)) <= 1
    position = {player.jersey: player.position for player in squad}
    counts = [Counter(position[jersey] for jersey in group.players) for group in groups]
    for name in set(position.values()):
        assert abs(counts[0][name] - counts[1][name]) <= 1
    assert all(4 <= len(group.players) <= 8 for group in groups)


def test_the_order_of_the_roster_does_not_matter_to_the_groups() -> None:
    """The same players make the same groups, however they were listed."""
    drill = kit.drill(1, players_max=8)
    squad = kit.squad(12)
    (one,), _ = find_candidates(kit.brief((drill,), squad=squad, weights={"box-out": Weight(3.0)}))
    assert stations(squad, one) == stations(squad[::-1], one)


@pytest.mark.parametrize("seed", range(6))
def test_segments_follow_one_another_to_the_minute(seed: int) -> None:
    """From the first minute to the last there is always one segment, each drill with its people and place."""
    drills = kit.random_drills(12, seed)
    brief = kit.brief(
        drills,
        minutes=60,
        weights=kit.weights(seed),
        fixed=(FixedBlock("Offence", 8, 30),),
        gym=(GymWindow(990, 1005, 1),),
    )
    plan = make_plan(brief)
    at = brief.start
    for one in plan.segments:
        assert one.start == at
        assert one.minutes >= 1
        at += one.minutes
        assert bool(one.stations) == (one.kind == "drill")
    assert at == brief.start + brief.minutes
    chosen = [one for one in plan.segments if one.kind == "drill"]
    assert chosen
    assert all(one.why and one.shares for one in chosen)


def test_time_that_nothing_may_fill_stays_open_and_is_told() -> None:
    """Without a drill that can run, the minutes are the coach's own, and a warning counts them."""
    plan = make_plan(kit.brief((), minutes=40))
    empty = [one for one in plan.segments if one.title == OPEN_TITLE]
    assert sum(one.minutes for one in empty) > 0
    assert any("stay open: no drill that may run fits there" in one for one in plan.warnings)
    assert plan.objective == 0.0
    assert plan.proven
