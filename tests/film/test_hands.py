"""Ways of writing a whole sheet: paragraphs, minus signs, names in a sentence, what is struck through."""

from __future__ import annotations

from tests.film.conftest import Read

PROSE = """Names for whoever reads this: Orvan is 8, Dace is 5, Mossmer is 31.

They come down and Orvan gets beaten off the dribble, and there is no help at the rim. Two points for them.

Then a stop, at last, with everybody in the gaps and talking to one another. No points on this one.

Same play on the right side of the floor, and Dace is late on the closeout again. Three points for them.

Same play on the right side of the floor, and Dace is late on the closeout again. Three points for them.

Next time Mossmer does not box out, he only watches, and the ball is tipped in. Two points for them.

After our timeout they miss a hard shot over a hand, and we get the rebound. No points for them here.

The half ends with Dace reaching in far from the basket, in the bonus, one of two. One point for them."""


def test_a_paragraph_is_a_possession(read: Read) -> None:
    """Long lines apart are possessions each, one pasted twice counts once, names are jerseys."""
    made = read(PROSE)
    assert [one.points for one in made.trips] == [2, 0, 3, 2, 0, 1]
    assert {(one.possession, one.breakdown, one.players) for one in made.sightings} >= {
        (1, "blown-by", ("8",)),
        (3, "late-closeout", ("5",)),
        (4, "no-box-out", ("31",)),
        (6, "reach-foul", ("5",)),
    }


def test_points_given_up_with_a_minus(read: Read) -> None:
    """Where a hand writes what was given up with a minus, -2 is two points."""
    made = read("1. 12 no box out -2\n2. stop 0\n3. 5 late closeout -3\n4. 8 no tag -2\n5. stop 0\n")
    assert [one.points for one in made.trips] == [2, 0, 3, 2, 0]
    assert made.unclear == ()


def test_points_said_in_words(read: Read) -> None:
    """``three points``, ``for nothing`` and a number that is a sentence are points."""
    made = read(
        "1. 12 no box out, three points\n2. stop for nothing\n3. lob. 2. And 17 was ball watching\n4. stop"
    )
    assert [one.points for one in made.trips] == [3, 0, 2, 0]
    assert [(one.possession, one.players) for one in made.sightings] == [(1, ("12",)), (3, ("17",))]


def test_what_is_struck_through_is_gone(read: Read) -> None:
    """A mistake struck through is not read, what stands beside it is."""
    made = read("1. 12 no box out ~~and 4 late closeout~~, 2 pts\n2. stop\n3. stop\n4. stop")
    assert [one.breakdown for one in made.sightings] == ["no-box-out"]


def test_counts_with_remarks_among_them(read: Read) -> None:
    """A sheet that counts may hold a remark with a clock and ranks in front, and counts all the same."""
    made = read(
        "1. no box out 9\n2. late closeout 7 (again!)\n3. no talk 6\nwatched until 10:40 pm\n"
        "4. no tag 5\n5. back cut 2\n6. ball watching 2\n7. sealed 1\n"
    )
    assert made.trips == ()
    assert sum(one.count for one in made.sightings) == 32
