"""Phrases that a telephone heard or corrected wrongly: ``blow buy``, ``no box spout``, ``late close owl``.

A stretch with words that notes are not made of is compared, by its letters and by its sound (metaphone), with
every phrase of the library. It is read only where all its other words stand in the phrase as they are and no
phrase of another breakdown comes near.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import jellyfish
from rapidfuzz import fuzz, process

from planner.film.lexicon import NO, Lexicon, Meaning, Spot
from planner.film.words import stem

_LONGEST = 5
_SHORTEST_WORD = 4
_SHORTEST = 6
"""Letters of a phrase below which likeness says nothing."""
_LETTERS = 70.0
_TOGETHER = 79.0
_FEW_LETTERS = 8
_STRICT = 88.0
"""Likeness that a phrase of few letters must reach."""
_LEAD = 3.0
_SURE = 0.65
_PERSONS = frozenset({"he", "she", "that", "it", "who", "what", "there", "here", "let"})
"""What ``he's`` and the like are cut from."""


class _Phrase(NamedTuple):
    words: tuple[str, ...]
    id: str
    sound: str


def misheard(said: Sequence[str], taken: Sequence[Spot], lexicon: Lexicon) -> Spot | None:
    """Return the breakdown that some of these words were meant to name; ``taken`` words are left alone."""
    strange = [_strange(word, lexicon) for word in said]
    if not any(strange):
        return None
    line = lexicon.canonical(said, spelling=False)
    covered = {at for spot in taken for at in range(spot.start, spot.end)}
    best: tuple[float, int, int, str] | None = None
    second = 0.0
    for start in range(len(line)):
        for end in range(start + 2, min(len(line), start + _LONGEST) + 1):
            part = line[start:end]
            span = range(part[0].start, part[-1].end)
            if covered & set(span) or not any(strange[at] for at in span):
                continue
            for score, name in _like(part, strange, lexicon):
                if best is None or score > best[0]:
                    second = best[0] if best is not None and best[3] != name else second
                    best = score, span.start, span.stop, name
                elif name != best[3]:
                    second = max(second, score)
    if best is None or best[0] - second < _LEAD:
        return None
    return Spot(best[1], best[2], Meaning("breakdown", best[3]), _SURE)


def _strange(word: str, lexicon: Lexicon) -> bool:
    return (
        len(word) >= _SHORTEST_WORD
        and word.isascii()
        and word.isalpha()
        and not {word, stem(word)} & _known(lexicon)
    )


def _known(lexicon: Lexicon) -> frozenset[str]:
    made: frozenset[str] | None = lexicon.compiled.get("known words")
    if made is None:
        known = lexicon.known | {
            one for one in lexicon.said_often if one.endswith("s") and one[:-1] in _PERSONS
        }
        made = lexicon.compiled["known words"] = known | {stem(word) for word in lexicon.known}
    return made


def _like(part: Sequence[object], strange: Sequence[bool], lexicon: Lexicon) -> list[tuple[float, str]]:
    """Return the breakdowns whose phrases a stretch is like, each with how much."""
    words = [word.text for word in part]  # type: ignore[attr-defined]
    told = {word.text for word in part if not any(strange[word.start : word.end])}  # type: ignore[attr-defined]
    joined = "".join(words)
    if len(joined) < _SHORTEST:
        return []
    keys, phrases = _phrases(lexicon)
    found: dict[str, float] = {}
    sound = _sound(" ".join(words))
    near = process.extract(joined, keys, scorer=fuzz.ratio, score_cutoff=_LETTERS, limit=12)
    for _, letters, at in near:
        phrase = phrases[at]
        if not told <= set(phrase.words) or (NO in phrase.words) != (NO in words):
            continue
        together = 0.5 * letters + 0.5 * fuzz.ratio(sound, phrase.sound)
        shared = bool(told - {NO})
        need = _STRICT if not shared and len(joined) < _FEW_LETTERS else _TOGETHER if shared else _STRICT - 4
        if together >= need:
            found[phrase.id] = max(found.get(phrase.id, 0.0), together)
    return [(score, name) for name, score in found.items()]


def _phrases(lexicon: Lexicon) -> tuple[list[str], list[_Phrase]]:
    made: tuple[list[str], list[_Phrase]] | None = lexicon.memo.get("misheard")
    if made is None:
        phrases = [
            _Phrase(words, meaning.id, _sound(" ".join(words)))
            for words, meaning in sorted(lexicon.memo.get("phrases", lexicon.phrases).items())
            if meaning.kind == "breakdown" and not meaning.short and len("".join(words)) >= _SHORTEST
        ]
        made = lexicon.memo["misheard"] = ["".join(one.words) for one in phrases], phrases
    return made


@lru_cache(maxsize=4096)
def _sound(said: str) -> str:
    return jellyfish.metaphone(said).replace(" ", "")
