from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.court.diagram import MAX_FRAMES, MAX_MOVES, read_diagrams
from planner.court.geometry import Court

from .conftest import BREAK, SCREEN, SHELL, Reader
from .kit import COURTS, tables


def test_positions_carry_over(read: Reader) -> None:
    """A frame starts where the one before ended: places and ball."""
    (first, second), problems = read(SHELL)

    assert problems == []
    assert second.players == first.ends
    assert second.balls == first.end_balls == ("2",)
    assert second.caption == "Skip"


def test_given_again_wins(read: Reader) -> None:
    """A place given in a later frame replaces the one carried over; "off" takes a player away."""
    text = SHELL.replace(
        'caption = "Skip"', 'caption = "Skip"\nplayers = { 3 = "left wing", x1 = "off" }\nball = "2"'
    )
    (first, second), problems = read(text)

    assert problems == []
    assert second.players["3"] != first.ends["3"]
    assert "x1" in first.ends
    assert "x1" not in second.players


def test_defenders_may_be_named_before_those_they_guard(read: Reader) -> None:
    """The order in which players are written does not matter, whoever hangs on whom."""
    one, problems = read(
        '[[diagram]]\nball = "1"\n'
        'players = { x2 = "deny", x1 = "on", 2 = "right wing", 1 = "near 4", 4 = "top" }'
    )
    two, _ = read(
        '[[diagram]]\nball = "1"\n'
        'players = { 4 = "top", 1 = "near 4", 2 = "right wing", x1 = "on", x2 = "deny" }'
    )
    assert problems == []
    assert one[0].players == two[0].players


def test_circles_are_refused(read: Reader) -> None:
    """Two players each placed by the other cannot be placed; the rest is kept."""
    frames, problems = read('[[diagram]]\nplayers = { 1 = "near 2", 2 = "near 1", 3 = "top" }')

    assert sorted(frames[0].players) == ["3"]
    assert len(problems) == 2


def test_full_court_attacks_the_far_basket(read: Reader) -> None:
    """A full court means transition: the defence guards the far basket unless the file says near."""
    (frame,), problems = read(BREAK)
    assert problems == []
    assert frame.basket == frame.court.across(frame.court.basket)

    (near,), _ = read(BREAK.replace('court = "full"', 'court = "full"\nattack = "near"'))
    assert near.basket == near.court.basket


def test_unused_floor_is_not_drawn(read: Reader) -> None:
    """A half court with nothing beyond the shooters is cut off there, in all frames alike."""
    frames, _ = read(SHELL)
    assert {one.length for one in frames} == {34.0}

    deep, _ = read(SHELL.replace('ball = "1"', 'ball = "1"\ncones = ["half court"]'))
    assert {one.length for one in deep} == {47.0}


def test_several_balls_and_loose_ones(read: Reader) -> None:
    """More than one player may have a ball, and a ball may lie on the floor."""
    (frame,), problems = read(
        '[[diagram]]\nplayers = { 1 = "top", C = "left sideline" }\nball = ["1", "C", "right elbow"]\n'
        'moves = ["C passes to 1", "1 passes to C"]'
    )
    assert problems == []
    assert frame.balls == ("1", "C", (6.0, 19.0))
    assert frame.end_balls == ("C", "1", (6.0, 19.0))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('"1 passes to 2"', '"1 passes to 9"'), "'1 passes to 9': 9 is not on the floor"),
        (('"right slot"', '"rigth slot"'), "did you mean 'right slot'"),
        (('ball = "1"', 'ball = "7"'), "the ball is with 7, who is not on the floor"),
        (('ball = "1"', "ball = true"), "ball must be a player, a place or [x, y]"),
        (("x1 = ", "y1 = "), "'y1' is no player"),
        (("x1 = ", "6a = "), "'6a' is no player"),
        (('"right slot"', "[1, 2, 3]"), "the place of 1 must be words or [x, y] in feet"),
        (('"right slot"', "[1, nan]"), "the place of 1 must be words or [x, y] in feet"),
        (('"right slot"', "[1, 1e300]"), "the place of 1 must be words or [x, y] in feet"),
        (('caption = "Shell"', 'title = "Shell"'), "unknown field 'title'"),
        (('caption = "Shell"', "caption = 3"), "the caption must be text"),
        (('caption = "Shell"', 'court = "third"'), "court must be half or full"),
        (('caption = "Shell"', 'cones = "top"'), "cones must be a list of places"),
        (('caption = "Shell"', 'cones = ["topp"]'), "cones: no place called 'topp'"),
        (('caption = "Shell"', "waiting = [33]"), "waiting: no place called '33'"),
    ],
)
def test_faults_have_a_line_and_spare_the_rest(read: Reader, change: tuple[str, str], said: str) -> None:
    """Each fault names file, line and reason, and does not hide the frames that can be read."""
    frames, problems = read(SHELL.replace(*change, 1))

    found = [one for one in problems if said in one.what]
    assert found, problems
    assert found[0].file == "drill.toml"
    assert found[0].line is not None
    assert len(frames) == 2


def test_the_line_is_the_right_one(read: Reader) -> None:
    """A wrong move is reported at the line it stands on."""
    text = SHELL.replace("2 skips to 3", "2 skips to the mooon")
    _, problems = read(text)

    assert "mooon" in text.splitlines()[(problems[0].line or 0) - 1]
    assert problems[0].what.startswith("diagram 2: '2 skips to the mooon': no place called 'mooon'")


def test_wrong_shapes(college: Court) -> None:
    """What is no list of tables, or holds too much, is said so."""
    for rows in ("top", {"players": 3}, [3]):
        frames, problems = read_diagrams("a", rows, college)
        assert (frames, len(problems)) == ((), 1)
    frames, problems = read_diagrams("a", [{"players": {"1": "top"}}] * 9, college)
    assert len(frames) == MAX_FRAMES
    assert "more than 6 diagrams" in problems[0].what
    row: dict[str, Any] = {"players": {"1": "top"}, "moves": ["1 cuts to the rim"] * 20}
    frames, problems = read_diagrams("a", [row], college)
    assert len(frames[0].moves) == MAX_MOVES
    for bad in ({"players": []}, {"players": {"1": "top"}, "moves": "1 cuts"}, {}):
        assert read_diagrams("a", [bad], college)[1]


def test_outside_text_is_cleaned(read: Reader) -> None:
    """Escapes and direction marks from outside never reach a caption, a place or a sentence."""
    (frame,), problems = read(
        '[[diagram]]\ncaption = "A\\u001b[31m\\u202eB"\n'
        'players = { 1 = "top\\u202e" }\nmoves = ["1 cuts\\u0007 to the rim"]'
    )
    assert problems == []
    assert frame.caption == "AB"
    assert frame.places["1"] == "top"
    assert frame.moves[0].said == "1 cuts to the rim"


_ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
_ROW = st.fixed_dictionaries(
    {},
    optional={
        "court": _ANY,
        "caption": _ANY,
        "players": st.dictionaries(st.sampled_from(["1", "x1", "C", "z"]), _ANY) | _ANY,
        "ball": _ANY,
        "moves": st.lists(st.text(max_size=30) | st.sampled_from(["1 passes to x1", "x1 closes out"])) | _ANY,
        "cones": _ANY,
        "attack": _ANY,
    },
)


@given(st.lists(_ROW, max_size=3) | _ANY)
@settings(max_examples=150, deadline=None)
def test_no_table_breaks_the_reader(rows: object) -> None:
    """Whatever TOML can hold, the reader answers with frames and problems and never raises."""
    frames, problems = read_diagrams("any.toml", rows, COURTS[0], "text")
    assert all(one.file == "any.toml" and one.what for one in problems)
    assert all(set(one.ends) == set(one.players) for one in frames)


@given(tables())
@settings(max_examples=80, deadline=None)
def test_accounts_of_players_and_balls(rows: list[dict[str, Any]]) -> None:
    """No move makes or loses a player or a ball, and whoever holds a ball is on the floor."""
    for court in COURTS:
        frames, _ = read_diagrams("random.toml", rows, court)
        for before, after in pairwise(frames):
            assert before.ends == after.players
        for frame in frames:
            assert set(frame.ends) == set(frame.players)
            assert len(frame.end_balls) == len(frame.balls)
            holders = [one for one in frame.end_balls if isinstance(one, str)]
            assert set(holders) <= set(frame.players)
            assert len(set(holders)) == len(holders)


def test_screen_text_reads(read: Reader) -> None:
    """The ball-screen example has no fault on any court."""
    for court in COURTS:
        assert read(SCREEN, court)[1] == []
