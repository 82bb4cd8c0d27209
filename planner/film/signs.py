"""What speaks for and against a candidate: likeness, rivals, words and markers before, inside and after it.

Each sign is a number; ``learned.npz`` holds its weight. A candidate is one span of a stretch with one
breakdown that its words may tell.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from planner.film.learned import FAULT, FIRST_KIND, KINDS, Spans
from planner.film.spoken import PLAYER
from planner.film.stance import Stretch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

NOTHING = -5.0
"""Stands for the score of what is not there."""
_WORDS = {
    "you": ("you", "your", "yours", "youre"),
    "they": ("they", "them", "their", "theirs", "theyre"),
    "we": ("we", "us", "our"),
    "he": ("he", "his", "him", "she", "her"),
    "player": (PLAYER,),
    "if": ("if", "when", "whenever", "unless"),
    "no": ("no", "not", "nobody", "never", "dont", "didnt", "doesnt", "nothing", "isnt", "wasnt", "aint"),
    "good": ("good", "great", "nice", "love", "excellent", "perfect", "brilliant", "bravo", "lovely", "well"),
    "should": ("should", "need", "want", "must", "have", "gotta", "remember", "always"),
    "why": ("why", "what", "where", "how", "who"),
    "but": ("but", "then", "except", "though", "instead"),
    "past": ("last", "yesterday", "week", "month", "year", "season", "saturday", "before"),
}
_GROUPS: dict[str, tuple[int, ...]] = {
    word: tuple(at for at, words in enumerate(_WORDS.values()) if word in words)
    for many in _WORDS.values()
    for word in many
}
_BEFORE = 10
_AFTER = 8
_MOST = 2.0
_SOON = ((8_000, "again 8"), (20_000, "again 20"), (60_000, "again 60"))


class Candidate(NamedTuple):
    """Words ``start`` up to ``end`` that may tell ``breakdown`` (a column); ``score`` is its likeness."""

    start: int
    end: int
    breakdown: int
    score: float


def names(stances: Sequence[str], breakdowns: Sequence[str]) -> list[str]:
    """Return the names of all signs in their order."""
    zones = [
        f"{zone} {one}"
        for zone in ("<", "=", ">")
        for one in (*_WORDS, *(f":{stance}" for stance in stances))
    ]
    return [
        *("like", "lead", "behind", "like wide", "lead wide", "like long", "lead long", "like <", "like >"),
        *(f"{zone} {kind}" for zone in ("=", "<", ">", "wide", "long") for kind in ("fault", *KINDS)),
        *("rival", "over rival", "rivals", "score", "again score", *(name for _, name in _SOON)),
        *("gap at", "hush at", "hush <", "gap =", "size", "alone", "from", "left"),
        *zones,
        *breakdowns,
    ]


def signs(
    stretch: Stretch, about: Spans, said: Spans, found: Sequence[Candidate], stances: Sequence[str]
) -> Floats:
    """Return a row of signs for each candidate of a stretch, in the order of ``names``."""
    import numpy as np

    start = np.array([one.start for one in found])
    end = np.array([one.end for one in found])
    column = np.array([one.breakdown for one in found])
    score = np.array([one.score for one in found])
    size = len(stretch.words)
    parts = [
        *_likeness(about, start, end, column, size),
        *_ways(said, start, end, size),
        *_rivals(stretch, start, end, column, score),
        *_silences(stretch, start, end, size),
        _zones(stretch, start, end, size, stances),
        np.eye(about.bias.size)[column],
    ]
    return np.column_stack(parts)


def _likeness(about: Spans, start: Any, end: Any, column: Any, size: int) -> Iterator[Any]:
    import numpy as np

    def like(first: Any, last: Any) -> tuple[Any, Any]:
        scores = log_shares(about.scores(np.maximum(first, 0), np.minimum(last, size)))
        own = scores[each, column]
        scores[each, column] = -np.inf
        return own, own - scores.max(axis=1)

    each = np.arange(len(start))
    own, lead = like(start, end)
    yield from (own, lead, np.minimum(lead, 0))
    yield from like(start - 7, end + 7)
    yield from like(start - 2, start + 26)
    yield from (like(start - 8, start + 2)[0], like(end - 2, end + 8)[0])


def _ways(said: Spans, start: Any, end: Any, size: int) -> Iterator[Any]:
    """Yield how it is said in the words themselves, before, after and around them."""
    import numpy as np

    columns = [FAULT, *range(FIRST_KIND, FIRST_KIND + len(KINDS))]
    zones = (
        (start, end),
        (start - 12, start),
        (end, end + 10),
        (start - 4, end + 4),
        (start - 2, start + 26),
    )
    for first, last in zones:
        yield said.scores(np.clip(first, 0, size), np.clip(last, 0, size))[:, columns]


def log_shares(scores: Any) -> Any:
    """Return the logarithms of the outcomes' shares (softmax) by row."""
    import numpy as np

    scores = scores - scores.max(axis=1, keepdims=True)
    return scores - np.log(np.exp(scores).sum(axis=1, keepdims=True))


def _rivals(stretch: Stretch, start: Any, end: Any, column: Any, score: Any) -> Iterator[Any]:
    """Yield the best of another breakdown at the same place, and what of the same was before."""
    import numpy as np

    same = column[:, None] == column
    near = (start < end[:, None] + 3) & (end > start[:, None] - 3) & ~same
    best = np.where(near, score, NOTHING).max(axis=1)
    begins = np.array([word.start for word in stretch.words])[start]
    ends = np.array([word.end for word in stretch.words])[end - 1]
    gap = np.where(same & (start < start[:, None]), begins[:, None] - ends, 10**9)
    again = np.where(gap < 40_000, score, NOTHING).max(axis=1) - NOTHING
    yield from (best, score - best, near.sum(axis=1), score, again)
    yield from (gap.min(axis=1) < limit for limit, _ in _SOON)


def _silences(stretch: Stretch, start: Any, end: Any, size: int) -> Iterator[Any]:
    import numpy as np

    begins = np.array([word.start for word in stretch.words])
    gap = np.append(2500, begins[1:] - np.array([word.end for word in stretch.words])[:-1])

    def over(least: int, first: Any, last: Any) -> Any:
        sums = np.append(0, (gap > least).cumsum())
        return sums[np.minimum(last, size)] > sums[np.clip(first, 0, size)]

    yield from (over(600, start, start + 3), over(1500, start, start + 3), over(1500, start - 8, start + 1))
    yield from (over(900, start + 1, end), end - start, np.full(len(start), size < 12))
    yield from (np.minimum(start, 40), np.minimum(size - end, 40))


def _zones(stretch: Stretch, start: Any, end: Any, size: int, stances: Sequence[str]) -> Any:
    """Return how often words and marks of each kind stand before, in and after each candidate."""
    import numpy as np

    rows = {stance: at for at, stance in enumerate(stances, len(_WORDS))}
    told = np.zeros((size + 1, len(_WORDS) + len(stances)))
    for at, word in enumerate(stretch.words):
        for row in _GROUPS.get(word.text, ()):
            told[at + 1, row] = 1.0
    for mark in stretch.marks:
        if mark.what.stance in rows:
            told[mark.start + 1, rows[mark.what.stance]] += 1.0
    sums = told.cumsum(axis=0)
    zones = ((start - _BEFORE, start), (start, end), (end, end + _AFTER))
    return np.hstack(
        [
            np.minimum(_MOST, sums[np.minimum(last, size)] - sums[np.maximum(first, 0)])
            for first, last in zones
        ]
    )
