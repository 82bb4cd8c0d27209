"""What a telephone heard or corrected wrongly."""

from __future__ import annotations

import pytest

from planner.film.items import read_items
from planner.film.wording import Lexicon


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("no box spout", "no-box-out"),
        ("ball washing", "ball-watching"),
        ("late on the clothes out", "late-closeout"),
        ("mist switch", "missed-switch"),
    ],
)
def test_misheard_phrases(lexicon: Lexicon, said: str, meant: str) -> None:
    """A phrase that sounds and looks like one breakdown only is read as that, less surely."""
    found = [one for one in read_items(said, lexicon) if one.kind == "breakdown"]
    assert [one.text for one in found] == [meant]


@pytest.mark.parametrize("said", ["we ran horns twice", "lovely weather on the bus", "coach yelled at them"])
def test_other_words_stay_other_words(lexicon: Lexicon, said: str) -> None:
    """Words that are like no phrase are left."""
    assert not [one for one in read_items(said, lexicon) if one.kind == "breakdown"]
