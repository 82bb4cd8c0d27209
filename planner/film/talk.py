"""The talk over a whole film: its words, what they tell, and who is named near a telling."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from planner.film.mentions import BREATH, Mention, mentions
from planner.film.spoken import Word
from planner.film.telling import Telling

_BACK, _ON = 60, 16
"""Words before and after a telling within which someone named may be charged with it."""
_BACK_TIME, _ON_TIME = 22_000, 6_000
"""Milliseconds within which he is named."""
_MOST = 12
"""Players looked at for one telling at most, the nearest."""
Span = tuple[int, int]


@dataclass(frozen=True)
class Talk:
    """The words of a film in order, what they tell in order, and the jerseys of our players if known."""

    words: Sequence[Word]
    told: Sequence[Telling]
    roster: Collection[str] | None = None

    @cached_property
    def pauses(self) -> list[int]:
        """Return the silence before each word, in milliseconds."""
        gaps = [two.start - one.end for one, two in pairwise(self.words)]
        return [0, *gaps]

    @cached_property
    def named(self) -> tuple[list[Mention], list[Mention]]:
        """Return who may be named, one by one and two by two."""
        return mentions(self.words, self.pauses, self.roster)

    @cached_property
    def often(self) -> Counter[str]:
        """Return how often each player is named."""
        return Counter(one.players[0] for one in self.named[0])

    def near(self, told: Telling) -> list[Mention]:
        """Return who may be charged with a telling: those named near it, then the pairs of them."""
        single, pairs = self.named
        first = bisect_left(single, told.start - _BACK, key=lambda one: one.end)
        last = bisect_left(single, told.end + _ON, key=lambda one: one.start)
        while last - first > _MOST:
            behind = told.start - single[first].end > single[last - 1].start - told.end
            first, last = (first + 1, last) if behind else (first, last - 1)
        start, end = self.words[told.start].start, self.words[told.end - 1].end
        near = [
            one
            for one in single[first:last]
            if start - self.words[one.end - 1].end < _BACK_TIME
            and self.words[one.start].start - end < _ON_TIME
        ]
        if not near:
            return []
        low = bisect_left(pairs, near[0].start, key=lambda one: one.start)
        high = bisect_right(pairs, near[-1].start, key=lambda one: one.last.start)
        return near + pairs[low:high]

    def texts(self, start: int, end: int) -> list[str]:
        """Return the words of a span."""
        return [word.text for word in self.words[max(0, start) : max(0, end)]]

    def before(self, place: int) -> str:
        """Return the word before a place; a breath is a full stop."""
        return self.words[place - 1].text if place and self.pauses[place] < BREATH else "."

    def after(self, place: int) -> str:
        """Return the word at a place that goes on with what stands before it; a breath is a full stop."""
        goes_on = place < len(self.words) and self.pauses[place] < BREATH
        return self.words[place].text if goes_on else "."

    def starting(self, start: int, end: int) -> list[Span]:
        """Return the spans told rather than not that start from a place to another."""
        low = bisect_left(self._likely, start, key=lambda one: one[0])
        return self._likely[low : bisect_right(self._likely, end, key=lambda one: one[0])]

    @cached_property
    def _likely(self) -> list[Span]:
        return sorted((one.start, one.end) for one in self.told if one.odds > 0)
