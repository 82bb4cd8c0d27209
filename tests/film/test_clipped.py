"""Words clipped in a hurry and explained nowhere."""

from __future__ import annotations

import pytest

from planner.film.clipped import unclipped
from planner.film.items import read_items
from planner.film.lexicon import Lexicon


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("14 slw to rcvr", "slow-recover"),
        ("9 btn bsln", "blown-by"),
        ("no ctct on glass", "no-box-out"),
        ("lte clsout", "late-closeout"),
        ("stk on scrn 3", "died-on-screen"),
        ("hds dwn in psng lane", "hands-down"),
        ("nbdy tgd", "no-tag"),
    ],
)
def test_clipped_words_are_read_by_their_neighbours(lexicon: Lexicon, said: str, meant: str) -> None:
    """The beginnings and the consonants of words make the phrase that they make written in full."""
    assert [one.text for one in read_items(said, lexicon) if one.kind == "breakdown"] == [meant]


@pytest.mark.parametrize("said", ["jo and mrs tbw", "on ft 2/2", "p. 14 of the pdf", "ref gv them a t"])
def test_other_short_words_stay(lexicon: Lexicon, said: str) -> None:
    """Initials, free throws and pages are no clipped phrases."""
    assert not [one for one in read_items(said, lexicon) if one.kind == "breakdown"]


def test_words_in_full_are_left(lexicon: Lexicon) -> None:
    """Where nothing is clipped there is nothing to write in full."""
    assert unclipped(["slow", "back"], (), lexicon) is None
