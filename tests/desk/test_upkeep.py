from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.team import overview, set_setting
from planner.desk.upkeep import back_up, check, export, restore
from planner.problem import Refusal
from tests.running import NOW, TODAY, everything


def test_a_copy_brings_everything_back(desk: Desk) -> None:
    """Restored from a copy, every row is as it was; what was there in between is kept too."""
    before = everything(desk.home)
    saved = back_up(desk)
    set_setting(desk, "minutes", 55)
    between = everything(desk.home)
    kept = restore(desk, saved)
    assert everything(desk.home) == before
    assert overview(desk)["settings"]["minutes"] == 90
    assert kept is not None
    restore(desk, kept)
    assert everything(desk.home) == between


def test_a_copy_made_elsewhere_sets_up_a_new_folder(desk: Desk, tmp_path: Path) -> None:
    """A copy carried to another machine brings the team there."""
    saved = back_up(desk, tmp_path / "stick")
    other = Desk(tmp_path / "other", TODAY, lambda: NOW)
    assert restore(other, saved) is None
    assert overview(other)["team"] == overview(desk)["team"]
    other.close()


@pytest.mark.parametrize("what", ["missing", "folder", "text", "empty", "long", "itself"])
def test_a_wrong_file_is_not_restored(desk: Desk, tmp_path: Path, what: str) -> None:
    """What is no copy is named as such, and the data stay as they were."""
    source = tmp_path / ("x" * 300 if what == "long" else "copy.db")
    if what == "folder":
        source.mkdir()
    elif what in {"text", "empty"}:
        source.write_text("no database" * (what == "text"))
    elif what == "itself":
        source = desk.home / "stopsheet.db"
    words = {
        "missing": "is not there; name a file that 'backup' made",
        "folder": "is a folder; name a file that 'backup' made",
        "text": "cannot be restored",
        "empty": "cannot be restored: it is not a stopsheet database",
        "long": "cannot be read: File name too long",
        "itself": "is the store itself; name a backup",
    }[what]
    before = everything(desk.home)
    with pytest.raises(Refusal, match=words):
        restore(desk, source)
    assert everything(desk.home) == before


def test_all_data_leave_as_json(desk: Desk, tmp_path: Path) -> None:
    """The export holds every row, and is not written over a file of somebody else's."""
    found = export(desk, None)
    assert isinstance(found, dict)
    assert found["tables"] == everything(desk.home)
    written = export(desk, tmp_path / "all.json")
    assert isinstance(written, Path)
    assert json.loads(written.read_text("utf-8")) == found
    mine = tmp_path / "mine.json"
    mine.write_text("{}")
    with pytest.raises(Refusal, match="was not made by stopsheet"):
        export(desk, mine)


def test_sound_data_have_no_faults(desk: Desk) -> None:
    """The demo season and the shipped library are sound."""
    assert check(desk) == []


def test_faults_of_own_drills_are_told(season_home: Path) -> None:
    """A drill file that cannot be used is named, the rest of the library stays."""
    (season_home / "drills").mkdir()
    (season_home / "drills" / "broken.toml").write_text("id = 'broken'\ntitle = \n")
    desk = Desk(season_home, TODAY, lambda: NOW)
    found = check(desk)
    assert len(found) == 1
    assert "broken.toml:2" in found[0]
    assert len(desk.library.drills) > 100
    desk.close()


def test_without_a_team_there_is_nothing_to_save(tmp_path: Path) -> None:
    """A copy or export of nothing is refused, and no database is made for it."""
    desk = Desk(tmp_path / "new", TODAY, lambda: NOW)
    for act in (lambda: back_up(desk), lambda: export(desk, None)):
        with pytest.raises(Refusal, match="There is no team here yet"):
            act()
    assert not (tmp_path / "new").exists()
