"""Several teams in one data folder, each with a home of its own."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.desk.desk import Desk, open_desk
from planner.desk.team import games, overview, save_player, set_up
from planner.desk.teams import CHOSEN, FOLDER, all_teams, key_of, new_team_beside, take_in_hand
from planner.desk.undo import undo_last
from planner.problem import Refusal
from planner.store.values import PlayerInfo, TeamInfo
from tests.running import NOW, TODAY


@pytest.fixture
def first(tmp_path: Path) -> Desk:
    """Return the desk of a folder with one team."""
    desk = Desk(tmp_path / "home", TODAY, lambda: NOW)
    set_up(desk, TeamInfo("Herons"))
    save_player(desk, PlayerInfo("4"))
    return desk


def further(desk: Desk, name: str) -> Desk:
    made = new_team_beside(desk, name)
    set_up(made, TeamInfo(name))
    return made


def jerseys(desk: Desk) -> list[str]:
    return [one["jersey"] for one in overview(desk)["players"]]


def test_a_further_team_shares_nothing(first: Desk) -> None:
    """Roster, games and undo of one team do not touch the other."""
    second = further(first, "Herons Two")
    save_player(second, PlayerInfo("9"))
    assert (jerseys(first), jerseys(second)) == (["4"], ["9"])
    undo_last(second)
    assert (jerseys(first), jerseys(second)) == (["4"], [])
    assert games(second) == ()


def test_the_team_in_hand_is_kept_for_later_runs(first: Desk) -> None:
    """What was taken in hand is what the next run opens; the first team can be taken back by its name."""
    second = further(first, "Herons Two")
    environ = {"STOPSHEET_HOME": str(first.home)}
    assert open_desk(environ).home == second.home
    assert take_in_hand(second, "HERONS").home == first.home
    assert open_desk(environ).home == first.home
    assert not (first.home / CHOSEN).exists()


def test_one_run_may_ask_for_another_team(first: Desk) -> None:
    """STOPSHEET_TEAM names the team of one run, by its name or its key; an unknown one is refused."""
    second = further(first, "Herons Two")
    environ = {"STOPSHEET_HOME": str(first.home)}
    assert open_desk({**environ, "STOPSHEET_TEAM": "Herons"}).home == first.home
    assert open_desk({**environ, "STOPSHEET_TEAM": "herons-two"}).home == second.home
    with pytest.raises(Refusal, match=r"no team .Bitterns. in .*; there is herons and herons-two"):
        open_desk({**environ, "STOPSHEET_TEAM": "Bitterns"})


def test_the_list_marks_the_team_in_hand(first: Desk) -> None:
    """All teams are listed, the first one first, exactly one in hand."""
    second = further(first, "A Team")
    assert [(one.name, one.in_hand) for one in all_teams(second)] == [("Herons", False), ("A Team", True)]


@pytest.mark.parametrize("name", ["herons", " HERONS! ", "Hérons"])
def test_two_teams_never_share_a_key(first: Desk, name: str) -> None:
    """A name that gives the key of a team there is refused."""
    with pytest.raises(Refusal, match="already"):
        new_team_beside(first, name)


def test_a_further_team_needs_a_first(tmp_path: Path) -> None:
    """Without a first team there is nothing to stand beside."""
    with pytest.raises(Refusal, match="no first team yet"):
        new_team_beside(Desk(tmp_path / "none", TODAY, lambda: NOW), "Herons")


def test_a_broken_note_of_the_team_in_hand_means_the_first(first: Desk) -> None:
    """A note that leads nowhere, or out of the folder, opens the first team."""
    further(first, "Herons Two")
    for text in ("../..", "", "nobody\n", "\x00\xff/etc"):
        (first.home / CHOSEN).write_text(text, "latin-1")
        assert open_desk({"STOPSHEET_HOME": str(first.home)}).home == first.home


def test_a_further_home_is_private(first: Desk) -> None:
    """Folders are their owner's alone, files too."""
    second = further(first, "Herons Two")
    for folder in (first.home / FOLDER, second.home):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    for file in (first.home / CHOSEN, second.home / "stopsheet.db"):
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


@given(st.text(max_size=120))
def test_no_name_leads_out_of_the_folder(name: str) -> None:
    """Whatever the name, its key is one plain part of a path, or nothing; a key is its own key."""
    key = key_of(name)
    assert "/" not in key
    assert "." not in key
    assert "\\" not in key
    assert len(key) <= 40
    assert key_of(key) == key
