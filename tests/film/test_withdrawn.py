"""What a line takes back itself."""

from __future__ import annotations

import pytest

from planner.film.lexicon import Lexicon
from planner.film.withdrawn import withdrawn


@pytest.mark.parametrize(
    "notes",
    [
        "44 late closeout. i take that back",
        "44 no tag, ignore that",
        "44 ball watching - so cross that one out",
        "44 reach foul, ref's mistake",
        "44 hands down, no they're up",
    ],
)
def test_it_is_gone(lexicon: Lexicon, notes: str) -> None:
    """A mistake that its own line takes back is no longer in the notes."""
    assert not [
        one for one in lexicon.spots(withdrawn(notes, lexicon).split()) if one.meaning.kind == "breakdown"
    ]


@pytest.mark.parametrize(
    "notes", ["44 late closeout, 12 no box out", "44 did not take it back out", "7 no talk. that's on him"]
)
def test_the_rest_stays(lexicon: Lexicon, notes: str) -> None:
    """Notes that take nothing back are left as they stand."""
    assert withdrawn(notes, lexicon) == notes


def test_only_the_last_is_taken_back(lexicon: Lexicon) -> None:
    """What was named before the mistake taken back stays."""
    assert "no tag" in withdrawn("12 no tag, 44 late closeout, scratch that", lexicon)
