"""Legends inside the sheet."""

from __future__ import annotations

from planner.film.legend import read_legend
from planner.film.wording import Lexicon


def legend(lexicon: Lexicon, *lines: str) -> tuple[dict[str, str], set[int], int]:
    read = read_legend(list(enumerate(lines, 1)), lexicon)
    return read.codes, read.lines, len(read.problems)


def test_pairs(lexicon: Lexicon) -> None:
    """``code = phrase`` is a legend wherever it stands, also several on a line or turned round."""
    assert legend(lexicon, "bo = no box out") == ({"bo": "no-box-out"}, {1}, 0)
    assert legend(lexicon, "xx = no tag, yy = late help") == ({"xx": "no-tag", "yy": "late-help"}, {1}, 0)
    assert legend(lexicon, "no tag = qq") == ({"qq": "no-tag"}, {1}, 0)


def test_told_legends(lexicon: Lexicon) -> None:
    """After ``key:`` looser pairs count, on that line or the lines below it up to a blank."""
    assert legend(lexicon, "K: lc late closeout, g good") == ({"lc": "late-closeout", "g": "clean"}, {1}, 0)
    codes, lines, _ = legend(lexicon, "Legend", "xx - no tag", "yy: late help", "", "zz: no talk")
    assert codes == {"xx": "no-tag", "yy": "late-help"}
    assert lines == {1, 2, 3}


def test_unknown_codes_are_problems(lexicon: Lexicon) -> None:
    """A told code for nothing we know is pointed out."""
    assert legend(lexicon, "key: zz = purple hippo") == ({}, {1}, 1)


def test_notes_are_no_legend(lexicon: Lexicon) -> None:
    """A possession with points behind an equals sign is no legend."""
    assert legend(lexicon, "Q1 8:42 no box out 21 = 2", "bo 21 = 2") == ({}, set(), 0)
