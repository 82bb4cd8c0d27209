"""What a run of talk looks like to the learned weights: words and pairs of words, at the place they end.

Two views. ``about`` leaves fillers out and takes every form of a word as one, for what talk is about;
``said`` keeps the very words, for how it is said (a charge, praise, a condition). Each place holds single
features and pairs apart, because a pair counts only where both its words lie in a span.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.film.phrases import Speech
from planner.film.spoken import PLAYER

NO = "NO"
NEGATIONS = frozenset(
    {
        *(
            "no",
            "not",
            "never",
            "nobody",
            "none",
            "nothing",
            "dont",
            "didnt",
            "doesnt",
            "isnt",
            "wasnt",
            "arent",
        ),
        *("werent", "cant", "couldnt", "wont", "wouldnt", "havent", "hasnt", "aint", "without", "nowhere"),
        *("nor", "neither"),
    }
)
_KEPT = frozenset({"all", "own", "there", "still", "right", "straight", "again", "little", "both", "too"})
"""Fillers of phrases that say something all the same."""
_DENIED = 4
"""Words after a "no" that it may be about."""


class Grams(NamedTuple):
    """Features by place: ``single`` of the word itself, ``pair`` with the word before it."""

    single: list[list[str]]
    pair: list[list[str]]


def about(words: Sequence[str], speech: Speech) -> Grams:
    """Return what talk is about: words without fillers, base forms, classes, pairs, denials."""
    single: list[list[str]] = [[] for _ in words]
    pair: list[list[str]] = [[] for _ in words]
    before: list[str] = []
    for at, word in enumerate(words):
        base = PLAYER if word == PLAYER else speech.base(word)
        if base in speech.fillers and base not in _KEPT:
            continue
        shown = NO if word in NEGATIONS else base
        single[at] = [shown, f"'{word}", *(f"@{name}" for name in speech.classes_of(base))]
        if before:
            pair[at] = [f"{before[-1]}_{shown}", *(f"{NO}>{shown}" for one in before[-_DENIED:] if one == NO)]
        before.append(shown)
    return Grams(single, pair)


def said(words: Sequence[str], speech: Speech) -> Grams:
    """Return how it is said: each word, its base form, and the pairs of both."""
    bases = [NO if word in NEGATIONS else speech.base(word) for word in words]
    single = [[f"'{word}", base] for word, base in zip(words, bases, strict=True)]
    pair: list[list[str]] = [[] for _ in words]
    for at in range(1, len(words)):
        pair[at] = [f"'{words[at - 1]}_{words[at]}", f"{bases[at - 1]}_{bases[at]}"]
    return Grams(single, pair)
