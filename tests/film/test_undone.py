"""Actions that a line names as lacking."""

from __future__ import annotations

import pytest

from planner.film.lexicon import Lexicon
from planner.film.undone import undone


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("the whole switch got bungled", "missed-switch"),
        ("rotation was simply nonexistent", "no-rotation"),
        ("did not trouble himself to contest", "no-contest"),
        ("our hedge today very sleepy", "late-show"),
        ("closeout rather sloppy", "late-closeout"),
        ("bump on the diver forgotten", "no-tag"),
        ("bump on him forgotten", "free-cutter"),
    ],
)
def test_what_lacks_is_named(lexicon: Lexicon, said: str, meant: str) -> None:
    """An action with a word beside it that says it was not done, or badly, is its breakdown."""
    spot = undone(said.split(), lexicon)
    assert spot is not None
    assert spot.meaning.id == meant


@pytest.mark.parametrize(
    "said",
    [
        "good switch late in the half",
        "he does not need any help",
        "not a late tag",
        "switch",
        "the switch was seen by all the people who came to the gym and it was a mess",
    ],
)
def test_what_is_done_or_not_wanted_is_left(lexicon: Lexicon, said: str) -> None:
    """Praise, two denials, help that nobody needs and words far away say nothing of an action."""
    assert undone(said.split(), lexicon) is None
