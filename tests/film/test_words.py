"""Notes cut into tokens."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.words import plain, tokens, words


@pytest.mark.parametrize(
    ("text", "points"),
    [("+2", 2), ("2pts", 2), ("3 pts", 3), ("1 point", 1), ("= 2", 2), ("-> 3", 3), ("→ 3", 3), ("2+1", 3)],
)
def test_marked_points_are_points(text: str, points: int) -> None:
    """Every marked form of points reads as that number of points."""
    assert [(one.kind, one.value) for one in tokens(text)] == [("points", points)]


@pytest.mark.parametrize(
    ("text", "made"), [("2/2 FT", 2), ("1 of 2 at the line", 1), ("ft 0/2", 0), ("1/2 fts", 1)]
)
def test_free_throws_count_the_made_ones(text: str, made: int) -> None:
    """Free throws made of those taken are the points."""
    assert [(one.kind, one.value) for one in tokens(text)] == [("points", made)]


@pytest.mark.parametrize("text", ["2 on 1", "3v2", "2-3 zone", "1-3-1", "and-1", "and one"])
def test_numbers_of_play_are_noise(text: str) -> None:
    """Numbers that name an advantage, a zone or an and-one are neither players nor points."""
    assert tokens(text)[0].kind == "noise"


@pytest.mark.parametrize(
    ("text", "jersey"), [("#21", "21"), ("# 4", "4"), ("no. 21", "21"), ("#00", "00"), ("#0", "0")]
)
def test_marked_jerseys_stay_text(text: str, jersey: str) -> None:
    """A marked jersey keeps its digits; 0 and 00 stay two players."""
    assert [(one.kind, one.text) for one in tokens(text)] == [("jersey", jersey)]


def test_negation_before_an_ordinal_is_no_jersey() -> None:
    """``no 2nd rotation`` is three words, not jersey 2."""
    assert words("no 2nd rotation") == ["no", "second", "rotation"]


@pytest.mark.parametrize(("text", "times"), [("x2", 2), ("x 3", 3), ("2x", 2), ("×4", 4), ("twice", 2)])
def test_times(text: str, times: int) -> None:
    """Counts of one breakdown are read in every usual form."""
    assert [(one.kind, one.value) for one in tokens(text)] == [("times", times)]


def test_compounds_and_apostrophes() -> None:
    """Hyphens join, apostrophes vanish, slashed and dotted codes are one word."""
    assert words("didn’t box-out b/o b.o.") == ["didnt", "box", "out", "bo", "bo"]


def test_digits_of_any_script_are_digits() -> None:
    """Digits of other scripts read as ours, so that nothing of a number is lost."""
    assert [one.text for one in tokens("bo ٢١")] == ["bo", "21"]


@given(st.text(max_size=200))
def test_plain_is_settled_and_tokens_never_fail(text: str) -> None:
    """Plain form applied twice changes nothing more, and any text has tokens with ASCII digits only."""
    assert plain(plain(text)) == plain(text)
    for one in tokens(text):
        assert one.kind not in ("number", "jersey") or (one.text.isascii() and one.text.isdigit())
