"""The invented demo season holds together: film, calendar, squad, practices and the story they tell."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections import Counter
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from planner import data
from planner.clock import parse_clock
from planner.desk.library import load_library
from planner.drills.library import Library
from planner.drills.vocabulary import Stage
from planner.film.intake import Intake
from planner.film.read import read_note
from planner.film.wording import load_lexicon

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
ROOT = data.seeds()
SEASON: Mapping[str, Any] = tomllib.loads((ROOT / "season.toml").read_text("utf-8"))
PRACTICES: list[Mapping[str, Any]] = tomllib.loads((ROOT / "practices.toml").read_text("utf-8"))["practice"]
JERSEYS = [one["jersey"] for one in SEASON["player"]]
PLAYED = [one for one in SEASON["game"] if "film" in one]
COMING = [one for one in SEASON["game"] if "film" not in one]
FILMS = [one["film"] for one in PLAYED]
ANCHOR: dt.date = SEASON["anchor"]


@cache
def library() -> Library:
    return load_library()


@cache
def intakes() -> dict[str, Intake]:
    """Return every film sheet as it is read, by its path below the seeds."""
    words = sorted((data.drill_library() / "wording").glob("*.toml"))
    lexicon, _ = load_lexicon([(one.name, one.read_text("utf-8")) for one in words], library().vocabulary)
    return {one: read_note(Path(one).name, (ROOT / one).read_bytes(), lexicon, JERSEYS) for one in FILMS}


def counts(films: list[str]) -> Counter[str]:
    """Return how often each breakdown was seen in these films."""
    found: Counter[str] = Counter()
    for one in films:
        for seen in intakes()[one].sightings:
            found[seen.breakdown] += seen.count
    return found


def rate(films: list[str], *breakdowns: str) -> float:
    """Return sightings per 100 possessions."""
    seen = counts(films)
    possessions = sum(intakes()[one].possessions or 0 for one in films)
    return 100 * sum(seen[one] for one in breakdowns) / possessions


def minutes_by_principle() -> Counter[str]:
    """Return the minutes of all practices split by the cards' shares."""
    spent: Counter[str] = Counter()
    for practice in PRACTICES:
        for _, name, minutes, *_ in practice["segments"]:
            card = library().by_id.get(name)
            for principle, share in (card.shares if card else {}).items():
                spent[principle] += minutes * share / 20
    return spent


def free_halves(day: dt.date, minute: int) -> int:
    """Return the half courts that the gym rules grant at a minute of the day."""
    rules = [one for one in SEASON["gym"] if DAYS.index(one["weekday"]) == day.weekday()]
    holds = [one for one in rules if parse_clock(one["start"]) <= minute < parse_clock(one["end"])]
    return min((one["halves"] for one in holds), default=0)


def passed_by(day: dt.date) -> dict[str, Stage]:
    """Return the highest stage passed per principle up to a day."""
    passed: dict[str, Stage] = {}
    for one in sorted(SEASON["passed"], key=lambda row: row["date"]):
        if one["date"] <= day:
            passed[one["principle"]] = Stage(one["stage"])
    return passed


@pytest.mark.parametrize("film", FILMS)
def test_every_sheet_is_read_as_a_game_of_possessions(film: str) -> None:
    """A sheet yields 45 to 65 possessions, more than twenty sightings and no problem."""
    read = intakes()[film]
    assert read.possessions is not None
    assert 45 <= read.possessions <= 65
    assert sum(one.count for one in read.sightings) > 20
    assert read.problems == ()


def test_a_few_lines_of_the_season_cannot_be_read() -> None:
    """The coach meets unclear lines in the demo, but at most three."""
    assert 1 <= sum(len(one.unclear) for one in intakes().values()) <= 3


@pytest.mark.parametrize("game", PLAYED, ids=FILMS)
def test_a_sheet_names_its_game_without_a_date(game: Mapping[str, Any]) -> None:
    """The heading agrees with the calendar and holds no date, since a demo moves the season."""
    heading = intakes()[game["film"]].heading
    assert (heading.opponent, heading.venue, heading.date) == (game["opponent"], game["venue"], None)


def test_one_game_is_only_counted() -> None:
    """Nine sheets write possessions down; one counts and tells how many were watched."""
    assert sum(not one.trips for one in intakes().values()) == 1


def test_players_on_film_are_on_the_roster() -> None:
    """Every jersey charged on film is on the roster, and every player is charged at least once."""
    charged = {jersey for one in intakes().values() for seen in one.sightings for jersey in seen.players}
    assert charged == set(JERSEYS)


def test_points_per_possession_are_those_of_a_team_like_this() -> None:
    """They concede 0.85 to 1.0 points a possession, about 0.7 on a clean one (our choice, no source)."""
    points, clean = [], []
    for read in intakes().values():
        broken = {one.possession for one in read.sightings}
        for trip in read.trips:
            assert trip.points is not None
            points.append(trip.points)
            clean += [] if trip.number in broken else [trip.points]
    assert 0.85 <= sum(points) / len(points) <= 1.0
    assert 0.6 <= sum(clean) / len(clean) <= 0.8


def test_the_film_tells_the_story() -> None:
    """Box outs and help side get better, getting back worse; ball screens cost on; closeouts are fine."""
    early, late = FILMS[:5], FILMS[5:]
    usual = library().vocabulary.breakdown_by_id
    assert rate(late, "no-box-out") < 0.6 * rate(early, "no-box-out")
    run_outs = ("slow-back", "ball-not-stopped", "unmatched")
    assert rate(late, *run_outs) > 1.8 * rate(early, *run_outs)
    assert rate(early, "far-from-paint") > 2 * usual["far-from-paint"].usual_rate
    assert rate(late, "far-from-paint") < rate(early, "far-from-paint")
    for half in (early, late):
        assert rate(half, "died-on-screen", "late-show", "slow-recover") > 12
        assert rate(half, "late-closeout") < 0.6 * usual["late-closeout"].usual_rate


def test_the_squad_is_twelve_and_needs_no_full_names() -> None:
    """Twelve different jerseys with "0" and "00", three positions, and at most a first name each."""
    assert len(JERSEYS) == len(set(JERSEYS)) == 12
    assert {"0", "00"} <= set(JERSEYS)
    assert {one["position"] for one in SEASON["player"]} == {"guard", "wing", "big"}
    names = [one.get("name", "") for one in SEASON["player"]]
    assert 0 < names.count("") < 12
    assert all(re.fullmatch(r"[A-Z][a-z]+|", one) for one in names)


def test_the_calendar_is_in_order_and_inside_the_season() -> None:
    """Games and practices run forward inside the season, never two on a day; film ends before the anchor."""
    team = SEASON["team"]
    games = [one["date"] for one in SEASON["game"]]
    practices = [one["date"] for one in PRACTICES]
    assert games == sorted(set(games))
    assert practices == sorted(set(practices))
    assert not set(games) & set(practices)
    for day in (*games, *practices, *(one["date"] for one in SEASON["passed"])):
        assert team["season_start"] <= day <= team["season_end"]
    assert max(one["date"] for one in PLAYED) < ANCHOR
    assert max(practices) < ANCHOR
    assert all(one["since"] <= ANCHOR for one in SEASON["emphasis"])
    assert all(one["date"] <= ANCHOR for one in SEASON["passed"])


def test_tomorrow_there_is_practice_and_soon_a_game() -> None:
    """The day after the anchor has gym time for all of practice; the next game is two or three days off."""
    start, minutes = SEASON["settings"]["start"], SEASON["tomorrow"]["minutes"]
    granted = {free_halves(ANCHOR + dt.timedelta(days=1), start + at) for at in range(minutes)}
    assert granted == {1, 2}
    assert len(COMING) >= 4
    assert 2 <= (min(one["date"] for one in COMING) - ANCHOR).days <= 3
    assert set(SEASON["tomorrow"]["away"]) < set(JERSEYS)
    assert all(library().by_id[one].kind == "drill" for one in SEASON["tomorrow"]["pins"])


def test_progress_is_uneven_and_never_skips_a_stage() -> None:
    """Passed stages climb one by one: some live, contested, guided and walk, and one principle has none."""
    reached: dict[str, int] = {}
    for one in sorted(SEASON["passed"], key=lambda row: row["date"]):
        assert Stage(one["stage"]).rank == reached.get(one["principle"], 0) + 1
        reached[one["principle"]] = Stage(one["stage"]).rank
    known = {one.id for one in library().vocabulary.principles}
    assert set(reached) < known
    assert len(known - set(reached)) == 1
    assert set(reached.values()) == {1, 2, 3, 4}
    assert {one["principle"] for one in SEASON["emphasis"]} < known
    assert {one["breakdown"] for one in SEASON["off"]} < set(library().vocabulary.breakdown_by_id)


@pytest.mark.parametrize("practice", PRACTICES, ids=[str(one["date"]) for one in PRACTICES])
def test_a_logged_practice_could_have_been_run(practice: Mapping[str, Any]) -> None:
    """Cards are of the kind the log says, fit players, gym, stage and clock, and score within their tries."""
    fixed = {one["title"] for one in SEASON["fixed"]}
    passed, present = passed_by(practice["date"]), len(JERSEYS) - len(practice["absent"])
    assert set(practice["absent"]) < set(JERSEYS)
    assert 1 <= practice["rating"] <= 10
    at = parse_clock(practice["start"])
    for kind, name, minutes, *score in practice["segments"]:
        card = library().by_id.get(name)
        assert (card is not None) == (kind in {"drill", "warm-up", "cool-down"}), name
        assert kind != "fixed" or name in fixed
        if card is not None:
            assert card.kind == kind
            assert card.minutes.min - 1 <= minutes <= card.minutes.max + 1, name
            groups = 1 if present <= card.players_max else 2
            assert card.players_min <= present // groups, name
            assert -(-present // groups) <= card.players_max, name
            free = min(free_halves(practice["date"], at + one) for one in range(minutes))
            assert groups * card.half_courts <= free, name
            before = passed.get(card.main_principle or "")
            assert card.stage is None or before is None or card.stage.rank <= before.rank + 1, name
        if score:
            assert 0 <= score[0] <= score[1], name
        at += minutes
    assert abs(at - parse_clock(practice["start"]) - SEASON["settings"]["minutes"]) <= 10


def test_the_log_is_three_evenings_a_week_and_scores_improve() -> None:
    """Twenty-two practices on gym days; a drill scored three times or more ends no lower than it began."""
    assert len(PRACTICES) == 22
    days = {DAYS.index(one["weekday"]) for one in SEASON["gym"]}
    assert {one["date"].weekday() for one in PRACTICES} == days
    scores: dict[str, list[float]] = {}
    for practice in PRACTICES:
        for _, name, _, *score in practice["segments"]:
            if score:
                scores.setdefault(name, []).append(score[0] / score[1])
    often = {name: found for name, found in scores.items() if len(found) >= 3}
    assert len(often) >= 5
    assert [name for name, found in often.items() if found[-1] < found[0]] == []


def test_minutes_and_film_do_not_agree() -> None:
    """Closeouts get the most minutes though they are fine; ball screens and transition get far fewer."""
    spent = minutes_by_principle()
    assert spent.most_common(1)[0][0] == "closeout"
    assert spent["closeout"] > 3 * (spent["ball-screen"] + spent["transition"])


def test_the_narration_is_a_quarter_of_an_hour_of_automatic_captions() -> None:
    """WebVTT (W3C) cues run forward without overlap for 12 to 18 minutes, lower case, no full stops."""
    blocks = (ROOT / "narration.vtt").read_text("utf-8").strip().split("\n\n")
    assert blocks[0] == "WEBVTT"
    end = 0.0
    for block in blocks[2:]:
        timing, *said = block.split("\n")
        times = re.fullmatch(r"(\d\d):(\d\d):(\d\d\.\d{3}) --> (\d\d):(\d\d):(\d\d\.\d{3})", timing)
        assert times is not None
        hours, minutes, seconds, *stop = times.groups()
        start = 3600 * int(hours) + 60 * int(minutes) + float(seconds)
        assert end <= start
        end = 3600 * int(stop[0]) + 60 * int(stop[1]) + float(stop[2])
        assert start < end
        assert all(re.fullmatch(r"[a-z' ]+", line) for line in said)
    assert 12 * 60 <= end <= 18 * 60


def test_nothing_but_invented_names_is_written() -> None:
    """The only capitals inside lines of film notes are opponents' names and the words that open a line."""
    invented = {word for one in SEASON["game"] for word in one["opponent"].split()}
    opening = {"Opponent", "Venue", "Key", "Note"}
    for film in FILMS:
        for line in (ROOT / film).read_text("utf-8").splitlines():
            inside = re.sub(r"(?:^\W*|[.!?:] |// )[A-Z]", "", line)
            names = set(re.findall(r"\b[A-Z][a-z]+", inside)) - invented - opening
            assert names == set(), (film, line)
    everything = " ".join(one.read_text("utf-8") for one in sorted(ROOT.rglob("*")) if one.is_file())
    assert not re.findall(r"\b(?:NBA|WNBA|NCAA|FIBA|NFHS|AAU)\b", everything)
