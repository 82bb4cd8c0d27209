"""The whole loop as a coach types it, on the demo's season."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from planner.build.check import check_plan
from planner.desk.desk import Desk
from planner.desk.practice import find_plan
from tests.running import NOW, TODAY, Planted, Stopsheet, everything

NOTE = """\
Opponent: Harbour Point
Date: 2027-01-11
Q1 8:42 2 no box out 21, ball watching 44
Q1 8:20 stop
Q1 7:55 +3 late closeout #12
"""


def counts(home: Path) -> dict[str, int]:
    return {table: len(rows) for table, rows in everything(home).items()}


def test_from_needs_to_the_season(
    planted: Planted, season_home: Path, stopsheet: Stopsheet, tmp_path: Path
) -> None:
    """Needs, a proven plan that keeps every rule, three papers, a log, and the season grown by that log."""
    stopsheet.home = season_home
    needs = stopsheet("needs", "--json").json
    costs = [one["points_per_100"] for one in needs["principles"]]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > 1

    ran = stopsheet(
        "plan", "--on", "tomorrow", "--minutes", "90", "--away", "32", "--pin", "weak-side-crash", "--json"
    )
    assert (ran.code, ran.err) == (0, "")
    plan = ran.json
    players = plan.pop("players")
    assert {one["total"] for one in players} == {90}
    assert all(one.endswith(".") for one in plan.pop("doubts"))
    assert plan["proven"] is True
    again = {**planted.plan.as_json(), "seconds": plan["seconds"]}
    assert plan == again, "planned twice, the same evening is the same plan"
    desk = Desk(season_home, TODAY, lambda: NOW)
    stored = find_plan(desk)
    desk.close()
    assert stored.as_json() == plan
    assert check_plan(stored, planted.brief) == []

    for ending in ("pdf", "txt", "json"):
        target = tmp_path / f"sheet.{ending}"
        ran = stopsheet("print", "plan", "--to", str(target))
        assert ran.code == 0, ran.err
        assert str(target) in ran.out
        assert target.stat().st_size > 500
    assert {**plan, "players": players, "made": "made by stopsheet"} == json.loads(
        (tmp_path / "sheet.json").read_text("utf-8")
    )

    before = stopsheet("season", "--json").json
    stopsheet.on(TODAY + dt.timedelta(days=1))
    drill = next(n for n, one in enumerate(plan["segments"], 1) if one["kind"] == "drill")
    ran = stopsheet("log", "--took", f"{drill}=9:30", "--stops", f"{drill}=7/10", "--rating", "6", "--json")
    assert ran.code == 0, ran.err
    logged = ran.json["minutes"]
    lasted = 90 - plan["segments"][drill - 1]["minutes"] + 9.5
    assert sum(logged.values()) == pytest.approx(lasted)
    after = stopsheet("season", "--json").json
    totals = [sum(one["total"] for one in found["weeks"]) for found in (before, after)]
    assert totals[1] == pytest.approx(totals[0] + lasted)
    week = next(one for one in after["weeks"] if one["week"] == "2027-W02")
    assert abs(sum(week["minutes"].values()) - week["total"]) < 1e-9
    assert "practices logged." in stopsheet("season").out


def test_film_added_twice_and_taken_back(season_home: Path, stopsheet: Stopsheet, tmp_path: Path) -> None:
    """The second time adds nothing and ends with 1; taken back, every count is what it was."""
    stopsheet.home = season_home
    note = tmp_path / "harbour.txt"
    note.write_text(NOTE, "utf-8")
    needs, listed = stopsheet("needs", "--json").out, stopsheet("film", "list", "--json").json
    read = stopsheet("film", "read", str(note))
    assert read.code == 0
    assert "Nothing was added" in read.out
    assert stopsheet("film", "list", "--json").json == listed
    assert stopsheet("film", "add", str(note)).code == 0
    before = counts(season_home)
    again = stopsheet("film", "add", str(note))
    assert (again.code, "already in" in again.out) == (1, True)
    assert counts(season_home) == before
    assert stopsheet("film", "undo").code == 0
    assert stopsheet("film", "list", "--json").json == listed
    assert stopsheet("needs", "--json").out == needs
    undone = stopsheet("undo")
    assert undone.out.startswith("Undone: taking back harbour.txt")
    assert len(stopsheet("film", "list", "--json").json) == len(listed) + 1
    assert stopsheet("undo").code == 0
    assert stopsheet("film", "list", "--json").json == listed
    assert stopsheet("needs", "--json").out == needs


def test_a_season_from_nothing(stopsheet: Stopsheet, tmp_path: Path) -> None:
    """A new team with jerseys alone gets a proven plan in half a gym, before any film."""
    assert "There is no team here yet" in stopsheet().out
    for command in (
        ("team", "new", "Herons", "--from", "2026-10-01", "--to", "2027-03-31"),
        *(("team", "player", str(number)) for number in range(4, 12)),
        ("team", "gym", "thu", "16:30", "17:00", "--halves", "1"),
        ("team", "fixed", "Free throws", "6", "--at", "last"),
        ("team", "game", "sat", "Harbour Point", "--venue", "home"),
    ):
        ran = stopsheet(*command)
        assert (ran.code, ran.err) == (0, ""), command
    ran = stopsheet("plan", "--minutes", "40", "--json")
    assert ran.code == 0, ran.err
    plan = ran.json
    assert (plan["proven"], plan["start"], plan["date"]) == (True, "16:30", "2027-01-14")
    assert sum(one["minutes"] for one in plan["segments"]) == 40
    assert all(s["half"] == "A" for one in plan["segments"] for s in one["stations"]), "half the gym is ours"
    assert "Herons: 8 players" in stopsheet().out
