"""The rules as the independent check reads them: a sound plan, broken in one way at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from planner.build.brief import Brief, FixedBlock, GymWindow, Pin, Rules
from planner.build.check import check_plan
from planner.build.make import make_plan
from planner.build.plan import Plan, Segment, Station
from planner.drills.vocabulary import Stage
from tests.build import kit

DRILLS = (
    kit.drill(1, stage=Stage.GUIDED, shares={"box-out": 12}),
    kit.drill(2, stage=Stage.CONTESTED, shares={"closeout": 12}, effort=6),
    kit.drill(4, stage=Stage.CONTESTED, shares={"box-out": 10, "talk": 5}, effort=8),
    kit.drill(5, stage=Stage.GUIDED, shares={"transition": 12}, layout="full", half_courts=2),
)
BRIEF = kit.brief(
    DRILLS,
    minutes=60,
    squad=kit.squad(10),
    warm_up_minutes=10,
    fixed=(FixedBlock("Free throws", 4, "last", effort=2), FixedBlock("Offence", 8, 26)),
    gym=(GymWindow(990, 1000, 1),),
    pins=(Pin("drill-002", 8),),
    rules=Rules(load_ceiling=240.0),
)
EVERYONE = tuple(one.jersey for one in BRIEF.squad)


def _run(number: int, start: int, minutes: int, half: str = "A") -> Segment:
    """Return a segment in which everybody runs a drill."""
    drill = next(one for one in DRILLS if one.id == f"drill-{number:03d}")
    station = Station(drill.id, "all", EVERYONE, half)
    return Segment(start, minutes, "drill", drill.title, (station,), drill.shares, effort=drill.effort)


@pytest.fixture
def sound() -> Plan:
    """Return an hour written by hand that keeps every rule."""
    segments = (
        Segment(990, 10, "warm-up", "Warm-up", effort=3),
        _run(1, 1000, 8),
        _run(4, 1008, 6),
        Segment(1014, 2, "water", "Water"),
        Segment(1016, 8, "fixed", "Offence", effort=3),
        _run(2, 1024, 8),
        Segment(1032, 1, "set-up", "Set-up"),
        _run(5, 1033, 6, "full"),
        Segment(1039, 2, "water", "Water"),
        Segment(1041, 4, "fixed", "Free throws", effort=2),
        Segment(1045, 5, "cool-down", "Cool-down", effort=1),
    )
    return Plan(BRIEF.date, BRIEF.start, 60, 1.0, 1.0, True, 0.0, segments)


def test_a_sound_plan_has_nothing_against_it(sound: Plan) -> None:
    """The hour written by hand keeps every rule."""
    assert check_plan(sound, BRIEF) == []


def shifted(segments: list[Segment]) -> list[Segment]:
    """Return the segments one after the other from the start of practice."""
    at, made = BRIEF.start, []
    for one in segments:
        made.append(replace(one, start=at))
        at += one.minutes
    return made


Break = Callable[[list[Segment]], list[Segment]]


def _where(segments: list[Segment], **fields: object) -> int:
    return next(n for n, s in enumerate(segments) if all(getattr(s, key) == v for key, v in fields.items()))


def _drill(segments: list[Segment], number: int) -> int:
    return next(
        n for n, s in enumerate(segments) if s.stations and s.stations[0].drill == f"drill-{number:03d}"
    )


def _change(segments: list[Segment], at: int, **fields: object) -> list[Segment]:
    return [replace(s, **fields) if n == at else s for n, s in enumerate(segments)]  # type: ignore[arg-type]


def _without(segments: list[Segment], at: int) -> list[Segment]:
    """Take a segment out and give its minutes to the one before."""
    made = list(segments)
    gone = made.pop(at)
    made[at - 1] = replace(made[at - 1], minutes=made[at - 1].minutes + gone.minutes)
    return shifted(made)


def _station(segments: list[Segment], at: int, **fields: object) -> list[Segment]:
    station = replace(segments[at].stations[0], **fields)  # type: ignore[arg-type]
    return _change(segments, at, stations=(station,))


BROKEN: list[tuple[str, Break]] = [
    ("the clock says", lambda s: _change(s, 3, start=s[3].start + 1)),
    ("has 0 minutes", lambda s: _change(s, 2, minutes=0)),
    ("The segments end at", lambda s: s[:-1]),
    ("The warm-up is not first", lambda s: shifted([s[1], s[0], *s[2:]])),
    ("The cool-down is not last", lambda s: shifted([*s[:-2], s[-1], s[-2]])),
    ("No water for", lambda s: [replace(one, kind="set-up") if one.kind == "water" else one for one in s]),
    ("The break at", lambda s: _change(s, _where(s, kind="water"), minutes=1)),
    ("'Offence' is not where it was put", lambda s: shifted([s[0], s[_where(s, title="Offence")], *s[1:]])),
    ("'Free throws' is missing", lambda s: _change(s, _where(s, title="Free throws"), title="Lunch")),
    ("No set-up before", lambda s: _without(s, _where(s, kind="set-up"))),
    ("does not use each player once", lambda s: _station(s, _drill(s, 2), players=("4", "4", "5"))),
    ("takes 4 to 15 players", lambda s: _station(s, _drill(s, 2), players=("4",))),
    ("needs the whole court", lambda s: _station(s, _drill(s, 5), half="A")),
    ("minutes, its card says 8 to 8", lambda s: _change(s, _drill(s, 2), minutes=9)),
    ("'drill-002' is pinned and missing", lambda s: _station(s, _drill(s, 2), drill="drill-900")),
    ("'drill-002' is in the plan twice", lambda s: [*s, s[_drill(s, 2)]]),
    (
        "is hard segment number",
        lambda s: [replace(one, effort=8) if one.kind in {"drill", "fixed"} else one for one in s],
    ),
    ("The expected load is", lambda s: _change(s, 0, effort=10)),
]


@pytest.mark.parametrize(("words", "broken"), BROKEN, ids=[one[0] for one in BROKEN])
def test_each_broken_rule_has_its_sentence(sound: Plan, words: str, broken: Break) -> None:
    """A plan changed by hand against one rule is told so in a sentence."""
    found = check_plan(replace(sound, segments=tuple(broken(list(sound.segments)))), BRIEF)
    assert any(words in one for one in found), found
    assert all(one.endswith(".") for one in found)


def test_kept_out_drills_are_found(sound: Plan) -> None:
    """A drill that the coach keeps out is told when it is in."""
    kept_out: Brief = replace(BRIEF, keep_out=frozenset({"drill-005"}))
    assert check_plan(sound, kept_out) == ["'drill-005' is kept out and in the plan."]


def test_a_gym_taken_away_is_found(sound: Plan) -> None:
    """With the gym gone, every drill is told that it has no floor."""
    closed = replace(BRIEF, gym=(GymWindow(0, 1440, 0),))
    found = check_plan(sound, closed)
    assert len(found) == sum(one.kind == "drill" for one in sound.segments)
    assert all("there is 0" in one for one in found)


def test_competing_before_teaching_is_found(sound: Plan) -> None:
    """Within a principle the lower stage comes first."""
    segments = list(sound.segments)
    low, high = _drill(segments, 1), _drill(segments, 4)
    assert low < high, "the plan itself teaches first"
    segments[low], segments[high] = segments[high], segments[low]
    found = check_plan(replace(sound, segments=tuple(shifted(segments))), BRIEF)
    assert any("teaches box-out after" in one for one in found)


def test_water_may_be_drunk_inside_a_block_that_is_too_long() -> None:
    """A coach's own block of forty minutes is advice to drink in it, not a broken rule."""
    brief = kit.brief(DRILLS, minutes=80, fixed=(FixedBlock("Scrimmage", 40, 20),), squad=kit.squad(10))
    plan = make_plan(brief)
    assert check_plan(plan, brief) == []
    assert any("give a break inside it" in one for one in plan.warnings)
