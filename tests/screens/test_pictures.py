"""Every place at three widths in both looks: the text as it was kept, the colours readable.

``STOPSHEET_PICTURES=write`` keeps the text anew; look at what changed before committing it.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import pytest
from textual.color import Color
from textual.filter import dim_style
from textual.pilot import Pilot

from planner.desk.desk import Desk
from planner.screens.actions import PLACES
from planner.screens.app import StopsheetApp
from tests.screens.steps import press, settle

KEPT = Path(__file__).parents[1] / "data" / "screens"
SIZES = {60: 20, 80: 24, 120: 40}
READABLE = 4.5
"""Contrast of text to its ground, WCAG 2.2 success criterion 1.4.3."""
DRAWN = "─│┌┐└┘├┤┬┴┼▀▄█▌▐░▒▓▁▂▃▅▆▇▊▎▔▏▕▉▋▍ "
"""Characters that draw lines, blocks and scroll bars; they say nothing by themselves."""


@dataclass(frozen=True)
class Picture:
    """What a screen shows: its text, and its worst contrast with the words that have it."""

    text: str
    contrast: float
    worst: str


def picture(app: StopsheetApp) -> Picture:
    """Return what is on screen now."""
    lines, contrast, worst = [], 21.0, ""
    for strip in app.screen._compositor.render_strips():
        lines.append("".join(one.text for one in strip).rstrip())
        for one in strip:
            words = one.text.strip(DRAWN)
            if not words or one.style is None or one.style.color is None or one.style.bgcolor is None:
                continue
            seen = dim_style(one.style) if one.style.dim else one.style
            ink, ground = (Color.from_rich_color(each) for each in (seen.color, seen.bgcolor))
            if (found := ratio(ink, ground)) < contrast:
                contrast, worst = found, words
    return Picture("\n".join(lines) + "\n", contrast, worst)


def ratio(ink: Color, ground: Color) -> float:
    """Return the contrast ratio of WCAG 2.2: (lighter + 0.05) / (darker + 0.05)."""
    high, low = sorted((luminance(ink), luminance(ground)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def luminance(color: Color) -> float:
    """Return the relative luminance of WCAG 2.2."""
    parts = [part / 255 for part in (color.r, color.g, color.b)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(
    ("ink", "ground", "expected"),
    [("#ffffff", "#000000", 21.0), ("#777777", "#ffffff", 4.48), ("#767676", "#ffffff", 4.54)],
)
def test_the_measure_agrees_with_known_pairs(ink: str, ground: str, expected: float) -> None:
    """Black on white is 21:1; on white #777777 just fails, #767676 just passes (worked values of WCAG)."""
    assert ratio(Color.parse(ink), Color.parse(ground)) == pytest.approx(expected, abs=0.005)


async def at_rest(pilot: Pilot[None], app: StopsheetApp) -> Picture:
    """Return the picture once widths and scroll bars have found their place."""
    before = picture(app)
    for _ in range(6):
        await settle(pilot)
        await pilot.resize_terminal(*app.size)
        await settle(pilot)
        if (now := picture(app)) == before:
            break
        before = now
    return before


async def tour(pilot: Pilot[None], app: StopsheetApp) -> dict[str, Picture]:
    """Return a picture of each place, settled."""
    found = {}
    await settle(pilot)
    for one in PLACES:
        await press(pilot, one.key)
        found[one.id] = await at_rest(pilot, app)
    return found


@pytest.mark.parametrize("columns", SIZES)
async def test_places_look_as_kept_in_both_looks(demo_desk: Desk, columns: int) -> None:
    """Dark and light say the same, letter for letter, as was kept; every word can be read in both."""
    tours = []
    for light in (False, True):
        app = StopsheetApp(demo_desk, light=light)
        async with app.run_test(size=(columns, SIZES[columns])) as pilot:
            tours.append(await tour(pilot, app))
    faults = []
    for place, dark in tours[0].items():
        light = tours[1][place]
        kept = KEPT / f"{place}-{columns}.txt"
        if os.environ.get("STOPSHEET_PICTURES") == "write":
            kept.write_text(dark.text, "utf-8")
        if light.text != dark.text:
            faults.append(f"{place}: the looks differ")
        if dark.text != kept.read_text("utf-8"):
            faults.append(f"{kept.name} is out of date; look at what changed, then keep it anew")
        faults += [
            f"{place}: '{look.worst}' at {look.contrast:.2f}"
            for look in (dark, light)
            if look.contrast < READABLE
        ]
    assert faults == []
