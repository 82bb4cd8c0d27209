"""Spoken phrases as data: word patterns with choices, classes and gaps, found in a run of words in one pass.

A pattern is written as words: ``put|get ~2 body|contact``. ``a|b`` is a choice, ``~2`` a gap of up to two
words, ``word?`` may be missing, ``@man`` stands for a list of words or phrases. Fillers (articles, ``uh``)
may stand anywhere and are not counted. Endings do not matter: ``boxes`` and ``boxed`` are ``box``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Generic, NamedTuple, TypeVar

from planner.film.words import stem

T = TypeVar("T")
HEARD = 0.85
"""How much less a misheard word says."""
_FILLERS = 4
"""Most fillers passed over between two words of a phrase."""
_CHUNK = 4
_AHEAD = 44
"""Words ahead that are looked at before a phrase is tried; one that may be longer is tried in any case."""


class Element(NamedTuple):
    """One place of a pattern: phrases by first word with their weight, or a gap of ``gap`` words."""

    options: Mapping[str, tuple[tuple[tuple[str, ...], float], ...]]
    gap: int = 0
    optional: bool = False


Pattern = tuple[Element, ...]
Later = tuple[frozenset[str], ...]
"""Sets of words; of each one word must follow the first of a pattern, sooner or later."""


class Hit(NamedTuple, Generic[T]):
    """A pattern found at words ``start`` up to ``end``; ``size`` counts the words that it names."""

    start: int
    end: int
    what: T
    size: int
    weight: float


@dataclass(frozen=True)
class Speech:
    """What all patterns share: forms of words, mishearings, classes, fillers and words no gap passes."""

    forms: Mapping[str, str]
    heard: Mapping[str, tuple[tuple[str, ...], ...]]
    classes: Mapping[str, tuple[tuple[str, ...], ...]]
    fillers: frozenset[str]
    barriers: frozenset[str]

    def base(self, word: str) -> str:
        """Return the one form that stands for all forms of a word."""
        return self.forms.get(word) or stem(word)

    @cached_property
    def _classes(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for name, phrases in self.classes.items():
            for phrase in phrases:
                if len(phrase) == 1:
                    found.setdefault(self.base(phrase[0]), []).append(name)
        return {word: tuple(dict.fromkeys(names)) for word, names in found.items()}

    def classes_of(self, base: str) -> tuple[str, ...]:
        """Return the names of the classes a base form is in by itself."""
        return self._classes.get(base, ())

    def compile(self, said: str) -> Pattern:
        """Return the pattern of a phrase.

        Raises:
            ValueError: the phrase is empty, starts with a gap, or names a class there is none of.

        """
        parts = said.split()
        pattern = tuple(self._element(word, alone=len(parts) == 1) for word in parts)
        if not pattern or pattern[0].gap or pattern[0].optional or pattern[-1].gap:
            raise ValueError(f"'{said}' must start and end with a word")
        return pattern

    def _element(self, word: str, *, alone: bool) -> Element:
        if word.startswith("~"):
            return Element({}, int(word[1:]))
        optional = word.endswith("?")
        options: dict[str, list[tuple[tuple[str, ...], float]]] = {}
        for choice in word.removesuffix("?").split("|"):
            for phrase in self._choices(choice):
                for heard, weight in self._sounds(phrase) if not alone else ((phrase, 1.0),):
                    options.setdefault(heard[0], []).append((heard[1:], weight))
        longest = {
            first: tuple(sorted(set(rest), key=lambda one: (-len(one[0]), -one[1], one[0])))
            for first, rest in options.items()
        }
        return Element(longest, 0, optional)

    def _choices(self, choice: str) -> Iterable[tuple[str, ...]]:
        if not choice.startswith("@"):
            return [tuple(self.base(part) for part in choice.split("_"))]
        if choice[1:] not in self.classes:
            raise ValueError(f"there is no class '{choice}'")
        return [tuple(self.base(part) for part in phrase) for phrase in self.classes[choice[1:]]]

    def _sounds(self, phrase: tuple[str, ...]) -> Iterable[tuple[tuple[str, ...], float]]:
        yield phrase, 1.0
        if len(phrase) == 1:
            for heard in self.heard.get(phrase[0], ()):
                yield tuple(self.base(part) for part in heard), HEARD


@dataclass
class Phrases(Generic[T]):
    """Patterns with what they mean, looked up by their first word."""

    speech: Speech
    by_first: dict[str, list[tuple[Pattern, T, frozenset[str], Later]]] = field(default_factory=dict)
    """By first word: pattern, meaning, the words one of which must come next (if any), what comes later."""

    def add(self, said: str, what: T) -> None:
        """Add a pattern; ValueError says what is wrong with it."""
        pattern = self.speech.compile(said)
        for first, rest in pattern[0].options.items():
            single = all(not more for more, _ in rest)
            plain = len(pattern) > 1 and not pattern[1].gap and not pattern[1].optional
            second = frozenset(pattern[1].options) if single and plain else frozenset[str]()
            self.by_first.setdefault(first, []).append((pattern, what, second, _later(pattern)))

    def hits(self, words: Sequence[str]) -> list[Hit[T]]:
        """Return every pattern found, in the order of the words; they may overlap."""
        found: list[Hit[T]] = []
        ahead = frozenset[str]()
        for at, word in enumerate(words):
            after = words[at + 1] if at + 1 < len(words) else ""
            passed = after in self.speech.fillers
            if at % _CHUNK == 0:
                ahead = frozenset(words[at : at + _CHUNK + _AHEAD])
            for pattern, what, second, later in self.by_first.get(word, ()):
                if second and not passed and after not in second:
                    continue
                if _misses(later, ahead):
                    continue
                match = _Match(pattern, words, self.speech).run(0, at, 0, 1.0)
                if match:
                    end, size, weight = match
                    found.append(Hit(at, end, what, size, weight))
        return found


def _later(pattern: Pattern) -> Later:
    """Return what must follow wherever a pattern is found, the rarest first; nothing for a long pattern."""
    longest = sum(_FILLERS + (one.gap or _longest(one)) for one in pattern)
    needed = [frozenset(one.options) for one in pattern[1:] if not one.gap and not one.optional]
    return tuple(sorted(needed, key=len)) if longest <= _AHEAD else ()


def _misses(later: Later, ahead: frozenset[str]) -> bool:
    for one in later:  # noqa: SIM110  any() would cost twice the time, here of all places
        if ahead.isdisjoint(one):
            return True
    return False


def _longest(one: Element) -> int:
    return max(1 + len(rest) for many in one.options.values() for rest, _ in many)


@dataclass(slots=True)
class _Match:
    pattern: Pattern
    words: Sequence[str]
    speech: Speech

    def run(self, element: int, at: int, size: int, weight: float) -> tuple[int, int, float] | None:
        """Return (end, words named, weight) of the pattern from ``element`` on, or None."""
        if element == len(self.pattern):
            return at, size, weight
        one = self.pattern[element]
        if one.gap:
            return self._gap(element, at, size, weight)
        for length, named, heard in self._options(one, at):
            found = self.run(element + 1, at + length, size + named, weight * heard)
            if found:
                return found
        if element and at < len(self.words) and self.words[at] in self.speech.fillers:
            found = self._passed(element, at, size, weight)
            if found:
                return found
        return self.run(element + 1, at, size, weight) if one.optional else None

    def _passed(self, element: int, at: int, size: int, weight: float) -> tuple[int, int, float] | None:
        """Match again behind a filler, a few in a row at most."""
        row = self.words[max(0, at - _FILLERS) : at]
        if len(row) == _FILLERS and all(word in self.speech.fillers for word in row):
            return None
        return self.run(element, at + 1, size, weight)

    def _options(self, one: Element, at: int) -> Iterable[tuple[int, int, float]]:
        if at >= len(self.words):
            return
        for rest, heard in one.options.get(self.words[at], ()):
            if tuple(self.words[at + 1 : at + 1 + len(rest)]) == rest:
                yield 1 + len(rest), 1 + len(rest), heard

    def _gap(self, element: int, at: int, size: int, weight: float) -> tuple[int, int, float] | None:
        left, fillers = self.pattern[element].gap, _FILLERS
        while True:
            found = self.run(element + 1, at, size, weight)
            if found or at >= len(self.words):
                return found
            word = self.words[at]
            if word in self.speech.barriers:
                return None
            if word in self.speech.fillers:
                fillers -= 1
            else:
                left -= 1
            if left < 0 or fillers < 0:
                return None
            at += 1
