"""What talk is like: example sentences of every breakdown, and of talk that names one and means none.

Words and pairs of words are counted in the examples (naive Bayes). The phrases of the
rules count as examples too. So words that no phrase foresaw still say what is talked about.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

_SMOOTH = 0.1
_RARE = 0.0015
"""Added to each share, so that a word heard once says little."""
_PAIR = 0.6
"""What a pair of words counts, beside 1 for a word; pairs repeat their words."""
_PAIR_FAULT = 0.5
_BARE = frozenset(
    {
        "he",
        "she",
        "you",
        "we",
        "i",
        "it",
        "they",
        "and",
        "so",
        "to",
        "in",
        "at",
        "on",
        "for",
        "as",
        "with",
        "him",
    }
)


@dataclass
class Topics:
    """Which breakdown talk is about: a score per breakdown, only differences between them mean something."""

    counts: dict[str, Counter[str]] = field(default_factory=dict)
    _by_feature: dict[str, dict[str, float]] = field(default_factory=dict)
    _floor: dict[str, float] = field(default_factory=dict)

    def learn(self, breakdown: str, words: Sequence[str], weight: float = 1.0) -> None:
        """Count an example of a breakdown."""
        counts = self.counts.setdefault(breakdown, Counter())
        for feature in _features(words):
            counts[feature] += weight  # type: ignore[assignment]

    def settle(self) -> Topics:
        """Turn counts into weights; to be called once everything is learned."""
        size = len({feature for counts in self.counts.values() for feature in counts})
        for breakdown, counts in self.counts.items():
            self._floor[breakdown] = math.log(_SMOOTH / (counts.total() + _SMOOTH * size))
            for feature, count in counts.items():
                weight = _weight(feature, _PAIR) * math.log(1 + count / _SMOOTH)
                self._by_feature.setdefault(feature, {})[breakdown] = weight
        return self

    def knows(self, word: str) -> bool:
        """Say whether a word stands in any example."""
        return word in self._by_feature

    def scores(self, words: Sequence[str]) -> dict[str, float]:
        """Return breakdown -> score of a run of words."""
        by_feature = self._by_feature
        known = [feature for feature in _features(words) if feature in by_feature]
        whole = sum(_weight(feature, _PAIR) for feature in known)
        scores = {breakdown: whole * floor for breakdown, floor in self._floor.items()}
        for feature in known:
            for breakdown, weight in by_feature[feature].items():
                scores[breakdown] += weight
        return scores


@dataclass(frozen=True)
class Faults:
    """Whether talk tells of a mistake of ours: log odds by word, pair of words and marker."""

    weights: Mapping[str, float]

    def odds(self, words: Sequence[str], stances: Iterable[str]) -> float:
        """Return the log odds of a run of words with the markers in it."""
        counts = self._counts
        return sum([counts[feature] for feature in _said(words, stances) if feature in counts])

    @cached_property
    def _counts(self) -> Mapping[str, float]:
        return {feature: weight * _weight(feature, _PAIR_FAULT) for feature, weight in self.weights.items()}


def learn_faults(
    told: Sequence[tuple[Sequence[str], Iterable[str]]], turned: Sequence[tuple[Sequence[str], Iterable[str]]]
) -> Faults:
    """Return what tells a mistake from other talk, given examples of both as (words, stances)."""
    yes = Counter(feature for words, stances in told for feature in _said(words, stances))
    no = Counter(feature for words, stances in turned for feature in _said(words, stances))
    a, b = max(1, len(told)), max(1, len(turned))
    return Faults(
        {
            feature: math.log((yes[feature] / a + _RARE) / (no[feature] / b + _RARE))
            for feature in sorted({*yes, *no})
        }
    )


def _features(words: Sequence[str]) -> list[str]:
    single = {word for word in words if word not in _BARE}
    return sorted(single | {f"{a}_{b}" for a, b in pairwise(words)})


def _said(words: Sequence[str], stances: Iterable[str]) -> list[str]:
    pairs = {f"{a}_{b}" for a, b in pairwise(words)}
    return sorted({*words, *pairs, *(f":{stance}" for stance in stances)})


def _weight(feature: str, pair: float) -> float:
    return pair if "_" in feature else 1.0
