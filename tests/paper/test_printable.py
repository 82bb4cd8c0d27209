"""Text made fit for paper."""

from __future__ import annotations

import datetime as dt
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.paper.printable import day_in_words, printable, sentence, shortened, without_breaks


@given(st.text(max_size=400))
def test_printable_text_has_nothing_hidden_and_no_endless_word(raw: str) -> None:
    """No control or format character but joiners and break points; no run of more than 26 between breaks."""
    out = printable(raw)
    left = {char for char in out if unicodedata.category(char) in {"Cc", "Cf", "Cs", "Co"}}
    assert left <= set("\u200b\u200c\u200d")
    for run in out.replace("\u200b", " ").split(" "):
        letters = [char for char in run if not unicodedata.category(char).startswith("M")]
        assert len([char for char in letters if char not in "\u200c\u200d"]) <= 26


@given(st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=300))
def test_break_points_come_out_again(raw: str) -> None:
    """Plain text is the same once the break points are taken out."""
    assert without_breaks(printable(raw, 400)) == raw


def test_piles_of_marks_are_cut_to_three() -> None:
    """A letter keeps at most three marks above or below."""
    assert len(printable("x" + "\u0323" * 50)) <= 4


def test_a_day_is_named_in_words() -> None:
    """3 December 2026 is a Thursday (ISO 8601: 2026-W49-4)."""
    assert day_in_words(dt.date(2026, 12, 3)) == "Thursday 3 December 2026"
    assert dt.date(2026, 12, 3).isocalendar()[:] == (2026, 49, 4)


def test_a_sentence_ends_once() -> None:
    """A full stop is added unless a mark stands there already."""
    assert [sentence(one) for one in ("Go", "Go!", "Go.", "", "Cut…")] == ["Go.", "Go!", "Go.", "", "Cut…"]


@pytest.mark.parametrize(
    ("text", "limit", "left"),
    [
        ("Short enough.", 40, "Short enough."),
        ("Mats are down first. Nobody stands behind the baseline at any time.", 40, "Mats are down first."),
        (
            "Running bodies meet here: contact chest to forearm, a knee or shoulder is out.",
            60,
            "Running bodies meet here: contact chest to forearm",
        ),
        ("one two three four five six seven eight nine", 20, "one two three four"),
    ],
)
def test_a_long_text_ends_where_a_thought_ends(text: str, limit: int, left: str) -> None:
    """What is too long is cut after a sentence, else at a mark, else between words."""
    assert shortened(text, limit) == left


@given(st.text(max_size=400), st.integers(5, 200))
def test_shortened_text_fits(text: str, limit: int) -> None:
    """Whatever the text, no more than the limit is left, break marks aside."""
    assert len(without_breaks(shortened(text, limit))) <= limit
