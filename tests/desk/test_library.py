"""Reading the shipped library and the team's own drills, with and without the cache."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from planner import data
from planner.desk.desk import cache_home
from planner.desk.library import Text, court_of, digest_of, load_library, origin_line, origin_of

SHIPPED = data.drill_library() / "drills"
LAMP = (SHIPPED / "tall-wall.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a cache folder that the shipped library is read into once."""
    return tmp_path_factory.mktemp("kept")


def put(folder: Path, name: str, text: str) -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text(text, "utf-8")
    return path


def test_an_own_drill_replaces_the_shipped_one(tmp_path: Path) -> None:
    """Under a shipped id the team's file counts, its diagrams too; under another id it stands beside."""
    put(tmp_path, "tall-wall.toml", LAMP.split("[[diagram]]")[0].replace("effort = ", "effort = 1 #"))
    put(tmp_path, "our-wall.toml", LAMP.replace('"tall-wall"', '"our-wall"', 1))
    found = load_library(tmp_path)
    assert found.by_id["tall-wall"].effort == 1
    assert found.diagram_rows["tall-wall"] == ()
    assert found.diagram_rows["our-wall"] == load_library().diagram_rows["tall-wall"]
    assert found.own == {"tall-wall", "our-wall"}
    assert len(found.drills) == len(load_library().drills) + 1
    assert [one.id for one in found.drills] == sorted(found.by_id)
    assert found.problems == ()


@pytest.mark.parametrize(
    ("name", "raw", "what"),
    [
        ("tall-wall.toml", b"id = [", "not valid TOML"),
        ("tall-wall.toml", b"a = " + b"[" * 30_000, "brackets within brackets"),
        ("tall-wall.toml", LAMP.replace("effort", "efort").encode(), "unknown field 'efort'"),
        ("tall-wall.toml", LAMP.replace("fouling = ", "fouling = nan #").encode(), "not valid TOML"),
        ("tall-wall.toml", b"\xff\xfe", "not UTF-8 text"),
        ("tall-wall.toml", b"#" * 500_000, "larger than 400000 bytes"),
        ("mine.toml", LAMP.encode(), "the id inside is 'tall-wall'; it must be the file's name"),
    ],
)
def test_a_broken_own_file_is_left_alone_and_the_rest_loads(
    tmp_path: Path, kept: Path, name: str, raw: bytes, what: str
) -> None:
    """What is wrong is said with the whole path; the shipped drill stays in use."""
    put(tmp_path, "our-wall.toml", LAMP.replace('"tall-wall"', '"our-wall"', 1))
    (tmp_path / name).write_bytes(raw)
    found = load_library(tmp_path, kept)
    assert found.own == {"our-wall"}
    assert found.by_id["tall-wall"] == load_library(None, kept).by_id["tall-wall"]
    assert {one.file for one in found.problems} == {str(tmp_path / name)}
    assert any(what in one.what for one in found.problems), found.problems
    assert (tmp_path / name).read_bytes() == raw


@pytest.mark.parametrize("share", ["nan", "inf", "-inf", "1e300", "true", "[]", '"half"', "0.07", "-0.5"])
def test_no_share_is_too_odd_to_be_refused(tmp_path: Path, kept: Path, share: str) -> None:
    """A share that is no part of a minute is a fault like any other."""
    text = LAMP.replace("principles = {", f"principles = {{ post = {share},", 1)
    put(tmp_path, "tall-wall.toml", text)
    found = load_library(tmp_path, kept)
    assert found.own == frozenset()
    assert any("the share of 'post'" in one.what or "more than 1" in one.what for one in found.problems)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_among_the_drills_is_not_waited_for(tmp_path: Path, kept: Path) -> None:
    """What is no ordinary file is reported, not opened."""
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "folder.toml").mkdir()
    assert [one.what for one in load_library(tmp_path, kept).problems] == [
        "is no ordinary file; not read"
    ] * 2


def test_a_change_of_the_shipped_drill_is_seen(tmp_path: Path, kept: Path) -> None:
    """The line in a copy holds what the original read; line ends do not matter, another text does."""
    now = Text("tall-wall.toml", (SHIPPED / "tall-wall.toml").read_bytes())
    windows = Text("tall-wall.toml", now.raw.replace(b"\n", b"\r\n"))
    assert digest_of(now) == digest_of(windows) == hashlib.sha256(now.raw).hexdigest()
    put(tmp_path, "tall-wall.toml", f"{origin_line('tall-wall', windows)}\n{LAMP}")
    assert load_library(tmp_path, kept).changed == frozenset()
    older = Text("tall-wall.toml", now.raw + b"# older\n")
    put(tmp_path, "tall-wall.toml", f"{origin_line('tall-wall', older)}\n{LAMP}")
    beside = LAMP.replace('"tall-wall"', '"beside"', 1)
    put(tmp_path, "beside.toml", f"{origin_line('moon-drill', now)}\n{beside}")
    assert load_library(tmp_path, kept).changed == {"tall-wall", "beside"}
    assert origin_of(LAMP) is None


def test_the_cache_gives_what_the_files_give(tmp_path: Path) -> None:
    """Read fresh, kept, and read back are the same; a changed file is read anew."""
    cache, own = tmp_path / "cache", tmp_path / "own"
    path = put(own, "tall-wall.toml", LAMP)
    plain = load_library(own)
    assert load_library(own, cache) == plain
    assert sorted(one.name for one in cache.iterdir()) == ["library.json", "own.json"]
    assert load_library(own, cache) == plain
    path.write_text(LAMP.replace("effort = ", "effort = 1 #"), "utf-8")
    assert load_library(own, cache).by_id["tall-wall"].effort == 1
    path.unlink()
    assert load_library(own, cache) == load_library()


def test_nothing_is_kept_where_the_folder_above_is_missing(tmp_path: Path) -> None:
    """Looking at drills does not set up a data folder."""
    assert load_library(None, tmp_path / "nobody" / "cache") == load_library()
    assert not (tmp_path / "nobody").exists()


def test_where_the_cache_lies(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """STOPSHEET_HOME first, then an absolute XDG_CACHE_HOME, else ~/.cache (XDG base directories 0.8)."""
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert cache_home({"STOPSHEET_HOME": "/data"}) == Path("/data/cache").absolute()
    assert cache_home({"XDG_CACHE_HOME": "/c"}) == Path("/c/stopsheet")
    for unset in ({}, {"XDG_CACHE_HOME": ""}, {"XDG_CACHE_HOME": "relative"}):
        assert cache_home(unset) == tmp_path / ".cache" / "stopsheet"


def test_courts_come_from_the_library() -> None:
    """Three rule books, the school's 84 feet long (NFHS, as in the court files)."""
    assert court_of("school").length == 84
    assert court_of("college").length == 94
    assert court_of("school") is court_of("school")
