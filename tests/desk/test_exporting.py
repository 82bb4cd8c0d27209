from __future__ import annotations

import csv
import json
import os
import zipfile
from pathlib import Path

import pytest

from planner.desk import copies, own_data
from planner.desk.desk import Desk
from planner.desk.own_drills import copy_drill
from planner.desk.team import save_player
from planner.desk.upkeep import back_up, check, export, restore
from planner.desk.watching import open_live
from planner.problem import Refusal
from planner.store.values import PlayerInfo
from tests.running import NOW, TODAY, everything

FORMULA = "=HYPERLINK(1)"


@pytest.fixture
def rich(desk: Desk) -> Desk:
    """Return the demo with a drill of the team's own, a film that is being entered, and a hostile name."""
    copy_drill(desk, "weak-side-crash", "our-crash")
    live = open_live(desk, 9)
    live.press_all(["no-talk", "2", "1"])
    save_player(desk, PlayerInfo("99", FORMULA))
    return desk


def own(home: Path) -> dict[str, bytes]:
    found = own_data.own_data(home)
    assert set(found) == {"drills/our-crash.toml", "live/game-9.keys"}
    return found


@pytest.mark.parametrize("kind", ["backup", "all.json", "all.zip", "all"])
def test_everything_comes_back_elsewhere(rich: Desk, tmp_path: Path, kind: str) -> None:
    """A copy, and an export of each kind, bring every row and every file of the team to a new folder."""
    made = back_up(rich, tmp_path) if kind == "backup" else export(rich, tmp_path / kind)
    assert isinstance(made, Path)
    other = Desk(tmp_path / "other", TODAY, lambda: NOW)
    assert restore(other, made) is None
    assert everything(other.home) == everything(rich.home)
    assert own(other.home) == own(rich.home)
    assert check(other) == []
    assert "our-crash" in other.library.own
    other.close()


def test_a_restore_replaces_the_team_s_files_and_keeps_them(rich: Desk, tmp_path: Path) -> None:
    """What the copy does not hold is gone afterwards, and is in the copy that was kept of it."""
    saved = back_up(rich)
    (rich.home / "drills" / "our-crash.toml").unlink()
    copy_drill(rich, "meet-it-at-half", "ours-too")
    kept = restore(rich, saved)
    assert set(own_data.own_data(rich.home)) == {"drills/our-crash.toml", "live/game-9.keys"}
    assert kept is not None
    assert kept.name == "before-restore-20270113-201500.zip"
    assert copies.OWN + "drills/ours-too.toml" in copies.unzipped(kept, "it")[1]


def test_an_old_copy_of_the_database_alone_leaves_the_team_s_files(rich: Desk, tmp_path: Path) -> None:
    """A plain database file says nothing of drills, so they stay as they are."""
    from planner.store import backup

    single = backup.back_up(rich.store, tmp_path, NOW)
    before = own(rich.home)
    restore(rich, single)
    assert own(rich.home) == before


def test_a_spreadsheet_runs_nothing(rich: Desk, tmp_path: Path) -> None:
    """In the tables a text that begins like a formula has a quote before it; the JSON has it as it is."""
    export(rich, tmp_path / "all")
    with (tmp_path / "all" / "tables" / "player.csv").open(encoding="utf-8-sig", newline="") as file:
        names = [row["name"] for row in csv.DictReader(file)]
    assert f"'{FORMULA}" in names
    for path in (tmp_path / "all" / "tables").glob("*.csv"):
        with path.open(encoding="utf-8-sig", newline="") as file:
            cells = [cell for row in csv.reader(file) for cell in row]
        assert not [one for one in cells if one.startswith(("=", "+", "@", "\t", "\r"))]
    tables = json.loads((tmp_path / "all" / "data.json").read_text("utf-8"))["tables"]
    assert FORMULA in [row["name"] for row in tables["player"]]


def test_film_notes_leave_as_they_were_read(rich: Desk, tmp_path: Path) -> None:
    """Every film note is in the folder 'film' byte for byte."""
    from planner.store import queries

    export(rich, tmp_path / "all")
    files = sorted(one.read_bytes() for one in (tmp_path / "all" / "film").iterdir())
    with rich.reading() as session:
        notes = sorted(queries.raw_note(session, one.id) for one in queries.intakes(session))
    assert files == notes
    assert len(files) == 10


def test_an_export_is_not_mixed_with_other_files(rich: Desk, tmp_path: Path) -> None:
    """A folder that holds something, or a file, is left alone; a folder that is missing is told."""
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("dear")
    for place, said in (
        (tmp_path / "mine", "is there already"),
        (tmp_path / "no" / "all", "There is no folder"),
    ):
        with pytest.raises(Refusal, match=said):
            export(rich, place)
    assert [one.name for one in (tmp_path / "mine").iterdir()] == ["letter.txt"]
    assert not list(tmp_path.glob(".*"))


def _tampered(source: Path, target: Path, **changed: bytes | None) -> Path:
    """Write a zip anew with members changed, added or left out, its list of digests untouched."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            data = changed.pop(name, old.read(name))
            if data is not None:
                new.writestr(name, data)
        for name, data in changed.items():
            new.writestr(name, data or b"")
    return target


def test_a_damaged_copy_is_refused_and_nothing_changes(rich: Desk, tmp_path: Path) -> None:
    """A member that changed or is missing, a zip cut short, another zip, JSON of others: each is refused."""
    saved = back_up(rich, tmp_path)
    whole = saved.read_bytes()
    (tmp_path / "short.zip").write_bytes(whole[: len(whole) // 2])
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as archive:
        archive.writestr("letter.txt", "dear")
    (tmp_path / "other.json").write_text('{"hello": 1}')
    (tmp_path / "deep.json").write_text('{"a":' * 100_000)
    cases = [
        (
            _tampered(saved, tmp_path / "changed.zip", **{"stopsheet.db": b"x"}),
            "'stopsheet.db' in it is damaged",
        ),
        (_tampered(saved, tmp_path / "lacks.zip", **{"stopsheet.db": None}), "it is damaged"),
        (tmp_path / "short.zip", "it is damaged"),
        (tmp_path / "other.zip", "not of stopsheet"),
        (tmp_path / "other.json", "it is no export"),
        (tmp_path / "deep.json", "it is no export"),
    ]
    before, files = everything(rich.home), own(rich.home)
    for source, said in cases:
        with pytest.raises(Refusal, match=said):
            restore(rich, source)
        assert everything(rich.home) == before
        assert own(rich.home) == files
        assert not list(rich.home.glob("restoring.*part"))


@pytest.mark.parametrize(
    "name", ["../evil.toml", "drills/../../evil.toml", "drills/.hidden.toml", "/etc/x.toml", "prints/a.toml"]
)
def test_a_copy_writes_nowhere_else(rich: Desk, tmp_path: Path, name: str) -> None:
    """A file whose name leads out of the team's own folders is refused before anything is written."""
    members = {copies.DATABASE: (rich.home / "stopsheet.db").read_bytes(), copies.OWN + name: b"x"}
    evil = tmp_path / "evil.zip"
    evil.write_bytes(copies.zipped(members, copies.FORMAT, NOW))
    with pytest.raises(Refusal, match="that is not ours"):
        restore(rich, evil)
    assert not list(tmp_path.rglob("evil.toml"))


def test_an_interrupted_restore_is_carried_out_by_whoever_opens_next(rich: Desk, tmp_path: Path) -> None:
    """Once the folder has its name the restore happens, even if the program that asked for it is gone."""
    from planner.desk import bringing_back

    saved = back_up(rich, tmp_path)
    wanted = everything(rich.home)
    save_player(rich, PlayerInfo("98"))
    rich.close()
    bringing_back._prepare(saved, rich.home / bringing_back.READY, "it")
    fresh = Desk(rich.home, TODAY, lambda: NOW)
    assert fresh.has_team()
    assert everything(fresh.home) == wanted
    assert not (fresh.home / bringing_back.READY).exists()
    fresh.close()


def test_automatic_copies_rotate(desk: Desk) -> None:
    """One copy a day before its first change, the newest few kept as the coach wants; none for 0."""
    import datetime as dt

    from planner.desk.team import set_setting

    set_setting(desk, "copies-kept", 3)
    desk.close()
    for day in range(6):
        daily = Desk(desk.home, TODAY + dt.timedelta(days=day), lambda: NOW, daily=True)
        daily.__dict__["library"] = desk.library
        before = everything(desk.home)
        save_player(daily, PlayerInfo("99", f"Day {day}"))
        save_player(daily, PlayerInfo("99", f"Day {day} again"))
        daily.close()
        newest = desk.home / "backups" / f"daily-{TODAY + dt.timedelta(days=day):%Y%m%d}.zip"
        os.utime(newest, (day, day))
        other = Desk(desk.home.parent / f"other{day}", TODAY, lambda: NOW)
        restore(other, newest)
        assert everything(other.home) == before
        other.close()
    assert [one.name for one in sorted((desk.home / "backups").iterdir())] == [
        "daily-20270116.zip",
        "daily-20270117.zip",
        "daily-20270118.zip",
    ]
    set_setting(desk, "copies-kept", 0)
    off = Desk(desk.home, TODAY + dt.timedelta(days=9), lambda: NOW, daily=True)
    save_player(off, PlayerInfo("99", "None"))
    off.close()
    assert len(list((desk.home / "backups").iterdir())) == 3


def test_what_an_interrupted_write_left_is_cleared_away(desk: Desk) -> None:
    """A check removes leftovers that are an hour old, and leaves those that may still be written."""
    import datetime as dt

    old, young = (desk.home / "prints" / f".stopsheet-{one}.part" for one in ("old", "young"))
    folder = desk.home / "restoring.new.part"
    folder.mkdir()
    old.touch()
    young.touch()
    long_ago = (NOW - dt.timedelta(hours=2)).timestamp()
    for one in (old, folder):
        os.utime(one, (long_ago, long_ago))
    os.utime(young, (NOW.timestamp(), NOW.timestamp()))
    assert check(desk) == []
    assert (old.exists(), folder.exists(), young.exists()) == (False, False, True)


def test_a_file_of_the_team_that_cannot_be_read_stops_a_copy(rich: Desk) -> None:
    """No copy is made that silently lacks a drill."""
    if os.name == "nt" or os.geteuid() == 0:
        pytest.skip("root may read everything")
    (rich.home / "drills" / "our-crash.toml").chmod(0)
    with pytest.raises(Refusal, match="cannot be read"):
        back_up(rich)


def test_names_of_the_team_s_files() -> None:
    """Only what the program itself writes counts as the team's own."""
    good = ("drills/a.toml", "trash/a.20270101T000000-000.toml", "live/game-3.keys", "floor/running.json")
    good += ("live/added/game-3-20270101T000000Z.keys", "live/dropped/game-3-20270101T000000Z-2.keys")
    bad = (
        "a.toml",
        "drills/a/b.toml",
        "drills/a.py",
        "live/game-x.keys",
        "floor/other.json",
        "drills/..toml",
    )
    assert all(own_data.is_own_name(one) for one in good)
    assert not any(own_data.is_own_name(one) for one in bad)
