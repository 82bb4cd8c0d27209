"""What a stretch of talk tells: every span is compared with what was learned, and the best are kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from planner.film.learned import FAULT, SHOWN_AGAIN, TAKEN_BACK, Learned, Spans, learned
from planner.film.signs import Candidate, log_shares, signs
from planner.film.stance import Stretch
from planner.film.telling import Telling

if TYPE_CHECKING:
    from numpy.typing import NDArray

LENGTHS = (6, 9, 13, 18, 24)
"""Words of the spans that are compared."""
_LEAST = -4.5
"""Likeness below which a span tells nothing."""
_WORDS_EACH = 5
_APART = 4
_OVERLAP = 0.6
"""Share of the shorter of two tellings from which on they are told by the same words."""
_SAME = 20_000
"""Milliseconds within which a breakdown is told once."""
_SHORT = 9
_SHORT_STEP = 2
_FEWEST = 3
_COLLECTIVE = frozenset({"nobody", "none", "noon"})
_SUBJECT = 4
"""Words at the start of a span within which its subject stands."""


@dataclass(frozen=True)
class Hearing:
    """One stretch heard; ``tellings`` is what it tells, with the log odds of each."""

    stretch: Stretch

    def tellings(self) -> list[Telling]:
        """Return what is told, in order; one place tells one breakdown, the likeliest."""
        rows, weighed = self._weighed()
        kept: list[tuple[Telling, int]] = []
        heard = [*((one, -1) for one in self._own()), *((one, at) for at, one in enumerate(weighed))]
        for one, at in sorted(heard, key=lambda pair: (not pair[0].own, -pair[0].odds, pair[0].start)):
            if not any(self._covers(other, one) for other, _ in kept):
                kept.append((one, at))
        likened = [(one, at) for one, at in kept if not one.own]
        if likened:
            reasons = self._learned.reasons(rows[[at for _, at in likened]])
            for (one, _), why in zip(likened, reasons, strict=True):
                one.stances, one.collective = why, self._collective(one)
        return sorted((one for one, _ in kept), key=lambda one: (one.start, one.breakdown))

    def follows(self) -> Iterator[tuple[str, int]]:
        """Yield (kind, place of its last word) where talk takes back or shows again what was told before."""
        import numpy as np

        size = len(self.stretch.words)
        if not self._known:
            return
        starts = np.arange(0, max(1, size - _SHORT + _SHORT_STEP), _SHORT_STEP)
        ends = np.minimum(size, starts + _SHORT)
        scores = self._said.scores(starts, ends)
        for kind, column in (("taken_back", TAKEN_BACK), ("shown_again", SHOWN_AGAIN)):
            for at in np.nonzero(scores[:, column] > self.stretch.narration.base["follows"])[0]:
                yield kind, int(ends[at]) - 1

    def candidates(self) -> list[Candidate]:
        """Return the spans and breakdowns that are like what was learned, the likeliest first."""
        import numpy as np

        if not self._known:
            return []
        starts, ends = self._spans()
        fault = self._said.scores(starts, ends)[:, FAULT]
        scores = log_shares(self._about.scores(starts, ends)) - np.logaddexp(0, -fault)[:, None]
        return _best(starts, ends, scores, max(6, len(self.stretch.words) // _WORDS_EACH))

    def signs(self, found: list[Candidate]) -> Any:
        """Return the signs of candidates, a row for each."""
        stances = [name[3:] for name in self._learned.signs if name.startswith("= :")]
        return signs(self.stretch, self._about, self._said, found, stances)

    def _weighed(self) -> tuple[Any, list[Telling]]:
        """Return the signs of what is like something learned, and the tellings."""
        found = self.candidates()
        if not found:
            return None, []
        made = self._learned
        rows = self.signs(found)
        odds = made.trees.odds(rows).tolist()
        return rows, [
            Telling(made.breakdowns[one.breakdown], one.start, one.end, odd)
            for one, odd in zip(found, odds, strict=True)
        ]

    def _collective(self, one: Telling) -> bool:
        return bool(_COLLECTIVE & set(self.stretch.readings[one.start : one.start + _SUBJECT]))

    def _own(self) -> Iterator[Telling]:
        """Yield what the team's own phrases tell, unless the talk around says otherwise."""
        import numpy as np

        for start, end, breakdown in self.stretch.own():
            around = np.array([max(0, start - 6)]), np.array([min(len(self.stretch.words), end + 6)])
            doubt = min(0.0, float(self._said.scores(*around)[0, FAULT]))
            yield Telling(breakdown, start, end, self.stretch.narration.base["own"] + doubt, own=True)

    def _covers(self, kept: Telling, one: Telling) -> bool:
        if kept.breakdown == one.breakdown:
            words = self.stretch.words
            return abs(words[kept.start].start - words[one.start].start) < _SAME
        both = min(kept.end, one.end) - max(kept.start, one.start)
        return both > (0 if kept.own else _OVERLAP * min(kept.end - kept.start, one.end - one.start))

    def _spans(self) -> tuple[NDArray[Any], NDArray[Any]]:
        import numpy as np

        size = len(self.stretch.words)
        spans = [(at, at + many) for at in range(size) for many in LENGTHS if at + many <= size]
        starts, ends = np.array(spans or [(0, size)], dtype=np.intp).T
        return starts, ends

    @property
    def _known(self) -> bool:
        return len(self.stretch.words) >= _FEWEST and bool(self.stretch.narration.base)

    @property
    def _learned(self) -> Learned:
        return learned()

    @cached_property
    def _views(self) -> tuple[Spans, Spans]:
        return self._learned.views([word.text for word in self.stretch.words], self.stretch.narration.speech)

    @property
    def _about(self) -> Spans:
        return self._views[0]

    @property
    def _said(self) -> Spans:
        return self._views[1]


def _best(starts: Any, ends: Any, scores: Any, most: int) -> list[Candidate]:
    """Return the best spans of each breakdown, each a few words apart from the next."""
    import numpy as np

    rows, columns = np.nonzero(scores > _LEAST)
    order = np.argsort(-scores[rows, columns], kind="stable")
    found: list[Candidate] = []
    taken: dict[int, int] = {}
    for row, column in zip(rows[order].tolist(), columns[order].tolist(), strict=True):
        start, end = int(starts[row]), int(ends[row])
        if taken.get(column, 0) & _bits(start, end):
            continue
        taken[column] = taken.get(column, 0) | _bits(max(0, start - _APART), end + _APART)
        found.append(Candidate(start, end, column, float(scores[row, column])))
        if len(found) >= most:
            break
    return found


def _bits(start: int, end: int) -> int:
    """Return a number with a bit for each word of a span."""
    return (1 << end) - (1 << start)
