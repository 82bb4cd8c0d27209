"""Which bare numbers are points."""

from __future__ import annotations

import pytest

from planner.film.items import read_items
from planner.film.points import Habits, declared, habits, score, stated
from planner.film.wording import Lexicon
from tests.film.conftest import Read


def points(lexicon: Lexicon, *lines: str) -> list[int | str | None]:
    items = [read_items(line, lexicon) for line in lines]
    habit = habits(items)
    scored = [score(line, habit) for line in items]
    return [one.fault or one.points for one in scored]


def test_bare_points_first(lexicon: Lexicon) -> None:
    """In a sheet that writes points first, the first bare number is points."""
    assert points(lexicon, "2 bo 21", "0 stop", "3 lc 4") == [2, 0, 3]


def test_bare_points_last(lexicon: Lexicon) -> None:
    """In a sheet that writes points last, a last number set apart is points."""
    assert points(lexicon, "bo 21, 2", "stop / 0", "21 lc, 3", "7 no tag. 2") == [2, 0, 3, 2]


def test_players_first(lexicon: Lexicon) -> None:
    """Where players stand first, a small first number is a player too."""
    assert points(lexicon, "21 no box out", "14 late closeout", "33 no tag", "3 fly by") == [None] * 4


def test_brackets_follow_the_hand(lexicon: Lexicon) -> None:
    """(2) is points, unless the sheet's brackets hold players."""
    assert points(lexicon, "bo 21 (2)", "lc (3)") == [2, 3]
    assert points(lexicon, "bo (21) +2", "lc (4) +3", "no tag (2) +2") == [2, 3, 2]


@pytest.mark.parametrize(
    "text", ["7 no-box-out 21", "-2 bo", "+7 bo", "12 pts bo", "scored 21", "(-1) bo", "21"]
)
def test_points_that_cannot_be(lexicon: Lexicon, text: str) -> None:
    """Negative points and more than five are a fault."""
    assert "cannot be" in str(points(lexicon, text)[0])


def test_points_said_twice(lexicon: Lexicon) -> None:
    """Two different numbers of points are a fault, the same one twice is not."""
    assert points(lexicon, "bo +2, scored 2") == [2]
    assert points(lexicon, "bo +2, scored 3") == ["points said twice: 2 and 3"]


def test_stops_imply_nothing_scored(lexicon: Lexicon) -> None:
    """A stop or a miss is 0 points, unless points are written; clean says nothing about points."""
    assert points(lexicon, "stop", "they missed", "clean", "missed, bo, +2") == [0, 0, None, 2]


def test_a_comment_declares_the_columns(lexicon: Lexicon) -> None:
    """A comment that names the columns settles it: a first bare number is points, even 4; 7 cannot be."""
    habit = declared(["# period clock points breakdowns"])
    assert habit is not None
    assert score(read_items("4 bo", lexicon), habit).points == 4
    assert score(read_items("7 bo", lexicon), habit).fault
    assert declared(["# notes on points"]) is None


def test_a_key_states_where_points_stand(lexicon: Lexicon) -> None:
    """``last number = points`` in a sheet's key settles what a last number is."""
    line = read_items("no box out 21 lc 4 2", lexicon)
    assert score(line, Habits()).points is None
    assert score(line, stated(Habits(), [("last number", "points given up")])).points == 2
    assert stated(Habits(), [("number in front", "who")]) == Habits()


def test_free_throws_are_part_of_the_points(lexicon: Lexicon) -> None:
    """``1 of 2`` beside the points of a possession contradicts nothing."""
    assert points(lexicon, "+3 reach foul 21 (1 of 1)", "+1 reach foul 4 (1 of 2)") == [3, 1]
    assert points(lexicon, "0 stop", "2 bo 21", "0 then +2 bo 4", "3 lc 9") == [0, 2, 2, 3]


def test_a_zero_that_ends_a_line(read: Read) -> None:
    """Where nobody wears 0 a 0 that ends a line is its points; where somebody does, it may be he."""
    assert [one.points for one in read("Q1 8:42 5 no talk 0\nQ1 8:20 12 beat 2pts").trips] == [0, 2]
    made = read("Q1 8:42 no box out 0\nQ1 8:20 #0 beat 2 pts")
    assert made.sightings[0].players == ("0",)


def test_a_number_that_is_a_sentence(read: Read) -> None:
    """A small number by itself behind a full stop is points, with words behind it a player."""
    made = read("1) #9 ball watching. back cut. 2\n2) stop\n3) 4 is late on the closeout, they miss\n4) stop")
    assert [one.points for one in made.trips] == [2, 0, 0, 0]
    assert made.sightings[-1].players == ("4",)
