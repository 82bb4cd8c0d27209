"""Charts: what they draw, and that black stays readable on every shade."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.paper.charts import DARKEST, columns, contrast, darkness, interval, pair_of_bars, ticks

SIZE = (50.0, 4.0)
amounts = st.floats(0, 1e5, allow_nan=False)


def shapes(svg: str) -> list[ET.Element]:
    root = ET.fromstring(svg)
    assert root.get("viewBox", "").split()[:2] == ["0", "0"]
    return list(root)


def boxes(svg: str) -> list[tuple[float, float, float, float]]:
    return [
        tuple(float(one.get(key, "0")) for key in ("x", "y", "width", "height"))  # type: ignore[misc]
        for one in shapes(svg)
        if one.tag.endswith("rect")
    ]


@given(amounts, amounts)
def test_no_cell_is_darker_than_numerals_bear(value: float, top: float) -> None:
    """Every shade is at most 42 % dark, where black still has a contrast of 6; 4.5 is what text needs.

    WCAG 2.2, contrast (minimum), read at https://w3.org/WAI/WCAG22/Understanding/contrast-minimum.html
    """
    dark = darkness(value, top)
    assert 0 <= dark <= DARKEST
    assert contrast(dark) >= 6


@pytest.mark.parametrize(
    ("grey", "said"), [(1.0, 21.0), (0x76 / 255, 21 / 4.5422), (0x59 / 255, 21 / 7.0047)]
)
def test_contrast_is_the_published_one(grey: float, said: float) -> None:
    """Black on a grey has 21 divided by that grey's contrast on white: 4.5422 for 767676, 7.0047 for 595959.

    WCAG 2.2, computed; the formula read at
    http://www.mathworks.com/matlabcentral/fileexchange/24995-calculate-wcag-2-0-contrast-ratio
    """
    assert contrast(1 - grey) == pytest.approx(said, rel=1e-4)


@given(st.floats(1e-4, 1e6))
def test_a_scale_has_a_few_round_numbers(top: float) -> None:
    """From nought in equal steps of 1, 2 or 5 times a power of ten, at most five of them."""
    found = ticks(top)
    assert found[0] == 0
    assert 2 <= len(found) <= 6
    assert found[-1] <= top * (1 + 1e-6)
    step = found[1]
    assert all(one == pytest.approx(step * n, abs=step * 1e-3) for n, one in enumerate(found))
    digit = float(f"{step:e}"[:4])
    assert digit in {1.0, 2.0, 5.0}


def test_an_interval_lies_where_its_numbers_say() -> None:
    """On a scale to 10 over 50 mm, the line runs from 10 to 30 mm and the disc stands at 20 mm."""
    svg = interval(2, 4, 6, 10, SIZE, (0, 5))
    lines = [one.get("d", "") for one in shapes(svg) if one.tag.endswith("path")]
    (disc,) = [one for one in shapes(svg) if one.tag.endswith("circle")]
    assert "M10 2H30" in lines
    assert disc.get("cx") == "20"
    assert [one for one in lines if one.endswith("V4")] == ["M0 0V4", "M25 0V4"]


def test_bars_are_as_long_as_their_shares() -> None:
    """The first is black and above, the second white with an edge that stays within its length."""
    upper, lower = boxes(pair_of_bars(0.1, 0.2, 0.2, SIZE))
    assert upper[2] == 25
    assert lower[0] + lower[2] + 0.125 == pytest.approx(50)
    assert upper[1] + upper[3] < lower[1]


def test_columns_stand_on_the_floor_and_leave_out_what_is_not_known() -> None:
    """Heights go by the value; None and nought draw nothing; what was not all measured is white."""
    svg = columns([100, None, 50, 0], 100, (40, 20), (0, 50), (False, False, True, False))
    first, third = boxes(svg)
    assert (first[3], third[3]) == (20, 10)
    assert first[1] + first[3] == third[1] + third[3] == 20
    assert first[0] < 10
    assert 20 < third[0] < 30
    fills = [one.get("fill") for one in shapes(svg) if one.tag.endswith("rect")]
    assert fills == ["#000", "#fff"]


@given(st.lists(amounts | st.none(), max_size=30), amounts)
def test_nothing_is_drawn_outside(values: list[float | None], top: float) -> None:
    """Whatever the values, all columns stay inside the picture."""
    for left, above, wide, high in boxes(columns(values, top, (82, 24))):
        assert -0.01 <= left <= left + wide <= 82.01
        assert -0.01 <= above <= above + high <= 24.01


@pytest.mark.parametrize(
    "svg",
    [interval(0, 1, 2, 3, SIZE, (1,)), pair_of_bars(1, 2, 3, SIZE), columns([1, 2], 2, SIZE, (0, 1))],
)
def test_charts_hold_only_paths_circles_and_boxes(svg: str) -> None:
    """No letters, styles or scripts: every engine draws them alike."""
    assert {one.tag.split("}")[1] for one in shapes(svg)} <= {"path", "circle", "rect"}
    assert not re.search(r"style|script|href|<text", svg)
