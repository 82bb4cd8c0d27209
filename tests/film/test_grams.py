"""Features of talk."""

from __future__ import annotations

from planner.film.grams import about, said
from planner.film.phrases import Speech

SPEECH = Speech(
    forms={"boxed": "box"},
    heard={},
    classes={"man": (("guy",), ("big", "fella"))},
    fillers=frozenset({"the", "uh"}),
    barriers=frozenset(),
)


def test_what_talk_is_about() -> None:
    """Fillers are left out, forms are one, classes are named, pairs skip fillers, a no reaches on."""
    grams = about(["nobody", "uh", "boxed", "the", "guy"], SPEECH)
    assert grams.single == [["NO", "'nobody"], [], ["box", "'boxed"], [], ["guy", "'guy", "@man"]]
    assert grams.pair == [[], [], ["NO_box", "NO>box"], [], ["box_guy", "NO>guy"]]


def test_how_it_is_said() -> None:
    """The very words are kept beside their base forms, fillers too."""
    grams = said(["the", "boxed"], SPEECH)
    assert grams.single[1] == ["'boxed", "box"]
    assert grams.pair == [[], ["'the_boxed", "the_box"]]
