"""Digits and letters as pen strokes, so that a diagram needs no typeface."""

from __future__ import annotations

Stroke = tuple[str, tuple[float, ...]]
"""A path command (M, L or C) with its coordinates; the box is one unit high, y grows downwards."""

_PATHS = {
    "1": "M .10 .22 L .36 0 L .36 1",
    "2": "M .04 .22 C .06 .06 .20 0 .31 0 C .50 0 .60 .12 .60 .27 C .60 .42 .50 .52 .38 .64 L .03 1 L .63 1",
    "3": "M .05 .12 C .12 .03 .22 0 .31 0 C .48 0 .58 .10 .58 .24 C .58 .38 .47 .46 .26 .46"
    " C .48 .46 .62 .56 .62 .73 C .62 .90 .48 1 .30 1 C .18 1 .08 .96 .02 .87",
    "4": "M .46 1 L .46 0 L 0 .70 L .64 .70",
    "5": "M .57 0 L .12 0 L .08 .44 C .15 .39 .22 .37 .31 .37 C .50 .37 .62 .50 .62 .68"
    " C .62 .88 .48 1 .29 1 C .17 1 .07 .96 .01 .88",
    "6": "M .55 .08 C .48 .02 .41 0 .34 0 C .14 0 .03 .20 .03 .54 C .03 .86 .14 1 .33 1"
    " C .50 1 .61 .88 .61 .69 C .61 .51 .50 .40 .34 .40 C .20 .40 .08 .48 .03 .62",
    "7": "M .02 0 L .62 0 L .24 1",
    "8": "M .32 .46 C .16 .46 .07 .36 .07 .23 C .07 .10 .17 0 .32 0 C .47 0 .57 .10 .57 .23"
    " C .57 .36 .48 .46 .32 .46 C .14 .46 .02 .58 .02 .73 C .02 .89 .14 1 .32 1"
    " C .50 1 .62 .89 .62 .73 C .62 .58 .50 .46 .32 .46",
    "9": "M .09 .92 C .16 .98 .23 1 .30 1 C .50 1 .61 .80 .61 .46 C .61 .14 .50 0 .31 0"
    " C .14 0 .03 .12 .03 .31 C .03 .49 .14 .60 .30 .60 C .44 .60 .56 .52 .61 .38",
    "x": "M 0 .38 L .50 1 M .50 .38 L 0 1",
    "C": "M .60 .16 C .54 .06 .44 0 .34 0 C .14 0 .02 .20 .02 .50"
    " C .02 .80 .14 1 .34 1 C .44 1 .54 .94 .60 .84",
}
WIDTHS = {"1": 0.40, "x": 0.50} | dict.fromkeys("23456789C", 0.63)
"""How wide each glyph is, in parts of its height."""

GAP = 0.24
"""Space between two glyphs, in parts of their height."""


def _parsed(path: str) -> tuple[Stroke, ...]:
    strokes: list[Stroke] = []
    numbers: list[float] = []
    command = ""
    for word in [*path.split(), "M"]:
        if word in {"M", "L", "C"}:
            if numbers:
                strokes.append((command, tuple(numbers)))
            command, numbers = word, []
        else:
            numbers.append(float(word))
    return tuple(strokes)


GLYPHS = {name: _parsed(path) for name, path in _PATHS.items()}


def word_width(word: str) -> float:
    """Return how wide a word is, in parts of its height."""
    return sum(WIDTHS[one] for one in word) + GAP * (len(word) - 1)
