from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.screens.widgets.clock import BLOCK, SHAPES, big_text


def test_every_sign_has_five_rows_of_one_width_and_is_told_apart() -> None:
    """No two signs look alike."""
    assert {len(rows) for rows in SHAPES.values()} == {5}
    assert all(len({len(row) for row in rows}) == 1 for rows in SHAPES.values())
    assert len(set(SHAPES.values())) == len(SHAPES)


def test_a_time_is_drawn_with_blocks() -> None:
    """At the smallest size a one is a stroke with a foot."""
    assert big_text("1", 6, 5).splitlines() == ["  ██", "████", "  ██", "  ██", "██████"]


@given(st.from_regex(r"\+?[0-9]{1,3}:[0-5][0-9]", fullmatch=True), st.integers(1, 250), st.integers(1, 80))
def test_the_clock_is_never_larger_than_its_room(time: str, width: int, height: int) -> None:
    """Drawn or, where there is no room for that, as plain text, it fits wherever the text itself fits."""
    lines = big_text(time, width, height).splitlines()
    assert len(lines) <= max(1, height)
    assert max(map(len, lines)) <= max(width, len(time))
    assert BLOCK in "".join(lines) or lines == [time]


def test_more_room_makes_it_larger() -> None:
    """On a wide screen the digits are twice as high."""
    small, large = big_text("12:34", 40, 5), big_text("12:34", 76, 10)
    assert (small.count("\n"), large.count("\n")) == (4, 9)
