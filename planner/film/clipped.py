"""Words clipped in a hurry and explained nowhere: ``slw bk``, ``no purs``, ``btn off drb``.

A clipped word begins as the word it stands for and keeps letters of it in order: its beginning, or its
consonants. Which word is meant the others beside it show: together they must make a phrase of the library.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import islice, product

from planner.film.lexicon import Lexicon, Meaning, Spot

_LONGEST = 6
"""Letters of a clipped word."""
_SHORTEST_START = 3
"""Letters of a clipped word that is the beginning of another."""
_RUN = 6
"""Words of a stretch that are tried together."""
_EACH = 10
_TRIED = 400
_SURE = 0.85
_LEAD = 0.08
_ONE = 0.55
"""Share of its letters that a word standing alone must keep."""
_VOWELS = frozenset("aeiouy")
_SUNG = frozenset("aeiou")
"""Vowels that a clipped word leaves out; ``nbdy`` keeps its last letter."""
_KINDS = frozenset({"breakdown", "clean", "stop"})


def unclipped(said: Sequence[str], taken: Sequence[Spot], lexicon: Lexicon) -> Spot | None:
    """Return the phrase that words clipped in these stand for; words of ``taken`` phrases are left alone."""
    covered = {at for spot in taken if spot.meaning.kind == "breakdown" for at in range(spot.start, spot.end)}
    best: tuple[float, Spot] | None = None
    second = 0.0
    for start, end in _stretches(said, covered, lexicon):
        for score, spot in _readings(said[start:end], lexicon):
            moved = Spot(start + spot.start, start + spot.end, spot.meaning, _SURE)
            if best is None or score > best[0]:
                second = max(second, best[0] if best and best[1].meaning != moved.meaning else 0.0)
                best = score, moved
            elif moved.meaning != best[1].meaning:
                second = max(second, score)
    return best[1] if best is not None and best[0] - second >= _LEAD else None


def _stretches(said: Sequence[str], covered: set[int], lexicon: Lexicon) -> Iterator[tuple[int, int]]:
    """Yield (start, end) of the runs of words that no phrase covers and that hold something clipped."""
    start = 0
    for at in range(len(said) + 1):
        if at < len(said) and at not in covered:
            continue
        if any(_clipped(word, lexicon) for word in said[start:at]):
            yield start, at
        start = at + 1


def _clipped(word: str, lexicon: Lexicon) -> bool:
    return 2 <= len(word) <= _LONGEST and word.isascii() and word.isalpha() and bool(_meant(word, lexicon))


def _readings(said: Sequence[str], lexicon: Lexicon) -> Iterator[tuple[float, Spot]]:
    """Yield (score, phrase) of every way to write a stretch in full that makes a phrase of it."""
    for start in range(max(1, len(said) - _RUN + 1)):
        part = said[start : start + _RUN]
        choices = [[(word, 1.0), *_meant(word, lexicon)] for word in part]
        for tried in islice(product(*choices), _TRIED):
            full = [word for word, _ in tried]
            for spot in lexicon.spots(full, spelling=False):
                shares = [share for _, share in tried[spot.start : spot.end]]
                clipped = [one for one in shares if one < 1.0]
                if spot.meaning.kind not in _KINDS or not clipped:
                    continue
                content = lexicon.canonical(full[spot.start : spot.end], spelling=False)
                if len(content) < 2 and not _stands(part[spot.start : spot.end], min(clipped), lexicon):
                    continue
                width = spot.end - spot.start
                yield (
                    sum(shares) / width + 0.1 * min(width, 4),
                    Spot(start + spot.start, start + spot.end, Meaning(spot.meaning.kind, spot.meaning.id)),
                )


def _stands(part: Sequence[str], share: float, lexicon: Lexicon) -> bool:
    """Say whether one clipped word is plain enough to be read by itself."""
    return share >= _ONE and all(len(word) >= _SHORTEST_START and word not in lexicon.known for word in part)


def _meant(word: str, lexicon: Lexicon) -> list[tuple[str, float]]:
    """Return the words that a clipped one may stand for, each with the share of its letters that is kept."""
    made: dict[str, list[tuple[str, float]]] = lexicon.compiled.setdefault("clipped", {})
    if word not in made:
        made[word] = _found(word, lexicon)
    return made[word]


def _found(word: str, lexicon: Lexicon) -> list[tuple[str, float]]:
    bare = not _SUNG & set(word)
    if not 2 <= len(word) <= _LONGEST or not word.isascii() or not word.isalpha():
        return []
    if (word in lexicon.known and not bare) or word in lexicon.said_often:
        return []
    found = [
        (full, round(len(word) / len(full), 3))
        for full in _words(lexicon).get(word[0], ())
        if len(full) > len(word) and _keeps(word, full, bare=bare)
    ]
    return sorted(found, key=lambda pair: (-pair[1], pair[0]))[:_EACH]


def _keeps(word: str, full: str, *, bare: bool) -> bool:
    """Say whether a word is another one clipped: its beginning, or its consonants from the first on."""
    if len(word) >= _SHORTEST_START and full.startswith(word):
        return True
    if not bare and len(word) > _SHORTEST_START and word[-1] not in _VOWELS:
        bare = len(_VOWELS & set(word)) == 1
    if not bare or len(full) > 3 * len(word):
        return False
    if (
        len(word) >= _SHORTEST_START
        and _consonants(full).startswith(_consonants(word))
        and not _SUNG & set(word)
    ):
        return True
    rest = iter(full)
    return all(letter in rest for letter in word) and word[-1] in _ends(full)


def _consonants(word: str) -> str:
    """Return the consonants of a word, doubled ones once."""
    return re.sub(r"(.)\1+", r"\1", re.sub(r"[aeiou]", "", word))


def _ends(full: str) -> set[str]:
    """Return the letters that a word and its plain forms end with."""
    cut = (full.removesuffix(end) for end in ("s", "ed", "er", "ing"))
    return {full[-1], *(one[-1] for one in cut if len(one) > 1)}


def _words(lexicon: Lexicon) -> dict[str, list[str]]:
    made: dict[str, list[str]] | None = lexicon.memo.get("words by letter")
    if made is None:
        made = {}
        for word in sorted(lexicon.spoken):
            if word.isascii() and word.isalpha() and _VOWELS & set(word):
                made.setdefault(word[0], []).append(word)
        lexicon.memo["words by letter"] = made
    return made
