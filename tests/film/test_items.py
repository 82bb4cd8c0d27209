"""The notes of a line as items."""

from __future__ import annotations

import pytest

from planner.film.items import Item, read_items
from planner.film.wording import Lexicon


def kinds(lexicon: Lexicon, text: str) -> list[tuple[str, str, int]]:
    return [(one.kind, one.text, one.value) for one in read_items(text, lexicon) if one.kind != "word"]


@pytest.mark.parametrize(
    "text", ["scored 2", "made 2", "gave up 2", "for 2", "2 made", "scored two", "and-1 2", "putback for 2"]
)
def test_points_after_words(lexicon: Lexicon, text: str) -> None:
    """A number beside a word of scoring is points."""
    assert ("points", 2) in [(kind, value) for kind, _, value in kinds(lexicon, text)]


@pytest.mark.parametrize(
    "text", ["open 3", "corner 3", "3 seconds", "their 33", "beaten by 11", "vs 12", "3 passes"]
)
def test_numbers_that_are_no_players(lexicon: Lexicon, text: str) -> None:
    """Kinds of shot, counted things and opponents are neither players nor points."""
    assert not [one for one in kinds(lexicon, text) if one[0] in ("number", "jersey", "points")]


def test_points_before_a_breakdown_that_starts_with_a_counted_word(lexicon: Lexicon) -> None:
    """In ``2 ball-not-stopped`` the number stays a number: the word behind it belongs to the breakdown."""
    assert kinds(lexicon, "2 ball-not-stopped") == [("number", "2", 2), ("breakdown", "ball-not-stopped", 1)]


def test_a_phrase_with_a_comma(lexicon: Lexicon) -> None:
    """A title that holds a comma is one breakdown; a comma between two breakdowns parts them."""
    assert kinds(lexicon, "Boxed out, did not pursue") == [("breakdown", "no-pursuit", 0)]
    assert [one[1] for one in kinds(lexicon, "late, no tag") if one[0] == "breakdown"] == ["no-tag"]


def test_leading_zeros(lexicon: Lexicon) -> None:
    """04 is player 4, 00 and 0 are themselves."""
    assert [one[1] for one in kinds(lexicon, "#04 #00 #0")] == ["4", "00", "0"]


def test_arrows_and_pluses_before_players(lexicon: Lexicon) -> None:
    """An arrow or plus before a jersey is no points, before a small number at the end it is."""
    line = read_items("nbo 20 → brick → 41 reb → 0", lexicon)
    assert [one.value for one in line if one.kind == "points"] == [0]
    assert [one.text for one in line if one.kind == "number"] == ["20", "41"]
    line = read_items("32 flat show + 5 dies on the pick → 1 dribble → 2", lexicon)
    assert [one.value for one in line if one.kind == "points"] == [2]
    assert {"32", "5"} <= {one.text for one in line if one.kind == "number"}
    assert [one.text for one in read_items("jb 12+44", lexicon) if one.kind == "number"] == ["12", "44"]


def test_more_numbers_that_are_no_players(lexicon: Lexicon) -> None:
    """All five, who is excepted and points with their reason are no players; the first of a pair is one."""
    assert not [one for one in read_items("all 5 in stance", lexicon) if one.kind == "number"]
    assert not [one for one in read_items("everybody walks except 8", lexicon) if one.kind == "number"]
    assert Item("points", "", 0) in read_items("no box out, 0 cause he travelled", lexicon)
    line = read_items("switch miss 3/24", lexicon)
    assert [one.text for one in line if one.kind == "number"] == ["3", "24"]
