"""A drill's diagrams as pictures, read when asked for."""

from __future__ import annotations

from planner.desk.library import court_of
from planner.drills.library import Library
from planner.drills.pictures import frames_of, telling
from tests.drills.making import VOCABULARY, a_drill

ROWS = (
    {"players": {"1": "top", "x1": "on"}, "ball": "1", "moves": ["1 dribbles to the nail"]},
    {"moves": ["x1 slides to 1"]},
)


def test_pictures_are_read_on_the_court_asked_for() -> None:
    """The same rows stand on each court; a drill without rows, or an unknown one, has no picture."""
    library = Library(VOCABULARY, (a_drill("front"), a_drill("bare")), diagram_rows={"front": ROWS})
    frames = frames_of(library, "front", court_of("college"))
    assert [one.court for one in frames] == [court_of("college")] * 2
    assert frames_of(library, "bare", court_of("college")) == ()
    assert frames_of(library, "moon", court_of("college")) == ()


def test_what_cannot_be_drawn_is_left_out() -> None:
    """Rows that are no diagram give no picture and no crash."""
    library = Library(VOCABULARY, (a_drill("front"),), diagram_rows={"front": ({"players": 7}, {"ball": 3})})
    assert frames_of(library, "front", court_of("school")) == ()


def test_the_telling_picture_is_the_first_in_which_the_defence_acts() -> None:
    """Where the defence acts in none, the first stands for the drill; where there is none, nothing."""
    library = Library(VOCABULARY, (), diagram_rows={"both": ROWS, "one": ROWS[:1]})
    court = court_of("school")
    assert telling(frames_of(library, "both", court)) == frames_of(library, "both", court)[1]
    assert telling(frames_of(library, "one", court)) == frames_of(library, "one", court)[0]
    assert telling(()) is None
