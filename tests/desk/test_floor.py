from __future__ import annotations

import datetime as dt
import json
import os
import random
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from planner.desk import floor as desk_floor
from planner.desk.desk import Desk
from planner.desk.floor import Confirmed
from planner.desk.floor_file import must_run, now_of, path_of, running
from planner.desk.floor_rest import replan, shorter
from planner.desk.floor_words import clock_words, late_words
from planner.desk.team import set_setting
from planner.desk.undo import undo_last
from planner.problem import Refusal
from planner.season import floor
from planner.season.floor_rest import changed, without
from planner.store import queries
from tests.running import PRACTICE_DAY as DAY
from tests.running import PRACTICE_HOUR as HOUR
from tests.running import TODAY, Planted, Stopsheet, Watch, assert_refused, rows


def test_the_planned_hour_is_the_demo_s(planted: Planted) -> None:
    """The tests below begin when the plan says."""
    assert (planted.plan.date, planted.plan.start) == (DAY, 18 * 60 + 15)


def test_practice_runs_against_its_hour(gym: Desk, watch: Watch) -> None:
    """Begun five minutes late it is five minutes late; begun at another time of day it lasts its minutes."""
    watch.go(5)
    state = desk_floor.begin(gym)
    assert state.run(now_of(gym)).late == 5 * 60_000
    assert state.clock(state.run(now_of(gym)).ends) == "19:50"
    desk_floor.drop(gym)
    watch.go(60)
    state = desk_floor.begin(gym)
    assert late_words(state.run(now_of(gym))) == "on time"


def test_nothing_is_lost_by_closing_the_lid(gym: Desk, watch: Watch, season_home: Path) -> None:
    """Another program that opens the folder later shows the very second that would be shown."""
    desk_floor.begin(gym)
    watch.go(9)
    desk_floor.happen(gym, "next")
    desk_floor.happen(gym, "stop")
    watch.go(2.5)
    other = Desk(season_home, DAY, watch)
    state = must_run(other)
    run = state.run(now_of(other))
    other.close()
    assert run.current.spent == 150_000
    assert (run.current.stops, run.current.tries) == (1, 1)
    assert clock_words(run.current.left) == clock_words(run.current.due * 1000 - 150_000)


def test_undo_leaves_the_file_as_it_was_before(gym: Desk, watch: Watch) -> None:
    """Whatever is done and undone at random, the file holds the very bytes it held before."""
    desk_floor.begin(gym)
    dice = random.Random(5)
    kinds: list[tuple[floor.EventKind, Any]] = [
        *[("next", None), ("back", None), ("pause", None), ("stop", None), ("miss", 2), ("extend", 60)],
        ("end", None),
    ]
    for _ in range(40):
        watch.go(dice.random() * 4)
        before = path_of(gym).read_bytes()
        kind, value = dice.choice(kinds)
        try:
            desk_floor.happen(gym, kind, value)
        except Refusal:
            assert path_of(gym).read_bytes() == before
            continue
        changed_bytes = path_of(gym).read_bytes()
        assert changed_bytes != before
        desk_floor.undo(gym)
        assert path_of(gym).read_bytes() == before
        if kind != "end":
            desk_floor.happen(gym, kind, value)


def test_only_the_beginning_cannot_be_undone(gym: Desk) -> None:
    """A practice just begun is dropped instead."""
    desk_floor.begin(gym)
    with pytest.raises(Refusal, match="Only the beginning"):
        desk_floor.undo(gym)
    assert desk_floor.drop(gym).is_file()
    assert running(gym) is None


def test_one_practice_runs_at_a_time(gym: Desk) -> None:
    """Another is not begun before the first is logged or dropped, and a logged one is not run again."""
    desk_floor.begin(gym)
    with pytest.raises(Refusal, match="waits to be logged"):
        desk_floor.begin(gym)
    with pytest.raises(Refusal, match="still running"):
        desk_floor.log_run(gym, Confirmed())


def test_what_cannot_begin_is_refused(gym: Desk) -> None:
    """Without a plan there is nothing to run."""
    with pytest.raises(Refusal, match="There is no plan for 2027-02-20"):
        desk_floor.begin(gym, dt.date(2027, 2, 20))
    with pytest.raises(Refusal, match="No practice is running"):
        desk_floor.happen(gym, "next")


def run_through(gym: Desk, watch: Watch) -> None:
    """Run the plan as it stands, the first drill two minutes over and scored."""
    state = desk_floor.begin(gym)
    for number, one in enumerate(state.stretches):
        watch.go(one.due / 60 + (2 if number == 1 else 0))
        if number == 1:
            desk_floor.happen(gym, "stop", 4)
            desk_floor.happen(gym, "miss", 3)
        desk_floor.happen(gym, "next")


def test_a_practice_run_is_logged_as_it_was_run(gym: Desk, watch: Watch, planted: Planted) -> None:
    """Minutes, stops, absent players and effort reach the store; undo brings it back, and the run too."""
    before = rows(gym.home)
    run_through(gym, watch)
    done, words = desk_floor.log_run(gym, Confirmed({3: 4.0}, {}, ("5",), 7))
    assert words == "log of 2027-01-14 18:15"
    plan = planted.plan
    assert [one.seconds / 60 for one in done.segments[:4]] == [
        plan.segments[0].minutes,
        plan.segments[1].minutes + 2,
        4,
        plan.segments[3].minutes,
    ]
    assert (done.segments[1].stops, done.segments[1].tries) == (4, 7)
    with gym.reading() as session:
        info = queries.find_practice(session, DAY)
        assert info is not None
        stored = queries.done_of(session, info.id)
    assert stored == replace(done, practice=str(info.id))
    assert (info.state, info.rating, info.absent) == ("done", 7, ("5",))
    assert running(gym) is None
    undo_last(gym)
    assert rows(gym.home) == before
    state = desk_floor.bring_back(gym)
    assert state.run(now_of(gym)).over
    with pytest.raises(Refusal, match="comes first"):
        desk_floor.bring_back(gym)


def test_a_plan_run_on_another_day_is_logged_on_the_day_it_was_run(season_home: Path) -> None:
    """Tomorrow's plan run today makes a practice of today; tomorrow's stays planned."""
    watch = Watch(HOUR - dt.timedelta(days=1))
    desk = Desk(season_home, TODAY, watch)
    set_setting(desk, "timezone", "UTC")
    desk_floor.begin(desk, DAY)
    watch.go(10)
    desk_floor.happen(desk, "end")
    done, _ = desk_floor.log_run(desk, Confirmed())
    with desk.reading() as session:
        plan = queries.find_practice(session, DAY)
    desk.close()
    assert done.date == TODAY
    assert plan is not None
    assert plan.state == "planned"


@pytest.mark.parametrize(
    ("confirmed", "why"),
    [
        (Confirmed(took={99: 1}), "there is no 99"),
        (Confirmed(took={1: -1}), "cannot have taken"),
        (Confirmed(took={1: 0}), "nothing was run"),
        (Confirmed(stops={1: (1, 2)}), "has no score"),
        (Confirmed(rating=11), "off the scale"),
        (Confirmed(absent=("99",)), "No player wears 99"),
        (Confirmed(absent=("../x",)), "is not a jersey"),
    ],
)
def test_what_cannot_be_logged_is_refused_and_the_run_stays(
    gym: Desk, watch: Watch, confirmed: Confirmed, why: str
) -> None:
    """A wrong correction changes nothing; the run still waits to be logged."""
    desk_floor.begin(gym)
    watch.go(3)
    desk_floor.happen(gym, "end")
    before = rows(gym.home)
    with pytest.raises(Refusal, match=why):
        desk_floor.log_run(gym, confirmed)
    assert rows(gym.home) == before
    assert must_run(gym).run(now_of(gym)).over


def test_the_rest_is_planned_anew_without_what_was_run(gym: Desk, watch: Watch) -> None:
    """The solver fills exactly the minutes that are left; what was run, and what runs, is kept out."""
    state = desk_floor.begin(gym)
    for minutes in (12, 11, 9):
        watch.go(minutes)
        state = desk_floor.happen(gym, "next")
    run = state.run(now_of(gym))
    assert run.late > 0
    ran = {one.drill for one in run.stretches[: run.at + 1] if one.drill}
    made = replan(gym)
    assert sum(one.due for one in made.coming) == made.minutes * 60
    assert not ran & {one.drill for one in made.coming}
    blocks = {one.segment.title for one in run.coming if one.segment.kind == "fixed"}
    assert blocks <= {one.segment.title for one in made.coming}
    assert made.coming[-1].segment.kind == "cool-down"
    after = desk_floor.take(gym, made.coming).run(now_of(gym))
    assert -60_000 < after.late <= 0
    assert must_run(gym).run(now_of(gym)) == after


def test_too_little_time_is_not_planned_anew(gym: Desk, watch: Watch) -> None:
    """With hardly a minute left the coach is told so."""
    desk_floor.begin(gym)
    watch.go(93)
    with pytest.raises(Refusal, match="too few to plan anew"):
        replan(gym)


def test_drills_are_not_shortened_below_their_cards(gym: Desk, watch: Watch) -> None:
    """Half an hour late every drill still has what its card asks at least."""
    state = desk_floor.begin(gym)
    watch.go(40)
    run = state.run(now_of(gym))
    cards = gym.library.by_id
    for before, one in zip(run.coming, shorter(gym, run), strict=True):
        if one.drill is not None:
            assert one.due >= min(before.due, cards[one.drill].minutes.min * 60)


def test_a_practice_left_running_over_night_ends_when_it_was_due(gym: Desk, watch: Watch) -> None:
    """Ended the next day, it holds the minutes of the plan and not the night."""
    desk_floor.begin(gym)
    watch.go(10)
    desk_floor.happen(gym, "next")
    watch.go(14 * 60)
    at = desk_floor.due_end(gym)
    assert at is not None
    state = desk_floor.happen(gym, "end", at=at)
    run = state.run(now_of(gym))
    assert run.over
    assert run.current.left == 0


@pytest.mark.parametrize("damage", [b"", b"{}", b"[1]", b'{"format": "stopsheet floor 1"}', b"\xff\xfe\x00"])
def test_a_damaged_file_is_one_sentence(gym: Desk, damage: bytes) -> None:
    """It is neither a traceback nor thrown away."""
    desk_floor.begin(gym)
    path_of(gym).write_bytes(damage)
    with pytest.raises(Refusal, match="move it away"):
        running(gym)
    assert path_of(gym).read_bytes() == damage


def test_a_file_whose_events_cannot_be_is_refused(gym: Desk) -> None:
    """An event that could not have happened shows that the file is damaged."""
    desk_floor.begin(gym)
    packed = json.loads(path_of(gym).read_text())
    for event in (["coming", 0, [{"due": 1}]], ["extend", 0, "x"], ["dance", 0, None]):
        path_of(gym).write_text(json.dumps({**packed, "events": [*packed["events"], event]}))
        with pytest.raises(Refusal):
            running(gym)


def test_time_left_reads_as_a_clock() -> None:
    """A second counts until it is over; over time has a plus sign."""
    assert [clock_words(one) for one in (600_000, 599_001, 1, 0, -1, -61_500)] == [
        *("10:00", "10:00", "0:01", "0:00", "+0:00", "+1:01")
    ]


def test_dropping_gives_time_back(gym: Desk, watch: Watch) -> None:
    """What is taken is what was shown before."""
    state = desk_floor.begin(gym)
    run = state.run(now_of(gym))
    place = next(n for n, one in enumerate(run.coming) if one.drill)
    shown = changed(run, without(run, place))
    assert desk_floor.take(gym, without(run, place)).run(now_of(gym)).ends == shown.ends


# ---- the command line, and killing it ------------------------------------------------------------------


def test_the_command_line_runs_a_practice(stopsheet: Stopsheet, season_home: Path) -> None:
    """Everything the keys of the app do can be typed."""
    stopsheet.home = season_home
    assert stopsheet("floor").code == 1
    assert_refused(stopsheet("floor", "next"), "No practice is running")
    begun = stopsheet("floor", "start", "--on", DAY.isoformat(), "--json").json
    assert begun["late_seconds"] == 0
    assert stopsheet("floor", "next", "--json").json["now"]["title"] == begun["coming"][0]["title"]
    assert stopsheet("floor", "count", "stop", "3", "--json").json["now"]["stops"] == 3
    assert stopsheet("floor", "undo", "--json").json["now"]["tries"] == 0
    assert stopsheet("floor", "extend", "2", "--json").json["now"]["left_seconds"] > 0
    look = stopsheet("floor", "catch-up", "drop", "1", "--look")
    assert "Nothing was changed" in look.out
    assert_refused(stopsheet("floor", "catch-up", "drop"), "Say which stretch")
    dropped = stopsheet("floor", "catch-up", "drop", "1", "--json").json
    assert len(dropped["coming"]) == len(begun["coming"]) - 2
    assert stopsheet("floor", "pause", "--json").json["paused"]
    assert stopsheet("floor", "stop", "--json").json["over"]
    assert "not logged" in stopsheet("floor", "drop").out


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="there is no kill -9")
def test_no_acknowledged_key_is_lost_when_the_program_is_killed(gym: Desk, season_home: Path) -> None:
    """Ten programs are killed while they count stops as fast as they can; every count answered is there."""
    state = desk_floor.begin(gym)
    drill = next(n for n, one in enumerate(state.stretches) if one.drill)
    for _ in range(drill):
        desk_floor.happen(gym, "next")
    program = (
        "import datetime as dt, sys, pathlib; from planner.desk.desk import Desk;"
        "from planner.desk import floor;"
        f"desk = Desk(pathlib.Path(sys.argv[1]), dt.date.fromisoformat('{DAY}'));"
        "[print(floor.happen(desk, 'stop').events[-1].kind, flush=True) for _ in range(90)]"
    )
    dice = random.Random(3)
    answered = 0
    for _ in range(10):
        counting = subprocess.Popen(
            [sys.executable, "-c", program, str(season_home)],
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        )
        assert counting.stdout is not None
        for _ in range(dice.randint(1, 12)):
            assert counting.stdout.readline() == "stop\n"
            answered += 1
        counting.send_signal(signal.SIGKILL)
        answered += counting.communicate()[0].count("stop\n")
        kept = must_run(gym).run(now_of(gym)).current.stops
        assert answered <= kept <= answered + 1
        answered = kept
