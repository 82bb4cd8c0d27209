from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from planner.build.brief import Pin
from planner.desk.desk import Desk
from planner.desk.film import add_files
from planner.desk.house import change_game
from planner.desk.own_drills import copy_drill
from planner.desk.practice import Wishes, build_plan
from planner.desk.season import Changes, log_practice
from planner.desk.team import add_fixed, add_gym_rule, save_player, set_emphasis, set_up
from planner.desk.upkeep import check, export, restore
from planner.problem import Refusal
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo
from tests.running import NOW, TODAY, everything

SECRETS = {
    "team": "Zumbrellas",
    "player": "Quentarix Vosslebury",
    "nickname": "QZX",
    "position": "Xylocentre",
    "level": "Wibblegrade",
    "opponent": "Frumptown",
    "note": "Gallumphing",
    "gym": "Snickerhall",
    "block": "Birthday of Plumbert",
    "drill": "ours-of-plumbert",
}
NOTE = f"""\
Opponent: {SECRETS["opponent"]}
Date: 2027-01-11
# {SECRETS["note"]}
Q1 8:42 2 no box out 21, {SECRETS["note"]} ball watching 44
Q1 8:01 2 zzz {SECRETS["player"]} wobble {SECRETS["nickname"]}
"""


@pytest.fixture
def named(desk: Desk) -> Desk:
    """Return the demo with names wherever a coach can write one."""
    set_up(desk, TeamInfo(SECRETS["team"], TODAY - dt.timedelta(90), None, SECRETS["level"]))
    save_player(desk, PlayerInfo("21", SECRETS["player"], SECRETS["position"]))
    save_player(desk, PlayerInfo(SECRETS["nickname"], SECRETS["player"]))
    add_gym_rule(desk, GymRule(900, 960, 1, rrule="FREQ=WEEKLY;BYDAY=SA;UNTIL=20270401", note=SECRETS["gym"]))
    add_fixed(desk, FixedRule(SECRETS["block"], 5, "last", weekday=5))
    set_emphasis(desk, "tag", 2.0)
    note = desk.home / f"{SECRETS['note']}.txt"
    note.write_text(NOTE, "utf-8")
    assert add_files(desk, [note]).added
    note.unlink()
    copy_drill(desk, "weak-side-crash", SECRETS["drill"])
    day = TODAY + dt.timedelta(days=1)
    build_plan(
        desk,
        Wishes(day, minutes=95, load_ceiling=0, pins=(Pin(SECRETS["drill"]),), keep_out=("weak-side-crash",)),
    )
    desk.today = day
    log_practice(desk, day, Changes({}, {}, (SECRETS["nickname"],), 6))
    desk.today = TODAY
    return desk


def _bytes(place: Path) -> bytes:
    """Return everything in an export, names of files included."""
    files = [place] if place.is_file() else [one for one in sorted(place.rglob("*")) if one.is_file()]
    return b"\n".join(one.as_posix().encode() + b"\n" + one.read_bytes() for one in files)


def test_no_name_is_in_an_anonymous_export(named: Desk, tmp_path: Path) -> None:
    """No name of a player, opponent, team, place, drill or file, and no word of a note, is in any byte."""
    rows = everything(named.home)
    words = [part for one in SECRETS.values() for part in one.split() if len(part) > 3]
    words += [row["opponent"] for row in rows["game"]] + [
        row["name"] for row in rows["player"] if row["name"]
    ]
    words += [row["name"] for row in rows["film_note"]]
    assert len(words) > 20
    plain = json.dumps(export(named, None), ensure_ascii=False).casefold()
    assert all(one.casefold() in plain for one in SECRETS.values()), "the names are in the data"
    made = export(named, tmp_path / "out", anonymous=True)
    alone = json.dumps(export(named, None, anonymous=True), ensure_ascii=False)
    assert isinstance(made, Path)
    said = _bytes(made).decode("utf-8").casefold() + alone.casefold()
    assert [one for one in words if one.casefold() in said] == []
    assert "opponent 1" in said


def test_an_anonymous_export_counts_the_same(named: Desk, tmp_path: Path) -> None:
    """Brought back it is sound, and breakdowns, minutes, effort and results are those of the real season."""
    made = export(named, tmp_path / "out.zip", anonymous=True, weeks=-5)
    assert isinstance(made, Path)
    other = Desk(tmp_path / "other", TODAY, lambda: NOW)
    other.__dict__["library"] = named.library
    restore(other, made)
    assert check(other) == []
    real, bare = everything(named.home), everything(other.home)
    for table, columns in {
        "sighting": ("breakdown", "points", "seen", "sure", "possession"),
        "segment": ("kind", "seconds", "shares", "effort", "side"),
        "drill_result": ("stops", "tries"),
        "practice": ("minutes", "rating", "state", "objective"),
        "game": ("venue", "possessions"),
    }.items():
        counted = [[[row[key] for key in columns] for row in found[table]] for found in (real, bare)]
        assert counted[0] == counted[1], table
    assert bare["journal"] == []
    moved = dt.timedelta(weeks=-5)
    for table in ("game", "practice", "progress"):
        before = [dt.date.fromisoformat(row["date"]) for row in real[table]]
        assert [dt.date.fromisoformat(row["date"]) for row in bare[table]] == [day + moved for day in before]
    assert any("UNTIL=20270225" in (row["rrule"] or "") for row in bare["gym_window"])
    other.close()


def test_the_same_word_gets_the_same_mask(named: Desk) -> None:
    """A nickname on a jersey is one mask in roster, squads and absences; an opponent one in all games."""
    change_game(named, 1, dt.date(2026, 11, 20), SECRETS["opponent"].upper())
    tables = export(named, None, anonymous=True)["tables"]  # type: ignore[index]
    jerseys = [row["jersey"] for row in tables["player"]]
    assert "P1" in jerseys
    assert "21" in jerseys
    assert any(json.loads(row["absent"]) == ["P1"] for row in tables["practice"])
    real = {row["id"]: row["opponent"].casefold() for row in everything(named.home)["game"]}
    masks = {row["id"]: row["opponent"] for row in tables["game"]}
    pairs = {(real[one], masks[one]) for one in real}
    assert len({mask for _, mask in pairs}) == len({name for name, _ in pairs}) == len(pairs)


def test_what_cannot_be_moved_is_refused(desk: Desk) -> None:
    """Weeks beyond the calendar, and moving an export that is not anonymous, are refused in a sentence."""
    with pytest.raises(Refusal, match="name fewer weeks"):
        export(desk, None, anonymous=True, weeks=10**6)
    with pytest.raises(Refusal, match="add --anonymous"):
        export(desk, None, weeks=2)
