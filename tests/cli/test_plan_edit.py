"""``stopsheet plan edit`` and stations, as they are typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.build.plan import Plan
from planner.clock import clock_text
from tests.running import Planted, Stopsheet, assert_refused, everything


@pytest.fixture
def evening(stopsheet: Stopsheet, season_home: Path) -> Stopsheet:
    """Return the command line at the demo season."""
    stopsheet.home = season_home
    return stopsheet


def drill_time(plan: Plan) -> str:
    """Return the clock time of the plan's first drill."""
    return next(clock_text(one.start) for one in plan.segments if one.drills)


def test_an_edit_says_what_it_brings_and_is_undone(evening: Stopsheet, planted: Planted) -> None:
    """An edit is stored and told with its worth and load; plan edit undo and redo take it back and forth."""
    before = evening("plan", "edit", "--json").json
    when = drill_time(planted.plan)
    ran = evening("plan", "edit", "longer", when, "2")
    assert ran.code == 0, ran.err
    assert "2 min longer" in ran.out
    assert "the best plan" in ran.out
    assert "load" in ran.out
    shown = evening("plan", "edit", "--json").json
    assert sum(one["minutes"] for one in shown["segments"]) == shown["minutes"]
    assert {one["total"] for one in shown["players"]} == {shown["minutes"]}
    assert shown != before
    assert evening("plan", "edit", "undo").code == 0
    assert evening("plan", "edit", "--json").json == before
    assert "Done again" in evening("plan", "edit", "redo").out
    assert evening("plan", "edit", "--json").json == shown


def test_an_edit_looked_at_is_told_as_json(evening: Stopsheet, planted: Planted) -> None:
    """--what-if with --json gives the plan and the consequences and stores nothing."""
    before = everything(evening.home)
    found = evening("plan", "edit", "remove", drill_time(planted.plan), "--what-if", "--json").json
    assert found["edit"]["worth"]["lost"] > 0
    assert found["edit"]["open"] > 0
    assert found["proven"] is False
    assert everything(evening.home) == before


@pytest.mark.parametrize(
    "typed",
    [
        ("nonsense",),
        ("edit", "nonsense"),
        ("edit", "longer"),
        ("edit", "longer", "03:00"),
        ("edit", "longer", "1", "x"),
        ("edit", "swap", "3"),
        ("edit", "swap", "3", "nothing"),
        ("edit", "insert", "3"),
        ("edit", "insert", "3", "a talk"),
        ("edit", "insert", "3", "a talk", "x"),
        ("edit", "earlier", "1"),
        ("edit", "lock", "1"),
    ],
)
def test_what_is_no_edit_is_refused(evening: Stopsheet, typed: tuple[str, ...]) -> None:
    """Every slip of an edit is one sentence, and changes nothing."""
    before = everything(evening.home)
    assert_refused(evening("plan", *typed))
    assert everything(evening.home) == before


def test_stations_are_asked_for_on_the_command_line(evening: Stopsheet) -> None:
    """A named pair is in the plan in two turns, told by jersey and basket, and --players adds up."""
    pair = "one-word-four-feet,race-the-corner-pass=6"
    short = ("--minutes", "80", "--what-if")
    found = evening("plan", "--stations", pair, *short, "--json").json
    turns = [one for one in found["segments"] if "turn" in one]
    assert [(one["turn"], one["minutes"]) for one in turns] == [(1, 6), (2, 6)]
    assert {one["half"] for one in turns[0]["stations"]} == {"A", "B"}
    told = evening("plan", "--stations", pair, *short, "--players").out
    assert "Group 1, half A:" in told
    assert "Groups swap baskets" in told
    assert "Player" in told
    assert_refused(evening("plan", "--stations", "one-word-four-feet", *short))
    assert_refused(evening("plan", "--stations", pair, "--no-stations", *short))


def test_what_if_answers_at_once_and_to_the_end_when_asked(evening: Stopsheet, planted: Planted) -> None:
    """A look near the plan that stands is worth no more than the proven one, and its bound no less."""
    dropped = next(one.stations[0].drill for one in planted.plan.segments if one.drills)
    wish = ("plan", "--again", "--keep-out", dropped, "--what-if")
    quick = evening(*wish, "--json").json
    exact = evening(*wish, "--exact", "--json").json
    assert exact["proven"]
    assert quick["objective"] <= exact["objective"] + 0.01
    assert exact["objective"] <= quick["bound"] + 0.01
    assert ("--exact searches to the end" in evening(*wish).out) == (not quick["proven"])
    assert "--exact" not in evening(*wish, "--exact").out


def test_late_film_and_equipment_are_typed(evening: Stopsheet) -> None:
    """Who comes late, a film session and what the team has are taken from the command line and undone."""
    assert evening("team", "have").out.startswith("Nothing was told")
    assert evening("team", "have", "cones=1").code == 0
    assert evening("team", "have", "--json").json == {"cones": 1}
    typed = ("plan", "--minutes", "80", "--what-if", "--json", "--film-session", "12", "--late", "21@18:40")
    found = evening(*typed).json
    first = found["segments"][0]
    assert (first["kind"], first["title"], first["minutes"]) == ("fixed", "Film session", 12)
    assert "Clips: " in first["why"]
    warm_up = next(one for one in found["segments"] if one["kind"] == "warm-up")
    assert all("21" not in one["players"] for one in warm_up["stations"])
    assert any("you have 1" in one["why"] for one in found["left_out"])
    assert evening("undo").code == 0
    assert evening("team", "have", "--json").json == {}
    assert_refused(evening("team", "have", "cones"))
    assert_refused(evening("plan", "--late", "21", "--what-if"))
    assert_refused(evening("plan", "--film-session", "90", "--what-if"))
