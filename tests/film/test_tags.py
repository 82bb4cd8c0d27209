"""Tags in brackets behind what is told."""

from __future__ import annotations

from planner.film.tags import without_tags
from planner.film.wording import Lexicon

LINES = [f"- 12 late closeout [{tag}], for 3" for tag in ("SHELL", "WALL", "RUN", "SHELL", "WALL", "RUN")]


def test_tags_are_taken_off(lexicon: Lexicon) -> None:
    """Words in capitals and brackets on most lines say what to drill, and go."""
    assert without_tags(LINES, lexicon) == ["- 12 late closeout, for 3"] * 6


def test_codes_and_few_tags_stay(lexicon: Lexicon) -> None:
    """A code of a breakdown in brackets stays, and so do tags that are rare."""
    coded = [line.replace("WALL", "NBO") for line in LINES]
    assert without_tags(coded, lexicon) == coded
    rare = [*LINES[:2], *["- stop"] * 9]
    assert without_tags(rare, lexicon) == rare
