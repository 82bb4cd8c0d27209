"""Lines that look at a possession a second time."""

from __future__ import annotations

import pytest

from planner.film.second_looks import looked_again, number_looked_at, same_trip, without_reference
from tests.film.conftest import Read


def seen(text: str, read: Read) -> list[tuple[int | None, str, tuple[str, ...]]]:
    return [(one.possession, one.breakdown, one.players) for one in read(text).sightings]


@pytest.mark.parametrize(
    "said", ["(r) also 9 late", "rewound it", "second look, 9 late", "watched it again", "again: no talk 24"]
)
def test_a_second_look(said: str) -> None:
    """Replays, second looks and rewinding are told from what is new."""
    assert looked_again(said)


@pytest.mark.parametrize("said", ["9 late again", "runs the same set", "saw nothing wrong", "back cut on 9"])
def test_no_second_look(said: str) -> None:
    """A mistake made again is no second look."""
    assert not looked_again(said)
    assert number_looked_at(said) is None


def test_numbers_looked_at() -> None:
    """A possession pointed at by its number is known, a player's number is none."""
    assert number_looked_at("looked at number 7 a second time: 12 late") == 7
    assert number_looked_at("back to trip 14, 12 late") == 14
    assert number_looked_at("slow back #3 #10") is None
    assert number_looked_at("#12 again, no box out") is None
    assert without_reference("looked at number 7 again: 12 late") == "12 late"
    assert same_trip("same trip, 20 late")
    assert not same_trip("same play again")


def test_the_same_clock_and_number_again(read: Read) -> None:
    """A clock or number written again with a word of a second look tells more of the same possession."""
    told = "\n".join(
        (
            "00:40 12 beat off dribble +2",
            "01:10 33 no box out +2",
            "01:55 stop +0",
            "01:10 again: no talk 8 on that",
            "02:30 late closeout 4 +3",
            "02:44 same trip, 33 no box out +3",
            "03:10 stop +0",
        )
    )
    intake = read(told)
    assert intake.possessions == 5
    assert seen(told, read) == [
        (1, "blown-by", ("12",)),
        (2, "no-box-out", ("33",)),
        (2, "no-talk", ("8",)),
        (4, "late-closeout", ("4",)),
        (4, "no-box-out", ("33",)),
    ]


def test_a_slip_seen_twice_is_one(read: Read) -> None:
    """A second look charges what the first did not, and leaves the points."""
    told = "\n".join(
        (
            *("P1 12 beat 2", "P2 33 no box out 2", "P2 again, rewound: 33 no box out, 8 no talk 2"),
            *("P3 stop 0", "P4 stop 0", "P5 9 no tag 2"),
        )
    )
    assert seen(told, read) == [
        (1, "blown-by", ("12",)),
        (2, "no-box-out", ("33",)),
        (2, "no-talk", ("8",)),
        (5, "no-tag", ("9",)),
    ]


def test_a_numbered_line_that_looks_back(read: Read) -> None:
    """A line with a number of its own that looks at an earlier possession is none."""
    told = "\n".join(
        (
            "1. 12 got beat. 2 points",
            "2. Good one. 0",
            "3. 33 no box out. 2 points",
            "4. Looked at number 3 again: 8 had no ball pressure on her.",
            "5. They lost it. 0",
            "6. 9 ball watching. 3 points",
        )
    )
    intake = read(told)
    assert intake.possessions == 5
    assert [one.points for one in intake.trips] == [2, 0, 2, 0, 3]
    assert (3, "no-pressure", ("8",)) in seen(told, read)
