"""Coverages as data, and what each leaves out."""

from __future__ import annotations

import pytest

from planner.data import drill_library
from planner.need.coverage import Coverage, left_out, read_coverages
from tests.need import kit

TEXT = """
[[coverage]]
id = "low"
title = "Low"
about = "screens"
says = "Wait."
[coverage.off]
no-talk = "Nobody calls it."
unmatched = "Nobody is left."
"""


def coverage(name: str, about: str, *off: str) -> Coverage:
    return Coverage(name, name.title(), about, "", dict.fromkeys(off, f"not in {name}"))


def test_the_shipped_file_is_whole() -> None:
    """Every shipped coverage reads, names known breakdowns with a reason, and shadows no other's id."""
    text = (drill_library() / "coverages.toml").read_text("utf-8")
    found, problems = read_coverages(text, kit.shipped())
    assert problems == []
    assert len(found) == text.count("[[coverage]]")
    assert {"show", "drop", "switch", "zone", "no-box-out"} <= {one.id for one in found}
    assert all(one.says and one.about and one.title for one in found)


def test_answers_to_one_thing_leave_out_what_all_leave_out() -> None:
    """Played beside another answer, what one still needs stays counted; other answers add up."""
    low, high = coverage("low", "screens", "no-talk", "unmatched"), coverage("high", "screens", "unmatched")
    wild = coverage("wild", "rebound", "no-box-out")
    assert set(left_out([low])) == {"no-talk", "unmatched"}
    assert set(left_out([low, high])) == {"unmatched"}
    assert left_out([low, high, wild])["no-box-out"] == ("Wild", "not in wild")
    assert left_out([]) == {}


def test_reading() -> None:
    """A coverage reads with its reasons."""
    (found,), problems = read_coverages(TEXT, kit.small())
    assert problems == []
    assert found.off == {"no-talk": "Nobody calls it.", "unmatched": "Nobody is left."}


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("no-talk =", "no-tlk =", "unknown breakdown 'no-tlk'"),
        ('"Nobody calls it."', "true", "must give a reason"),
        ('says = "Wait."', 'sais = "Wait."', "sais"),
        ("[[coverage]]", "[[coverage]", "not valid TOML"),
    ],
)
def test_faults_are_told(was: str, now: str, said: str) -> None:
    """A faulty coverage is left out and each fault named with its file."""
    found, problems = read_coverages(TEXT.replace(was, now), kit.small())
    assert found == ()
    assert any(said in one.what and one.file == "coverages.toml" for one in problems)


def test_one_id_stands_once() -> None:
    """The second of two coverages of one id is left out and named."""
    found, problems = read_coverages(TEXT + TEXT, kit.small())
    assert len(found) == 1
    assert any("twice" in one.what for one in problems)
