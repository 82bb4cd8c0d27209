from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import get_args

from planner.court.frame import MoveKind
from planner.court.legend import _ACTIONS, legend, legend_text
from planner.court.sheet import CARD, THUMB


def test_every_action_is_in_the_key() -> None:
    """Every action that leaves a mark is explained; the three that end in a bar share one entry."""
    shown = {kind for kind, _, _ in _ACTIONS}
    assert set(get_args(MoveKind)) - shown == {"box-out", "trap", "stay"}


def test_entries_are_drawings_with_words() -> None:
    """Each entry is well-formed SVG whose title says what it is, and no two look alike."""
    for size in (THUMB, CARD):
        entries = legend(size)
        for one in entries:
            assert ET.fromstring(one.svg).findtext("{http://www.w3.org/2000/svg}title") == one.words
        assert len({one.svg.split("</title>")[1] for one in entries}) == len(entries)


def test_the_terminal_key_names_the_same_marks() -> None:
    """The key for the terminal has the same entries in the same order."""
    lines = legend_text().splitlines()
    assert [one[5:] for one in lines] == [one.words for one in legend()]
