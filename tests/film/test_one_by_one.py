"""Film told in one breath, cut where the hand says the next one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.film.one_by_one import one_by_one
from tests.film.conftest import Read

SPOKEN = (
    "right just our end then first one eleven gives up the middle and nobody rotates two points"
    " next one good talking all round no score next one thirty doesn't box out two points"
    " next one nine no sorry it was ten ten late on the closeout three points"
    " next one they walk no score last one thirty no box out again two points"
    " and that's it so that was thirty twice I reckon"
)
LETTER = """\
The first trip was ours, they got nothing. On the second 11 was beaten off the dribble; two. The third was a \
late closeout by 30, and it was three. On the fourth they travelled, no score.

What I said in between stays there.

The fifth trip saw 11 ball watching, and it cost us two. On the next trip 30 did not box out, two more. \
On the last trip of the game 14 did not tag the roller, two points.
"""


def test_next_one_inside_a_line(read: Read) -> None:
    """Each ``next one`` opens a possession, what comes before the first or after the last is none."""
    intake = read(SPOKEN)
    assert intake.possessions == 6
    assert [one.points for one in intake.trips] == [2, 0, 2, 3, 0, 2]
    assert [(one.possession, one.breakdown, one.players) for one in intake.sightings] == [
        (1, "gave-middle", ("11",)),
        (1, "no-rotation", ()),
        (3, "no-box-out", ("30",)),
        (4, "late-closeout", ("10",)),
        (6, "no-box-out", ("30",)),
    ]


def test_a_letter_is_cut_at_its_ordinals(read: Read) -> None:
    """``On the third ...`` opens a possession where paragraphs hold several; other paragraphs are none."""
    intake = read(LETTER)
    assert intake.possessions == 7
    assert [one.points for one in intake.trips] == [0, 2, 3, 0, 2, 2, 2]
    assert [(one.possession, one.breakdown, one.players) for one in intake.sightings] == [
        (2, "blown-by", ("11",)),
        (3, "late-closeout", ("30",)),
        (5, "ball-watching", ("11",)),
        (6, "no-box-out", ("30",)),
        (7, "no-tag", ("14",)),
    ]


def test_going_back_to_the_clip_before(read: Read) -> None:
    """What is said on going back to the clip before belongs to that clip."""
    told = SPOKEN.replace(
        "last one", "and going back to the clip before this one twelve had no ball pressure last one"
    )
    assert (4, "no-pressure", ("12",)) in [
        (one.possession, one.breakdown, one.players) for one in read(told).sightings
    ]


def test_one_possession_a_line_is_left() -> None:
    """Lines that each tell one possession are not touched."""
    lines = ["next one 12 beat, two points", "next one stop", "the next one in the corner went in", ""] * 4
    assert one_by_one(lines) == (lines, list(range(16)))


@given(st.lists(st.text(max_size=400), max_size=12))
def test_any_text_keeps_its_lines(lines: list[str]) -> None:
    """Whatever is written, parts come in the order of their lines, and each line has one."""
    parts, owners = one_by_one(lines)
    assert len(parts) == len(owners)
    assert owners == sorted(owners)
    assert all(0 <= one < len(lines) for one in owners)
