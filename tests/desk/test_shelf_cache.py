"""The cache of read drills: private, keyed, and never trusted further than its form."""

from __future__ import annotations

import json
import stat
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.desk.library import Text
from planner.desk.shelf_cache import fetch, keep, key_of
from planner.drills.library import Shelf
from planner.drills.vocabulary import Breakdown, Vocabulary
from planner.problem import Problem
from tests.drills.making import VOCABULARY, a_drill

WORDS = Vocabulary(
    VOCABULARY.principles, (Breakdown("easy-catch", "Easy catch", "post", None, "Deep.", 1.0, 2.0, 0.3),)
)
SHELF = Shelf(
    {"front": a_drill("front"), "loosen": a_drill("loosen", None, kind="warm-up", scoring=None)},
    {"front": ({"players": {"1": "top", "2": [3, 4.5]}, "moves": ["1 shoots"]},), "loosen": ()},
    (Problem("odd.toml", 3, "odd"),),
)
KEPT = (WORDS, [Problem("principles.toml", None, "thin")], SHELF)


def test_what_was_kept_comes_back(tmp_path: Path) -> None:
    """Every field of every drill, the rows and the problems survive; another key gets nothing."""
    keep(tmp_path / "cache", "library", "key", KEPT)
    assert fetch(tmp_path / "cache", "library", "key") == KEPT
    assert fetch(tmp_path / "cache", "library", "other") is None
    assert fetch(tmp_path / "cache", "own", "key") is None
    assert fetch(None, "library", "key") is None


@pytest.mark.skipif(sys.platform == "win32", reason="modes differ")
def test_it_is_its_owners_alone(tmp_path: Path) -> None:
    """Folder and file are private."""
    keep(tmp_path / "cache", "library", "key", KEPT)
    assert stat.S_IMODE((tmp_path / "cache").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "cache" / "library.json").stat().st_mode) == 0o600


def test_the_key_knows_names_contents_and_where_they_part() -> None:
    """Moving a byte from one file to the next, or a name, changes the key."""
    files = [Text("a", b"12"), Text("b", b"3")]
    others = [[Text("a", b"1"), Text("b", b"23")], [Text("b", b"12"), Text("a", b"3")], files[:1]]
    assert len({key_of(one) for one in [files, *others]}) == 4
    assert key_of(files) == key_of(list(files))


@pytest.mark.parametrize(
    "raw", [b"", b"{", b"[]", b'{"key": "key"}', b"\xff", b"[" * 100_000, b'"key"', b"null"]
)
def test_a_spoilt_cache_is_ignored(tmp_path: Path, raw: bytes) -> None:
    """Whatever lies there, the answer is nothing, never a crash."""
    (tmp_path / "library.json").write_bytes(raw)
    assert fetch(tmp_path, "library", "key") is None


@given(st.data())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
def test_a_cache_of_another_form_is_ignored(tmp_path: Path, data: st.DataObject) -> None:
    """With any part of it replaced by something else, it gives the same, something readable, or nothing."""
    keep(tmp_path, "library", "key", KEPT)
    table = json.loads((tmp_path / "library.json").read_text("utf-8"))
    part = data.draw(st.sampled_from(sorted(set(table) - {"key"})))
    table[part] = data.draw(st.sampled_from([None, 3, "x", [], {}, [None], [{}], {"a": 1}, [["x"]]]))
    (tmp_path / "library.json").write_text(json.dumps(table), "utf-8")
    found = fetch(tmp_path, "library", "key")
    assert found is None or found[0].principles == WORDS.principles or part == "principles"


def test_what_cannot_be_kept_is_not(tmp_path: Path) -> None:
    """A value JSON lacks, or a folder that cannot be made, keeps nothing and says nothing."""
    odd = Shelf(SHELF.drills, {"front": ({"players": object()},)}, ())
    keep(tmp_path, "library", "key", (WORDS, [], odd))
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "file").write_text("", "utf-8")
    keep(tmp_path / "file", "library", "key", KEPT)
    assert (tmp_path / "file").read_text("utf-8") == ""
