"""What speaks for and against a candidate: likeness, rivals, words and markers before, inside and after it.

Each sign is a number; ``learned.npz`` holds its weight. A candidate is one span of a stretch with one
breakdown that its words may tell.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from planner.film.learned import FAULT, Spans
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


def names(stances: Sequence[str]) -> list[str]:
    """Return the names of all signs in their order."""
    zones = [
        f"{zone} {one}"
        for one in (*_WORDS, *(f":{stance}" for stance in stances))
        for zone in ("<", "=", ">")
    ]
    return [
        *("like", "lead", "behind", "fault", "fault <", "fault >", "fault wide"),
        *("like wide", "lead wide", "like <", "like >", "rival", "over rival", "rivals", "score"),
        *("again score", *(name for _, name in _SOON)),
        *("gap at", "hush at", "hush <", "gap =", "size", "alone"),
        *zones,
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
    rows = [
        *_likeness(about, said, start, end, column, size),
        *_rivals(stretch, found, score),
        *_silences(stretch, start, end, size),
        *_zones(stretch, start, end, size, stances),
    ]
    return np.stack([np.asarray(row, dtype=float) for row in rows], axis=1)


def _likeness(about: Spans, said: Spans, start: Any, end: Any, column: Any, size: int) -> Iterator[Any]:
    import numpy as np

    def like(first: Any, last: Any) -> tuple[Any, Any]:
        scores = log_shares(about.scores(np.maximum(first, 0), np.minimum(last, size)))
        own = scores[each, column]
        scores[each, column] = -np.inf
        return own, own - scores.max(axis=1)

    def fault(first: Any, last: Any) -> Any:
        return said.scores(np.maximum(first, 0), np.minimum(last, size))[:, FAULT]

    each = np.arange(len(start))
    own, lead = like(start, end)
    yield from (own, lead, np.minimum(lead, 0))
    yield from (fault(start, end), fault(start - 12, start), fault(end, end + 10), fault(start - 4, end + 4))
    yield from like(start - 7, end + 7)
    yield from (like(start - 8, start + 2)[0], like(end - 2, end + 8)[0])


def log_shares(scores: Any) -> Any:
    """Return the logarithms of the outcomes' shares (softmax) by row."""
    import numpy as np

    scores = scores - scores.max(axis=1, keepdims=True)
    return scores - np.log(np.exp(scores).sum(axis=1, keepdims=True))


def _rivals(stretch: Stretch, found: Sequence[Candidate], score: Any) -> Iterator[Any]:
    import numpy as np

    best, many, again, since = [], [], [], []
    for one in found:
        over = [
            two.score
            for two in found
            if two.breakdown != one.breakdown and two.start < one.end + 3 and two.end > one.start - 3
        ]
        best.append(max(over, default=NOTHING))
        many.append(len(over))
        before = [
            (stretch.words[one.start].start - stretch.words[two.end - 1].end, two.score)
            for two in found
            if two.breakdown == one.breakdown and two.start < one.start and two.score > NOTHING / 2
        ]
        since.append(min((gap for gap, _ in before), default=10**9))
        again.append(max((high for gap, high in before if gap < 40_000), default=NOTHING) - NOTHING)
    yield from (np.array(best), score - np.array(best), np.array(many), score, np.array(again))
    yield from (np.array(since) < limit for limit, _ in _SOON)


def _silences(stretch: Stretch, start: Any, end: Any, size: int) -> Iterator[Any]:
    import numpy as np

    words = stretch.words
    gap = np.array([2500, *(words[at].start - words[at - 1].end for at in range(1, size))])

    def most(first: Any, last: Any) -> Any:
        return np.array([gap[max(0, a) : b].max(initial=0) for a, b in zip(first, last, strict=True)])

    yield from (
        most(start, start + 3) > 600,
        most(start, start + 3) > 1500,
        most(start - 8, start + 1) > 1500,
    )
    yield from (most(start + 1, end) > 900, end - start, np.full(len(start), size < 12))


def _zones(stretch: Stretch, start: Any, end: Any, size: int, stances: Sequence[str]) -> Iterator[Any]:
    import numpy as np

    texts = [word.text for word in stretch.words]
    marked: dict[str, list[int]] = {}
    for mark in stretch.marks:
        marked.setdefault(mark.what.stance, []).append(mark.start)
    groups = [[at for at, text in enumerate(texts) if text in words] for words in _WORDS.values()]
    for places in (*groups, *(marked.get(stance, []) for stance in stances)):
        sums = np.zeros(size + 1)
        np.add.at(sums, np.array(places, dtype=np.intp) + 1, 1.0)
        sums = sums.cumsum()
        for first, last in ((start - _BEFORE, start), (start, end), (end, end + _AFTER)):
            yield np.minimum(_MOST, sums[np.minimum(last, size)] - sums[np.maximum(first, 0)])
