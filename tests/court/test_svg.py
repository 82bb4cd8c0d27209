from __future__ import annotations

import re
import time
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings

from planner.court.describe import describe
from planner.court.frame import Frame
from planner.court.glyphs import GLYPHS, WIDTHS, word_width
from planner.court.sheet import CARD, THUMB, Size
from planner.court.svg import frame_svg, number

from .conftest import BREAK, SCREEN, SHELL, Reader
from .kit import frames

SVG = "{http://www.w3.org/2000/svg}"
ALLOWED = {
    "svg": {"width", "height", "viewBox", "role"},
    "title": set(),
    "rect": {"x", "y", "width", "height", "fill"},
    "circle": {"cx", "cy", "r", "fill", "stroke", "stroke-width"},
    "path": {"d", "fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin"},
}


def parts(text: str) -> list[ET.Element]:
    return list(ET.fromstring(text))


def numbers(data: str) -> list[tuple[float, float]]:
    """Return the points a path touches: for an arc its end, for a curve its control points too."""
    points: list[tuple[float, float]] = []
    for command, rest in re.findall(r"([MLCAZ])([^MLCAZ]*)", data):
        values = [float(one) for one in re.findall(r"-?[\d.]+", rest)]
        if command == "A":
            values = values[5:]
        points += list(zip(values[::2], values[1::2], strict=True))
    return points


@given(frames())
@settings(max_examples=60, deadline=None)
def test_any_diagram_is_plain_and_inside_its_box(frame: Frame) -> None:
    """Any diagram is well-formed SVG of plain shapes, black and white, inside its box, the same twice."""
    for size in (THUMB, CARD):
        text = frame_svg(frame, size)
        root = ET.fromstring(text)
        _, _, width, height = (float(one) for one in root.attrib["viewBox"].split())
        assert width == pytest.approx(size.width)
        slack = size.head * 0.6
        for one in root.iter():
            name = one.tag.removeprefix(SVG)
            assert set(one.attrib) <= ALLOWED[name]
            for key in ("fill", "stroke"):
                assert one.attrib.get(key, "none") in {"none", "#000", "#fff"}
            for x, y in numbers(one.attrib.get("d", "")):
                assert -slack <= x <= width + slack
                assert -slack <= y <= height + slack
            if name == "circle":
                assert 0 <= float(one.attrib["cx"]) <= width
                assert 0 <= float(one.attrib["cy"]) <= height
        assert frame_svg(frame, size) == text


@pytest.mark.parametrize("size", [THUMB, CARD])
def test_court_thin_action_bold(read: Reader, size: Size) -> None:
    """Court lines are 0.13 mm and actions 0.42 mm at every size, so that cheap printing keeps both apart."""
    (frame, _), _ = read(SHELL)
    widths = [
        one.attrib["stroke-width"] for one in parts(frame_svg(frame, size)) if "stroke-width" in one.attrib
    ]

    assert widths[0] == "0.13"
    assert widths.count("0.13") == 1
    assert "0.42" in widths


def test_symbols_keep_their_paper_size(read: Reader) -> None:
    """Digits do not shrink with the court: half and full court print them alike."""
    half, full = read(SHELL)[0][0], read(BREAK)[0][0]
    circles = [
        {one.attrib["r"] for one in parts(frame_svg(frame, THUMB)) if one.tag == SVG + "circle"}
        for frame in (half, full)
    ]
    assert circles[0] & circles[1] == circles[0]


def test_only_the_holder_is_circled(read: Reader) -> None:
    """The one stroked circle stands around the player with the ball."""
    (first, second), _ = read(SHELL)
    for frame, size in ((first, CARD), (second, THUMB)):
        rings = [
            one
            for one in parts(frame_svg(frame, size))
            if one.tag == SVG + "circle" and "stroke" in one.attrib
        ]
        assert len(rings) == 1


def test_the_description_is_the_title(read: Reader) -> None:
    """The title read out by a screen reader is the frame in words, with markup characters escaped."""
    (frame,), _ = read(SCREEN.replace("[[diagram]]", '[[diagram]]\ncaption = "a < b & c"'))
    root = ET.fromstring(frame_svg(frame))

    assert root.findtext(SVG + "title") == describe(frame)
    assert "a < b & c" in describe(frame)


def test_restricted_arc_only_where_the_rules_have_one(read: Reader) -> None:
    """The college drawing has an arc that the school drawing lacks."""
    from .kit import COURTS

    counts = [
        parts(frame_svg(read(SHELL, court)[0][0]))[2].attrib["d"].count("A")
        for court in (COURTS[0], COURTS[1])
    ]
    assert counts[1] == counts[0] + 1


def test_numbers_are_short() -> None:
    """Coordinates have two decimals at most and no negative nought."""
    assert [number(one) for one in (1.0, 1.239, -0.001, 12.50, 0.0)] == ["1", "1.24", "0", "12.5", "0"]


def test_glyphs_fill_their_box() -> None:
    """Each glyph is one unit high (the small x lower) and as wide as it claims."""
    for name, strokes in GLYPHS.items():
        ys = [values[i] for _, values in strokes for i in range(1, len(values), 2)]
        xs = [values[i] for _, values in strokes for i in range(0, len(values), 2)]
        assert max(ys) == 1.0
        assert min(ys) == (0.38 if name == "x" else 0.0)
        assert min(xs) >= 0.0
        assert max(xs) <= WIDTHS[name] + 0.02
    assert set(GLYPHS) == set("123456789xC")
    assert word_width("x1") > word_width("1")


def test_a_drawing_takes_milliseconds(read: Reader) -> None:
    """A library of 130 drills must draw in seconds: 50 ms a picture is the ceiling."""
    (frame, _), _ = read(SHELL)
    start = time.perf_counter()
    for _ in range(5):
        frame_svg(frame, CARD)
    assert (time.perf_counter() - start) / 5 < 0.05
