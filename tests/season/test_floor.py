from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.build.plan import Segment, SegmentKind, Station
from planner.problem import Refusal
from planner.season import floor
from planner.season.floor import Event, Run, Stretch, advance, done_segments, run_of, sensible_end
from planner.season.floor_rest import changed, dry, shortened, without

START = 1_800_000_000_000
MINUTE = 60_000


def segment(kind: SegmentKind, title: str, minutes: int) -> Segment:
    """Return a planned segment; a drill is run by everybody in half A."""
    stations = (Station(title, "all", ("4", "7"), "A"),) if kind == "drill" else ()
    return Segment(1095, minutes, kind, title, stations, {"talk": 10} if kind == "drill" else {}, "", 5)


SEGMENTS = (
    segment("warm-up", "Warm-up", 10),
    segment("drill", "shell", 12),
    segment("water", "Water", 2),
    segment("drill", "closeouts", 8),
    segment("fixed", "Free throws", 6),
    segment("cool-down", "Stretch", 4),
)
PLANNED = floor.stretches_of(SEGMENTS)
END = START + 42 * MINUTE


def practice(*events: tuple[str, float] | tuple[str, float, Any], now: float | None = None) -> Run:
    """Return the practice after events at minutes since its beginning, and at ``now``."""
    told = [Event("begin", START)]
    for kind, at, *value in events:
        told.append(Event(kind, START + round(at * MINUTE), value[0] if value else None))  # type: ignore[arg-type]
    run = run_of(PLANNED, END, told)
    return run if now is None else advance(run, START + round(now * MINUTE))


def spent(run: Run) -> list[float]:
    """Return the minutes that went into each stretch."""
    return [one.spent / MINUTE for one in run.stretches]


def test_time_goes_into_what_runs() -> None:
    """Each stretch holds the time between the keys, pauses stand apart, and the clock shows what is left."""
    run = practice(("next", 11), ("pause", 15), ("pause", 18), now=20)
    assert spent(run)[:3] == [11, 6, 0]
    assert run.rest == 3 * MINUTE
    assert run.current.left == 6 * MINUTE
    assert run.begun + 20 * MINUTE == run.moment


def test_a_drill_that_runs_over_makes_practice_late() -> None:
    """What runs over is carried forward: the end and the clock times to come move."""
    assert practice(now=8).late == 0
    over = practice(now=14)
    assert over.late == 4 * MINUTE
    assert over.current.left == -4 * MINUTE
    assert over.starts[0] == START + 14 * MINUTE
    assert over.starts[1] == START + 26 * MINUTE
    assert practice(("next", 8), now=8).late == -2 * MINUTE
    assert practice(("pause", 5), now=8).late == 3 * MINUTE


def test_going_back_goes_on_with_what_came_before() -> None:
    """Back adds to the stretch that ran before; what was begun in between keeps its time."""
    run = practice(("next", 10), ("next", 13), ("back", 14), now=16)
    assert spent(run)[:3] == [10, 5, 1]
    assert run.current.segment.title == "shell"
    assert run.coming[0].left == MINUTE


def test_stops_and_misses_are_counted_in_drills_alone() -> None:
    """A stop is a try that came off, a miss one that did not; a water break has no score."""
    run = practice(("next", 10), ("stop", 11), ("miss", 11), ("stop", 12, 3))
    assert (run.current.stops, run.current.tries) == (4, 5)
    for kind in ("stop", "miss"):
        with pytest.raises(Refusal, match="is no drill"):
            practice((kind, 1))
    with pytest.raises(Refusal, match="cannot be counted"):
        practice(("next", 1), ("stop", 2, 0))


def test_the_last_next_ends_practice() -> None:
    """After the last stretch practice is over: nothing more happens and time stands still."""
    run = practice(*(("next", at) for at in range(1, 7)), now=30)
    assert run.over
    assert run.moment == START + 6 * MINUTE
    with pytest.raises(Refusal, match="Practice is over"):
        practice(*(("next", at) for at in range(1, 8)))


@pytest.mark.parametrize(
    ("events", "why"),
    [
        ([("back", 1)], "Nothing comes before this"),
        ([("extend", 1, -600)], "cannot be made"),
        ([("dance", 1)], "is nothing that happens"),
        ([("coming", 1, [{"place": 9, "due": 60}])], "a stretch that is not there"),
    ],
)
def test_what_cannot_happen_is_refused(events: list[Any], why: str) -> None:
    """Each refusal says why."""
    with pytest.raises(Refusal, match=why):
        practice(*events)
    with pytest.raises(Refusal, match="no running practice"):
        run_of(PLANNED, END, [])


def test_the_rest_is_shortened_evenly_until_practice_ends_on_time() -> None:
    """Drills and blocks give up the same share; water and cool-down keep their time."""
    late = practice(("next", 16), now=16)
    assert late.late == 6 * MINUTE
    coming = shortened(late)
    then = changed(late, coming)
    assert then.late == 0
    assert coming[0].due == 120
    assert coming[3].due == 240
    cuts = [before.due - one.due for before, one in zip(late.coming, coming, strict=True)]
    assert cuts == [0, 206, 154, 0]


def test_no_drill_is_shortened_below_what_its_card_asks() -> None:
    """Where the least of every stretch is not enough, practice still ends late."""
    late = practice(("next", 16), now=16)
    then = changed(late, shortened(late, {"closeouts": 8 * 60}))
    assert [one.due / 60 for one in then.coming] == [2, 8, 3, 4]
    assert then.late == 3 * MINUTE


def test_a_drill_can_be_dropped_but_water_stays() -> None:
    """Dropping gives its minutes back; a water break is not dropped."""
    late = practice(("next", 16), now=16)
    assert changed(late, without(late, 1)).late == -2 * MINUTE
    with pytest.raises(Refusal, match="Water stays"):
        without(late, 0)
    with pytest.raises(Refusal, match="no such stretch"):
        without(late, 4)


def test_what_was_run_stays_in_the_log_when_the_rest_is_planned_anew() -> None:
    """A stretch begun, left by going back and then dropped keeps its minutes."""
    before = practice(("next", 10), ("next", 12), ("next", 14), ("back", 15), ("back", 15), now=15)
    new = floor.stretches_of([segment("drill", "fresh", 9)], planned=False)
    value = floor.pack_coming(before, new)
    after = practice(
        ("next", 10), ("next", 12), ("next", 14), ("back", 15), ("back", 15), ("coming", 15, value), now=16
    )
    assert [one.segment.title for one in after.stretches] == [
        "Warm-up",
        "Water",
        "closeouts",
        "shell",
        "fresh",
    ]
    assert spent(after) == [10, 2, 1, 3, 0]
    assert after.current.segment.title == "shell"


def test_time_without_water_is_told() -> None:
    """It counts from the end of the last break to the end of what runs."""
    assert dry(practice(("next", 10), now=12)) == 22 * MINUTE
    assert dry(practice(("next", 10), ("next", 22), ("next", 24), now=25)) == 8 * MINUTE


def test_a_practice_left_running_ended_when_it_was_due() -> None:
    """An hour over its time nobody runs a drill any more; half an hour is still possible."""
    run = practice(("next", 10))
    assert sensible_end(run, START + 50 * MINUTE) is None
    assert sensible_end(run, START + 600 * MINUTE) == START + 22 * MINUTE
    paused = practice(("next", 10), ("pause", 12))
    assert sensible_end(paused, START + 600 * MINUTE) == START + 12 * MINUTE


def test_the_log_holds_whole_seconds_that_add_up() -> None:
    """Rounding a stretch up or down is made good by the next one."""
    run = practice(("next", 10.0083), ("stop", 11), ("next", 12.0166), ("end", 13.0249))
    made = done_segments(run, {"shell": "contested"})
    assert sum(one.seconds for one in made) == round(13.0249 * 60)
    assert [(one.title, one.stage, one.stops, one.tries) for one in made] == [
        ("Warm-up", None, None, None),
        ("shell", "contested", 1, 1),
        ("Water", None, None, None),
    ]


# ---- what holds whatever happens -----------------------------------------------------------------------

KINDS = ("next", "back", "pause", "extend", "stop", "miss", "end", "shorten", "drop", "fresh")


def happened(steps: list[tuple[str, int]]) -> list[Event]:
    """Return the events that the steps make of the planned practice; those that cannot be are left out."""
    events = [Event("begin", START)]
    at = START
    for kind, gap in steps:
        at += gap
        event = _event(kind, at, run_of(PLANNED, END, events))
        try:
            run_of(PLANNED, END, [*events, event] if event else events)
        except Refusal:
            continue
        events += [event] if event else []
    return events


def _event(kind: str, at: int, run: Run) -> Event | None:
    now = advance(run, at)
    if kind == "shorten":
        return Event("coming", at, floor.pack_coming(now, shortened(now)))
    if kind == "drop":
        drills = [place for place, one in enumerate(now.coming) if one.segment.kind != "water"]
        return Event("coming", at, floor.pack_coming(now, without(now, drills[0]))) if drills else None
    if kind == "fresh":
        new = floor.stretches_of([segment("drill", "fresh", 9)], planned=False)
        return Event("coming", at, floor.pack_coming(now, (*now.coming, *new)))
    return Event(kind, at, 60 if kind == "extend" else None)  # type: ignore[arg-type]


STEPS = st.lists(st.tuples(st.sampled_from(KINDS), st.integers(0, 20 * MINUTE)), max_size=25)


@given(STEPS, st.integers(0, 60 * MINUTE))
def test_the_seconds_of_the_stretches_add_up_to_what_went_by(
    steps: list[tuple[str, int]], later: int
) -> None:
    """Whatever happens, time spent and time paused together are the time since practice began."""
    run = run_of(PLANNED, END, happened(steps))
    run = advance(run, run.moment + later)
    assert sum(one.spent for one in run.stretches) + run.rest == run.moment - run.begun
    assert (
        sum(one.seconds for one in done_segments(run, {}))
        == (run.moment - run.begun - run.rest + 500) // 1000
    )


@given(STEPS, st.lists(st.integers(0, 10 * MINUTE), max_size=5))
def test_a_practice_resumed_stands_where_it_would_have_stood(
    steps: list[tuple[str, int]], looks: list[int]
) -> None:
    """Packed as JSON and read again, looked at never or often: at the same moment it is the same practice."""
    events = happened(steps)
    run = run_of(PLANNED, END, events)
    end = run.moment + sum(looks)
    watched = run
    for gap in looks:
        watched = advance(watched, watched.moment + gap)
    packed = json.loads(
        json.dumps([[floor.pack_stretch(one) for one in PLANNED], [[e.kind, e.at, e.value] for e in events]])
    )
    stretches = [floor.unpack_stretch(one) for one in packed[0]]
    resumed = run_of(stretches, END, [Event(kind, at, value) for kind, at, value in packed[1]])
    assert advance(resumed, end) == advance(run, end)
    assert run.over or watched == advance(run, end)


@given(STEPS)
def test_shortening_never_ends_early_nor_cuts_below_half(steps: list[tuple[str, int]]) -> None:
    """It takes no more than is late, at most half of anything, and nothing from water."""
    run = run_of(PLANNED, END, happened(steps))
    coming = shortened(run)
    then = changed(run, coming)
    assert then.late >= min(run.late, 0) - floor.SECOND
    for before, one in zip(run.coming, coming, strict=True):
        assert before.due >= one.due >= (before.due if before.segment.kind == "water" else before.due / 2)
        assert replace(one, due=before.due) == before


def test_a_stretch_is_the_same_after_packing() -> None:
    """Everything of a stretch but what the events tell goes into JSON and comes back."""
    one = Stretch(SEGMENTS[1], 720, 2)
    assert floor.unpack_stretch(json.loads(json.dumps(floor.pack_stretch(one)))) == one
