"""Word patterns."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film.phrases import Phrases, Speech

SPEECH = Speech(
    forms={"got": "get", "gets": "get"},
    heard={"tag": (("tack",),), "roller": (("role", "her"),)},
    classes={"man": (("guy",), ("big", "fella"))},
    fillers=frozenset({"the", "uh"}),
    barriers=frozenset({"but"}),
)

PATTERNS = (
    "get beat|lost",
    "put|get ~2 body|contact",
    "tag the? roller",
    "no body",
    "@man get ~3 beat late?",
)
SAID = ["get", "beat", "lost", "put", "body", "contact", "tag", "tack", "the", "uh", "roller", "role", "her"]
SAID += ["guy", "big", "fella", "no", "but", "late", "x"]


def found(pattern: str, said: str) -> list[str]:
    phrases: Phrases[str] = Phrases(SPEECH)
    phrases.add(pattern, "yes")
    words = said.split()
    return [
        " ".join(words[hit.start : hit.end]) for hit in phrases.hits([SPEECH.base(word) for word in words])
    ]


@pytest.mark.parametrize(
    ("pattern", "said", "hits"),
    [
        ("get beat|lost", "he got beat", ["got beat"]),
        ("put ~2 body", "put a big body", ["put a big body"]),
        ("put ~1 body", "put a very big body", []),
        ("tag ~2 roller", "tag but the roller", []),
        ("tag roller", "tag uh the roller", ["tag uh the roller"]),
        ("find @man", "find the big fella", ["find the big fella"]),
        ("no box? out", "no out", ["no out"]),
        ("no tag", "no tack", ["no tack"]),
        ("no roller", "no role her", ["no role her"]),
        ("tag", "tack", []),
    ],
)
def test_patterns(pattern: str, said: str, hits: list[str]) -> None:
    """Choices, gaps, classes, fillers and mishearings match as written; a lone word is never misheard."""
    assert found(pattern, said) == hits


@pytest.mark.parametrize("pattern", ["", "~2 box", "box ~2", "box? out", "no @where"])
def test_bad_patterns_are_refused(pattern: str) -> None:
    """A pattern must start and end with a word and name a class there is."""
    with pytest.raises(ValueError, match=r"must start|no class"):
        Phrases[str](SPEECH).add(pattern, "yes")


def test_a_misheard_word_weighs_less() -> None:
    """A hit on a mishearing says less than one on the word itself."""
    phrases: Phrases[str] = Phrases(SPEECH)
    phrases.add("no tag", "yes")
    plain, misheard = phrases.hits(["no", "tag"])[0], phrases.hits(["no", "tack"])[0]
    assert misheard.weight < plain.weight == 1.0


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(SAID), max_size=90))
def test_looking_ahead_loses_nothing(said: list[str]) -> None:
    """A phrase passed over because its words do not follow is one that trying it would not have found."""
    quick: Phrases[str] = Phrases(SPEECH)
    for phrase in PATTERNS:
        quick.add(phrase, phrase)
    slow: Phrases[str] = Phrases(SPEECH)
    for first, known in quick.by_first.items():
        slow.by_first[first] = [(pattern, what, second, ()) for pattern, what, second, _ in known]
    assert quick.hits(said) == slow.hits(said)
