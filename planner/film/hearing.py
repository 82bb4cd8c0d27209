"""What a stretch of talk tells, by its phrases and by its likeness to example sentences together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from planner.film.stance import Stretch
from planner.film.telling import Telling

_WINDOW = 20
"""Words that are compared with example sentences at once."""
_STEP = 5
_ASIDE = 8
"""Words on either side of a phrase that say what to make of it."""
_SHORT = 9
_SHORT_STEP = 2
_MOST_STRENGTH = 6.0
_MOST_LEAD = 10.0


@dataclass(frozen=True)
class Hearing:
    """One stretch heard; ``tellings`` is what it tells, with the log odds of each."""

    stretch: Stretch

    def tellings(self) -> list[Telling]:
        """Return what is told: by phrases first, and where no phrase tells anything, by likeness alone."""
        told = self.stretch.tellings()
        for one in told:
            others = {other.breakdown for other in told if other is not one}
            start, end = self._bounds(one.start - _ASIDE, one.end + _ASIDE, one.start)
            rivals = set(self.stretch.narration.near) - others - {one.breakdown}
            one.odds = self._odds(start, end, one.breakdown, set() if one.own else rivals, one.odds)
        plain = [one for one in told if one.odds > 0]
        found: list[Telling] = []
        for one in sorted(self._alike(), key=lambda one: (-one.odds, one.start)):
            if not any(one.start < other.end and other.start < one.end for other in [*plain, *found]):
                found.append(one)
        return sorted([*told, *found], key=lambda one: (one.start, one.breakdown))

    def follows(self) -> Iterator[tuple[str, int]]:
        """Yield (kind, place of its last word) where talk changes what was told before: see FOLLOWS."""
        words = [word.text for word in self.stretch.words]
        for start in range(0, max(1, len(words) - _SHORT + _SHORT_STEP), _SHORT_STEP):
            end = min(len(words), start + _SHORT)
            stances = {
                mark.what.stance for mark in self.stretch.marks if start <= mark.start and mark.end <= end
            }
            for name, likeness in self.stretch.narration.follows.items():
                if likeness.odds(words[start:end], stances) > self.stretch.narration.base["follows"]:
                    yield name, end - 1

    def _alike(self) -> Iterator[Telling]:
        """Yield for each window of talk what it is most like."""
        for start, end in self._windows():
            scores = self._scores(start, end)
            best = max(sorted(scores), key=lambda name: scores[name], default=None)
            if best is not None and end - start >= 3:
                yield Telling(best, start, end, self._odds(start, end, best, {*scores} - {best}, None))

    def _windows(self) -> Iterator[tuple[int, int]]:
        cuts = [0, *self._cuts, len(self.stretch.words)]
        for first, last in pairwise(cuts):
            if last - first <= _WINDOW + _STEP:
                yield first, last
                continue
            for start in range(first, last - _WINDOW + _STEP, _STEP):
                yield start, min(last, start + _WINDOW)

    @cached_property
    def _cuts(self) -> list[int]:
        """Return where something new begins: a new clip is called, or a silence ends."""
        clips = {mark.start for mark in self.stretch.marks if mark.what.stance == "clip"}
        return sorted((clips | set(self.stretch.hushes)) - {0})

    def _bounds(self, start: int, end: int, inside: int) -> tuple[int, int]:
        before = [cut for cut in self._cuts if cut <= inside]
        after = [cut for cut in self._cuts if cut > inside]
        return max(0, start, *before[-1:]), min(len(self.stretch.words), end, *after[:1])

    def _scores(self, start: int, end: int) -> Mapping[str, float]:
        """Return breakdown -> likeness of a window, with what phrases in it say."""
        narration = self.stretch.narration
        scores = narration.topics.scores(narration.topic_words(self.stretch.readings[start:end]))
        share = narration.base["phrase_share"]
        strengths: dict[str, float] = {}
        for first, last, breakdown, strength in self._strengths:
            if start <= first and last <= end:
                strengths[breakdown] = max(strength, strengths.get(breakdown, 0.0))
        for breakdown, strength in strengths.items():
            if breakdown in scores:
                scores[breakdown] += share * min(_MOST_STRENGTH, strength)
        return scores

    @cached_property
    def _strengths(self) -> list[tuple[int, int, str, float]]:
        named = [
            (start, end, name, self.stretch.narration.base["named"])
            for start, end, name in self.stretch.named()
        ]
        told = [
            (one.start, one.end, one.breakdown, one.odds + one.size / 2 + one.stances.get("near", 0.0))
            for one in self.stretch.found
            if "denied" not in one.stances
        ]
        return [*named, *told]

    def _odds(self, start: int, end: int, name: str, rivals: set[str], told: float | None) -> float:
        """Weigh likeness, lead over other breakdowns and the phrase, as fitted to the examples."""
        base = self.stretch.narration.base
        scores = self._scores(start, end)
        rest = [score for other, score in scores.items() if other in rivals]
        lead = scores.get(name, 0.0) - max(rest) if rest else _MOST_LEAD
        words = [word.text for word in self.stretch.words[start:end]]
        stances = {mark.what.stance for mark in self.stretch.marks if start <= mark.start and mark.end <= end}
        fault = self.stretch.narration.mistakes.odds(words, stances)
        fault, lead = _within(fault, 25) / 10, _within(lead, _MOST_LEAD) / 5
        if told is None:
            return base["alike"] + base["alike_fault"] * fault + base["alike_lead"] * lead
        odds = base["phrase"] + base["phrase_fault"] * fault + base["phrase_lead"] * lead
        odds += base["phrase_told"] * _within(told, 4)
        return odds + base["phrase_plain"] * max(0.0, min(5.0, told) - 2)


def _within(value: float, most: float) -> float:
    return max(-most, min(most, value))
