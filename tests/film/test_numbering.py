"""Possessions numbered in every usual form."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.numbering import numbered
from tests.film.conftest import Read

SAID = ("12 beat off the dribble", "stop", "no box out 33", "late closeout 5", "stop", "no tag 13", "stop")
POINTS = (2, 0, 2, 3, 0, 2, 0)
HEADS = (
    *("{}. ", "{}) ", "({}) ", "[{}] ", "#{} ", "#{}: ", "P{} ", "P{}: ", "p.{} ", "Poss {} ", "Poss #{} - "),
    *(
        "POSSESSION {}: ",
        "Trip {} - ",
        "Clip {}: ",
        "No. {}: ",
        "{} - ",
        "D{} ",
        "D#{} ",
        "Pos {} ",
        "{:02d}. ",
    ),
    *("**{}** ", "- **{}:** ", "{}/ ", "Attack {}: ", "Q1 #{} ", "Q1-{:02d} ", "Q1.{} ", "{} of 7: "),
    *("{} (Q1) ", "Poss {}/7: ", "#{} (7:40) ", "{}. @12:05 ", "Poss {} (Q1, 7:40) "),
)


def sightings(intake: object) -> list[tuple[int | None, str, tuple[str, ...]]]:
    return [(one.possession, one.breakdown, one.players) for one in intake.sightings]  # type: ignore[attr-defined]


EXPECTED = [
    (1, "blown-by", ("12",)),
    (3, "no-box-out", ("33",)),
    (4, "late-closeout", ("5",)),
    (6, "no-tag", ("13",)),
]


@pytest.mark.parametrize("head", HEADS)
def test_one_line_a_possession(read: Read, head: str) -> None:
    """Whatever stands before the number, the number is no player and every line is a possession."""
    lines = [
        f"{head.format(at)}{said} -> {points}"
        for at, (said, points) in enumerate(zip(SAID, POINTS, strict=True), 1)
    ]
    made = read("\n".join(lines))
    assert made.possessions == 7
    assert sightings(made) == EXPECTED
    assert tuple(one.points for one in made.trips) == POINTS


@pytest.mark.parametrize("points", ["{} pts", "({})", "- {}", "they score {}", "Result: {}"])
@pytest.mark.parametrize("bullet", ["", "- ", "   "])
@pytest.mark.parametrize("blank", [False, True])
@pytest.mark.parametrize("head", ["P{}", "Poss {}", "## Trip {}", "{}.", "#{}", "Possession {}:", "D{}"])
def test_notes_below_their_number(read: Read, head: str, bullet: str, points: str, blank: bool) -> None:
    """Notes and points on lines of their own belong to the number above, with blank lines or without."""
    lines: list[str] = []
    for at, (said, told) in enumerate(zip(SAID, POINTS, strict=True), 1):
        lines += [
            head.format(at),
            f"{bullet}{said}",
            f"{bullet}{points.format(told)}",
            *([""] if blank else []),
        ]
    made = read("\n".join(lines))
    assert made.possessions == 7
    assert sightings(made) == EXPECTED
    assert tuple(one.points for one in made.trips) == POINTS


def test_players_are_no_possessions() -> None:
    """Jerseys that do not count on from one another are left, and so are periods and clocks."""
    for lines in (
        ["#12 beat", "#33 late", "#5 no tag", "#12 no box out", "#3 fouls"],
        ["Q1", "12 beat", "Q2", "3 late", "Q3", "4 late", "Q4", "5 no tag"],
        ["7:40 12 beat", "7:02 stop", "6:31 33 late", "6:02 stop", "5:40 stop"],
    ):
        assert numbered(lines) == lines


@given(st.lists(st.text(max_size=80), max_size=30))
def test_any_lines_stay_as_many(lines: list[str]) -> None:
    """Whatever is written, as many lines come back."""
    assert len(numbered(lines)) == len(lines)


def test_numbers_behind_clocks(read: Read) -> None:
    """``7:40 2. 33 no box`` is possession 2, in each half from 1 again; no number is a player."""
    half = ("9:40 1. 12 beat off the dribble ..2", "9:02 2. stop ..0", "8:31 3. 33 no box out ..2")
    more = ("8:00 4. 5 late closeout ..3", "7:30 5. stop ..0")
    made = read("\n".join(("1st half", *half, *more, "2nd half", *half, *more)))
    assert made.possessions == 10
    assert sightings(made) == [
        (1, "blown-by", ("12",)),
        (3, "no-box-out", ("33",)),
        (4, "late-closeout", ("5",)),
        (6, "blown-by", ("12",)),
        (8, "no-box-out", ("33",)),
        (9, "late-closeout", ("5",)),
    ]


def test_players_listed_below_a_number(read: Read) -> None:
    """Jerseys that head the bullets below a possession do not number possessions."""
    made = read(
        "- 1: 12 beat off the dribble, 2 pts\n- 2: stop\n- 3: two things:\n    - 5: no ball pressure\n"
        "    - 31: no box out\n    - 2 pts\n- 4: stop\n- 5: stop\n- 6: stop\n- 7: stop"
    )
    assert made.possessions == 7
    assert sightings(made) == [
        (1, "blown-by", ("12",)),
        (3, "no-pressure", ("5",)),
        (3, "no-box-out", ("31",)),
    ]
