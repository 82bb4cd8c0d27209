"""The season on the command line: every part of it, its JSON, its refusals, and undo."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from planner.store import queries
from planner.store.engine import open_store
from planner.store.values import GameInfo
from tests.running import TODAY, Stopsheet, assert_refused, is_clean, rows

PARTS = (
    (),
    ("--all",),
    ("minutes",),
    ("minutes", "--by", "month"),
    ("minutes", "--by", "stage"),
    ("minutes", "--by", "player", "--principle", "tag"),
    ("balance",),
    ("balance", "--by", "month"),
    ("progress",),
    ("progress", "box-out"),
    ("progress", "--all"),
    ("evidence",),
    ("evidence", "box-out"),
    ("evidence", "transition", "--split", "2026-12-10"),
    ("learn",),
    ("load",),
    ("load", "--all"),
    ("load", "--heat", "86.95"),
    ("load", "--heat", "31C", "--region", "missouri-schools"),
    ("limits",),
    ("scout", "pennigrove"),
    ("--compare", "2026-11-09..2026-12-06", "2026-12-07..2027-01-13"),
)


@pytest.fixture
def season(stopsheet: Stopsheet, season_home: Path) -> Stopsheet:
    """Return the command line at a copy of the demo season."""
    stopsheet.home = season_home
    return stopsheet


@pytest.mark.parametrize("part", PARTS, ids=" ".join)
def test_every_part_fits_eighty_columns_and_changes_nothing(season: Stopsheet, part: tuple[str, ...]) -> None:
    """Each part says something, in clean lines of at most 80 columns, and writes nothing."""
    before = rows(season.home)
    ran = season("season", *part)
    assert (ran.code, ran.err) == (0, "")
    assert is_clean(ran.out)
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    assert rows(season.home) == before


@pytest.mark.parametrize("part", PARTS, ids=" ".join)
def test_every_part_has_its_json(season: Stopsheet, part: tuple[str, ...]) -> None:
    """With --json, before or after the part, each prints one object and nothing else."""
    after = season("season", *part, "--json")
    assert after.code == 0
    assert isinstance(after.json, dict)
    if part[:1] != ("--compare",):
        assert season("season", "--json", *part).out == after.out


def test_the_overview_is_one_screen(season: Stopsheet) -> None:
    """Minutes, need, gaps, steps, evidence, load and where to look on: in 23 lines."""
    season("season", "target", "box-out", "40")
    said = season("season").out
    assert len(said.splitlines()) <= 23
    for words in (
        "taught",
        "Largest gaps",
        "After an emphasis",
        "This week: load",
        "against targets",
        "More:",
    ):
        assert words in said


def test_the_overview_s_json_keeps_its_contract(season: Stopsheet) -> None:
    """Weeks and principles are as they were; what is new stands beside them."""
    said = season("season", "--json").json
    assert set(said["weeks"][0]) >= {"week", "minutes", "total"}
    assert set(said["principles"][0]) >= {
        *("principle", "minutes", "minutes_share", "need_share", "stage", "last", "trend")
    }
    assert set(said) >= {"mismatches", "proposals", "evidence", "load", "hours", "limits", "targets"}


def test_a_period_before_the_part_holds_for_it(season: Stopsheet) -> None:
    """--since and --until mean the same before and after the part's name."""
    span = ("--since", "2026-12-01", "--until", "2026-12-20")
    assert (
        season("season", *span, "minutes", "--json").out == season("season", "minutes", *span, "--json").out
    )
    weeks = season("season", "minutes", *span, "--json").json["weeks"]
    assert [one["week"] for one in weeks] == ["2026-W49", "2026-W50", "2026-W51"]


def test_weeks_months_stages_and_players_are_the_same_minutes(season: Stopsheet) -> None:
    """All cuts of the minutes sum to the same; nobody who was away has any."""
    told = {
        by: season("season", "minutes", "--by", by, "--json").json
        for by in ("week", "month", "stage", "player")
    }
    total = sum(one["total"] for one in told["week"]["weeks"])
    assert sum(one["total"] for one in told["month"]["months"]) == pytest.approx(total)
    staged = sum(sum(part.values()) for part in told["stage"]["stages"].values())
    assert staged == pytest.approx(total)
    there = [one for one in told["player"]["players"] if not one["missed"]]
    assert there
    assert all(one["total"] == pytest.approx(total) for one in there)
    assert all(one["total"] < total for one in told["player"]["players"] if one["missed"])


def test_plans_are_held_against_what_was_done(season: Stopsheet) -> None:
    """A plan cut short shows by how much; before the log it is only planned."""
    assert season("season", "minutes", "--by", "plan").code == 1
    season.on(TODAY + dt.timedelta(days=1))
    waiting = season("season", "minutes", "--by", "plan", "--json").json
    assert waiting["planned_but_not_logged"] == ["2027-01-14"]
    season("log", "--took", "1=4")
    told = season("season", "minutes", "--by", "plan", "--json").json
    assert (told["practices_with_plan"], told["planned_but_not_logged"]) == (1, [])
    other = next(one for one in told["principles"] if one["principle"] == "other")
    assert other["apart"] == pytest.approx(-6)
    assert "-6" in season("season", "minutes", "--by", "plan").out


def test_targets_are_set_shown_cleared_and_undone(season: Stopsheet) -> None:
    """A target stands beside the weeks' minutes; 0 clears it; undo brings back what stood before."""
    before = rows(season.home)
    assert season("season", "target").code == 1
    assert "stopsheet undo" in season("season", "target", "box-out", "40").out
    season("season", "target", "tag", "15.5")
    told = season("season", "target", "--json").json["targets"]
    assert [(one["principle"], one["target"]) for one in told] == [("box-out", 40), ("tag", 15.5)]
    assert told[0]["weeks"][-1] == {
        "week": "2027-W02",
        "minutes": pytest.approx(told[0]["weeks"][-1]["minutes"]),
        "running": True,
    }
    season("season", "target", "tag", "0")
    assert len(season("season", "target", "--json").json["targets"]) == 1
    for _ in range(3):
        season("undo")
    assert rows(season.home) == before


def test_limits_are_set_from_a_preset_changed_and_undone(season: Stopsheet) -> None:
    """A preset with a change is held against the weeks; the source says that the coach changed it."""
    before = rows(season.home)
    said = season("season", "limits", "us-school-california", "--week", "4", "--region", "missouri-schools")
    assert "4 h a week" in said.out
    assert "changed by the coach" in said.out
    told = season("season", "load", "--json").json
    assert told["limits"]["week_hours"] == 4
    assert any(one["over"] for one in told["hours"])
    assert "the limit is 4" in season("season", "load").out
    assert [one["table"] for one in season("season", "load", "--heat", "88.1", "--json").json["tables"]] == [
        "missouri-schools"
    ]
    season("season", "limits", "--off")
    assert season("season", "load", "--json").json["limits"] is None
    for _ in range(3):
        season("undo")
    assert rows(season.home) == before


def test_load_comes_with_its_cautions(season: Stopsheet) -> None:
    """Cautions, the deferring to local rules and the concussion line are printed and in the JSON."""
    said = " ".join(season("season", "load").out.split())
    for words in ("local rules", "licensed professional", "concussion", "not a diagnosis", "n - 1"):
        assert words in said
    assert any("concussion" in one for one in season("season", "load", "--json").json["cautions"])
    assert "licensed professional" in season("season", "load", "--heat", "88").out


def test_a_proposal_is_taken_up_with_its_evidence_and_undone(season: Stopsheet) -> None:
    """What is proposed waits for the coach; how it was judged is kept with it; undo takes it back."""
    proposals = season("season", "--json").json["proposals"]
    assert proposals, "the demo season has something to decide"
    principle, step = proposals[0]["principle"], proposals[0]["proposal"]
    before = rows(season.home)
    assert (step["stage"] or "back to none") in season("season", "accept", principle).out
    history = season("season", "progress", principle, "--json").json["history"]
    assert (history[-1]["stage"], history[-1]["date"]) == (step["stage"], TODAY.isoformat())
    assert history[-1]["how"]
    season("undo")
    assert rows(season.home) == before


def test_nothing_proposed_is_refused(season: Stopsheet) -> None:
    """Where nothing is proposed, accepting says how a stage is set by hand."""
    assert_refused(season("season", "accept", "post"), "Nothing is proposed", "stopsheet team passed post")


def test_evidence_never_claims_a_cause(season: Stopsheet) -> None:
    """Text and JSON say association, not cause, and name test and correction."""
    said = season("season", "evidence").out
    assert "Association, not cause" in said
    assert "exact conditional test of two rates" in said
    for one in season("season", "evidence", "--json").json["evidence"]:
        assert one["sentence"].endswith("chance changed too.")
        assert one["correction"] == "Holm"
    chart = season("season", "evidence", "box-out", "--json").json["run_chart"]
    assert len(chart["points"]) == len(chart["dates"]) == 10
    assert "Anhoej and Olesen" in chart["rule"]


def test_learning_is_used_only_when_told_and_undone_at_once(season: Stopsheet) -> None:
    """Showing changes nothing; --use sets r, tau and half-life in one step that one undo takes back."""
    before = rows(season.home)
    told = season("season", "learn", "--json").json
    assert told["used"] is False
    assert told["in_use"] == {"r": 0.35, "tau": 30, "half-life": 14}
    assert rows(season.home) == before
    assert "Undo with" in season("season", "learn", "--use").out
    used = season("season", "learn", "--json").json["in_use"]
    medians = {one["key"]: one["median"] for one in told["weights"]}
    assert used == pytest.approx(medians, rel=0.005)
    season("undo")
    assert rows(season.home) == before


def test_scouted_film_suggests_and_sets_nothing(season: Stopsheet, tmp_path: Path) -> None:
    """A scouted game takes film of its own; the team's needs stay; exposures are only suggested."""
    needs = season("needs", "--json").json
    assert "--game 17" in season("season", "scout", "Oakenlade", "--film", "2027-01-10").out
    note = tmp_path / "scout.txt"
    trips = [f"Q1 {9 - n // 6}:{50 - 10 * (n % 6):02d} 2 no tag" for n in range(24)]
    note.write_text("\n".join(["Date: 2027-01-10", *trips]) + "\n", "utf-8")
    assert season("film", "add", str(note), "--game", "17").code == 0
    told = season("season", "scout", "oakenlade", "--json").json
    assert (told["scouted_games"], told["next_game"]["date"]) == (1, "2027-01-20")
    assert told["tendencies"][0]["principle"] == "tag"
    assert told["tendencies"][0]["suggested"] > 1
    assert "stopsheet team exposure tag" in season("season", "scout", "oakenlade").out
    assert season("needs", "--json").json == needs


def test_words_that_mean_nothing_are_refused(season: Stopsheet) -> None:
    """Each refusal is one clean sentence that says what to do."""
    for argv, words in (
        (("minutes", "--principle", "tgg"), "did you mean tag"),
        (("target", "tag"), "minutes a week"),
        (("target", "tag", "-5"), "out of range"),
        (("target", "nothing", "5"), "is no principle"),
        (("progress", "\x1b[31mtag"), "is no principle"),
        (("evidence", "--split", "2027-01-01"), "which principle"),
        (("load", "--heat", "hot"), "is no temperature"),
        (("load", "--heat", "88", "--region", "mars"), "is no heat table"),
        (("limits", "mars"), "is no preset"),
        (("limits", "--week", "0"), "out of range"),
        (("scout", "Nobody"), "No game against"),
        (("scout", "Oakenlade"), "no film of Oakenlade"),
        (("--compare", "2026-12-01", "2026-12-02..2026-12-03"), "is no period"),
        (("--compare", "2026-11-01..2026-12-05", "2026-12-01..2026-12-31"), "share days"),
        (("--since", "2027-01-05", "minutes", "--until", "2027-01-01"), "before it starts"),
    ):
        assert_refused(season("season", *argv), words)


def test_a_season_without_a_practice_says_so(season: Stopsheet) -> None:
    """Before the first log every part says what to do, and exits 1 or shows what is there."""
    span = ("--since", "2026-10-19", "--until", "2026-10-20")
    for part in ((), ("minutes",), ("balance",), ("load",)):
        ran = season("season", *part, *span)
        assert ran.code == 1
        assert "stopsheet log" in ran.out
    assert_refused(season("season", "learn", *span), "too little to learn from")
    assert json.loads(season("season", "evidence", *span, "--json").out)["evidence"] == []


def test_without_a_team_every_part_is_refused(stopsheet: Stopsheet) -> None:
    """Nothing is made up where there is no team."""
    for part in PARTS:
        assert_refused(stopsheet("season", *part), "There is no team here yet")


def test_a_game_ahead_is_in_this_week_s_hours(season: Stopsheet) -> None:
    """The running week counts its planned practice and its game to come."""
    season("season", "limits", "--contest", "3")
    this = next(one for one in season("season", "load", "--json").json["hours"] if one["week"] == "2027-W02")
    with open_store(season.home) as store, store.reading() as session:
        games: tuple[GameInfo, ...] = queries.games(
            session, since=dt.date(2027, 1, 11), until=dt.date(2027, 1, 17)
        )
    assert len(games) == 1
    assert this["of_which_planned"] == pytest.approx(90 / 60)
    assert this["hours"] > this["of_which_planned"] + 3
