from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.text import LINE_LIMIT, clean_block, clean_line, listed, plural
from tests.running import is_clean

HOSTILE = st.text(
    st.sampled_from("ab \t\n\r\x0b\x85\u2028\x1b[]0;31m\x07\\PX^_\x9b\x00\u202e\ufeff\ue000e\u0301-")
)


@given(HOSTILE | st.text())
def test_a_cleaned_line_is_one_printable_line(raw: str) -> None:
    """No control, escape, line end, private letter or turned-round writing is left; the ends are trimmed."""
    line = clean_line(raw)
    assert is_clean(line)
    assert "\n" not in line
    assert line == line.strip()
    assert not {unicodedata.category(char) for char in line} & {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}
    assert unicodedata.is_normalized("NFC", line)


@given(HOSTILE | st.text())
def test_cleaning_twice_changes_nothing_more(raw: str) -> None:
    """What is clean stays as it is, so that it does not matter where text is cleaned first."""
    once = clean_line(raw)
    assert clean_line(once) == once


@given(st.text(min_size=1), st.integers(1, 40))
def test_a_line_keeps_to_its_limit(raw: str, limit: int) -> None:
    """A line is never longer than asked, and one that was cut says so with an ellipsis."""
    line = clean_line(raw, limit)
    assert len(line) <= limit
    whole = clean_line(raw)
    if len(whole) > limit and len(raw) <= limit * 4:
        assert line.endswith("…")


@pytest.mark.parametrize(
    ("raw", "line"),
    [
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x1b]0;a new title\x07late", "late"),
        ("\x1b]8;;http://x\x1b\\link\x1b]8;;\x1b\\", "link"),
        ("\x9b31mred", "red"),
        ("a\tb\r\nc", "a b c"),
        ("abc\u202edef", "abcdef"),
        ("\ufeffbox out", "box out"),
        ("cafe\u0301", "café"),
        ("  spaced  ", "spaced"),
        ("bell\x07", "bell"),
    ],
)
def test_what_terminals_obey_is_gone(raw: str, line: str) -> None:
    """Sequences of ECMA-48 (CSI, OSC, and their 8-bit forms; from memory) go whole, words stay."""
    assert clean_line(raw) == line


def test_a_very_long_line_is_cut() -> None:
    """A line of a million letters costs no more than the limit."""
    assert len(clean_line("x" * 1_000_000)) == LINE_LIMIT


@given(HOSTILE)
def test_a_block_is_clean_line_by_line(raw: str) -> None:
    """A block keeps its lines, each of them clean."""
    block = clean_block(raw)
    assert is_clean(block)
    assert all(line == clean_line(line) for line in block.split("\n"))


def test_a_block_keeps_its_lines() -> None:
    """Line ends of any kind become line feeds."""
    assert clean_block("one\r\ntwo\rthree\n") == "one\ntwo\nthree"


def test_words_for_numbers_and_lists() -> None:
    """One is singular, everything else plural; a list ends in 'and'."""
    assert [plural(one, "drill") for one in (0, 1, 2)] == ["0 drills", "1 drill", "2 drills"]
    assert plural(2, "box", "boxes") == "2 boxes"
    assert [listed(list("abc")[:one]) for one in range(4)] == ["", "a", "a and b", "a, b and c"]
    assert listed(["a", "b"], "or") == "a or b"
