"""The compiled wording: phrases looked up word by word, typing errors, praise and denial."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, NamedTuple

from rapidfuzz import process
from rapidfuzz.distance import OSA

from planner.film.words import stem, words

Phrase = tuple[str, ...]
MEANINGS = ("clean", "stop", "missed", "neutral")
"""Phrases that mean something other than a breakdown."""
GROUPS = (
    *("praise", "scored", "scored_after", "shots", "counted", "theirs", "remarks", "totals", "legend"),
    *("also", "topics", "plays", "lacking", "firm", "innocent", "faint", "linking", "known", "credit", "who"),
)
"""Lists of words that help to read what stands beside them."""
_SHORTEST_TYPO = 4
_LONGEST_TYPO = 30
_USUAL = 3
"""Example sentences in which a word must stand to be no typing error."""
_FAR = 2
"""Typing errors from which on the first letter must be right."""
_MEMORY = 20_000
NO = "no"
_UNASKED = frozenset(
    stem(word) for word in ("need", "needs", "needed", "want", "wanted", "wants", "ask", "mind")
)
"""What is done with help that is not wanted."""
_LACKS = frozenset({NO, "late", "slow"})
_DENYING = frozenset({"nobody", "noone", "not", "never", "none", "didnt", "doesnt", "wont", "cant", "no"})
_LONGEST_SAYING = 5
_MEASURED = frozenset(
    {"a", "little", "quite", "that", "wee", "another", "lovely", "nice", "good", "great", "last"}
)
_SPOTS = frozenset(
    {"corner", "wing", "side", "elbow", "block", "baseline", "slot", "hand", "hash", "short", "top"}
)
_ARTICLES = frozenset({"the", "a", "their", "from", "to", "in", "on"})
_ALONE = 0.85
_EXACT = 0.9
_LOOSE = 0.75
"""Sureness of a phrase with a stranger inside."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a phrase means: ``kind`` is ``breakdown`` (``id`` says which) or one of MEANINGS."""

    kind: str
    id: str = ""
    short: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A phrase found at words ``start`` up to ``end``; ``sure`` is below 1 when a word was misspelt."""

    start: int
    end: int
    meaning: Meaning
    sure: float = 1.0


class _Word(NamedTuple):
    text: str
    start: int
    end: int
    sure: float = 1.0


@dataclass(frozen=True, repr=False)
class Lexicon:
    """Every phrase we know, compiled; make one with ``load_lexicon`` and keep it."""

    phrases: Mapping[Phrase, Meaning]
    same: Mapping[Phrase, str]
    fillers: frozenset[str]
    groups: Mapping[str, frozenset[Phrase]]
    joined: Mapping[str, Phrase] = field(default_factory=dict)
    ids: frozenset[str] = frozenset()
    bridges: frozenset[Phrase] = frozenset()
    """Phrases that are written with a comma inside."""
    spoken: frozenset[str] = frozenset()
    """Every word of every phrase as it is written."""
    trade: frozenset[str] = frozenset()
    """The words of breakdown phrases as they are written: what a misspelt word may have been."""
    narration: Mapping[str, Any] = field(default_factory=dict)
    """The ``[narration]`` table as it stands in the files: how coaches speak over film."""
    own: frozenset[Phrase] = frozenset()
    """The team's own phrases of breakdowns: see ``with_words``."""
    abbreviated: Mapping[str, str] = field(default_factory=dict)
    """Clipped words -> the word meant: ``scrn`` is ``screen``."""
    alone: Mapping[Phrase, str] = field(default_factory=dict)
    """Phrases that name a breakdown (-> its id) only where nothing stands beside them."""
    exact: Mapping[Phrase, str] = field(default_factory=dict)
    """Words that name a breakdown (-> its id) just as they stand, fillers and all: ``nobody had him``."""
    undone: Mapping[str, str] = field(default_factory=dict)
    """What is taught -> the breakdown it is when it is lacking: ``switch`` is ``missed-switch``."""
    memo: dict[str, Any] = field(default_factory=dict, compare=False)
    """What is worked out once and holds for every lexicon made of this one."""

    def __repr__(self) -> str:
        return f"Lexicon({len(self.phrases)} phrases)"

    @cached_property
    def compiled(self) -> dict[str, Any]:
        """Return a place where readers keep what they have compiled from this lexicon, by name."""
        return {}

    @cached_property
    def known(self) -> frozenset[str]:
        """Return every single word that is not a typing error."""
        parts = {word for phrase in self.same for word in phrase} | self.spoken
        for group in self.groups.values():
            parts.update(word for phrase in group for word in phrase)
        parts.update(word for phrase in self.alone for word in phrase)
        return frozenset(parts | set(self.same.values()) | self.fillers | set(self.abbreviated))

    @cached_property
    def firm(self) -> frozenset[str]:
        """Return the words of the trade, in base forms, that leave little doubt what is talked about."""
        return frozenset(
            word for name in ("topics", "plays", "firm") for phrase in self.groups[name] for word in phrase
        )

    @cached_property
    def faint(self) -> frozenset[Phrase]:
        """Return the phrases, in base forms, that mean much else in the midst of a sentence."""
        phrases = (self.canonical(said, spelling=False) for said in self.groups["faint"])
        return frozenset(tuple(word.text for word in phrase) for phrase in phrases)

    @cached_property
    def _longest(self) -> dict[str, int]:
        return _longest_by_first(self.phrases)

    @cached_property
    def _same_longest(self) -> dict[str, int]:
        return _longest_by_first(self.same)

    @cached_property
    def _edges(self) -> dict[str, tuple[frozenset[str], frozenset[str]]]:
        """Return the first and the last words of each group's phrases."""
        return {
            name: (frozenset(one[0] for one in group), frozenset(one[-1] for one in group))
            for name, group in self.groups.items()
        }

    @cached_property
    def _trade(self) -> dict[int, list[str]]:
        """Return the trade's words by length."""
        trade = self.trade | set(self.joined)
        by_length: dict[int, list[str]] = {}
        for word in sorted(trade):
            if len(word) >= _SHORTEST_TYPO:
                by_length.setdefault(len(word), []).append(word)
        return by_length

    @cached_property
    def _spelled(self) -> dict[str, tuple[str, float] | None]:
        return {}

    def _pool(self, length: int, limit: int) -> list[str]:
        if (length, limit) not in self._pools:
            lengths = range(max(_SHORTEST_TYPO, length - limit), length + limit + 1)
            self._pools[length, limit] = [one for size in lengths for one in self._trade.get(size, ())]
        return self._pools[length, limit]

    @cached_property
    def _pools(self) -> dict[tuple[int, int], list[str]]:
        return {}

    @cached_property
    def said_often(self) -> frozenset[str]:
        """Return the words that several example sentences use, which are therefore no typing errors."""
        often = Counter(
            word
            for table in ("said", "turned")
            for sentences in self.narration.get(table, {}).values()
            for one in sentences
            for word in set(one.replace("'", "").split())
        )
        return frozenset(word for word, count in often.items() if count >= _USUAL)

    def spell(self, word: str) -> tuple[str, float] | None:
        """Return the one trade word that a misspelt word must have been and how sure, or None.

        Four letters may only be transposed, five to seven may differ by one typing error, longer ones by
        two; a word that two trade words could have been is nobody's.
        """
        if word not in self._spelled:
            if len(self._spelled) >= _MEMORY:
                self._spelled.clear()
            self._spelled[word] = self._spell(word)
        return self._spelled[word]

    def _spell(self, word: str) -> tuple[str, float] | None:
        near = self.near(word, 1 if len(word) < 8 else 2)
        if not near or word in self.said_often:
            return None
        near = [(one, far) for one, far in near if far < _FAR or one[0] == word[0]]
        if not near:
            return None
        best, distance = near[0]
        ties = {stem(self.same.get((one,), one)) for one, far in near if far == distance}
        if len(ties) > 1 or (len(word) == _SHORTEST_TYPO and sorted(word) != sorted(best)):
            return None
        return best, round(1.0 - distance / max(len(word), len(best)) - 0.05, 2)

    def near(self, word: str, limit: int) -> list[tuple[str, int]]:
        """Return the trade words within ``limit`` typing errors of a word we do not know, nearest first."""
        if word in self.known or len(word) < _SHORTEST_TYPO or not word.isalpha():
            return []
        if len(word) > _LONGEST_TYPO:
            return []
        found = process.extract(
            word, self._pool(len(word), limit), scorer=OSA.distance, score_cutoff=limit, limit=4
        )
        return sorted(((str(one), int(far)) for one, far, _ in found), key=lambda pair: (pair[1], pair[0]))

    def canonical(self, said: Sequence[str], *, spelling: bool = True) -> list[_Word]:
        """Return the words that phrases are made of, each with the span of words it stands for."""
        right: list[tuple[str, float]] = []
        for word in (self.abbreviated.get(one, one) for one in said):
            meant = self.spell(word) if spelling and word not in self.known else None
            right.append(meant or (word, 1.0))
        found: list[_Word] = []
        at = 0
        while at < len(right):
            plain = right[at][0] not in self._same_longest or _a_bit(said, at)
            size, word = (1, right[at][0]) if plain else self._same_at(right, at)
            if word not in self.fillers or size > 1:
                sure = min(one[1] for one in right[at : at + size])
                joined = self.joined.get(word) if word not in self.known else None
                parts = joined or (word if word == NO else stem(word),)
                found += [_Word(part, at, at + size, sure) for part in parts]
            at += size
        return found

    def _same_at(self, right: list[tuple[str, float]], at: int) -> tuple[int, str]:
        for size in range(self._same_longest[right[at][0]], 0, -1):
            word = self.same.get(tuple(one[0] for one in right[at : at + size]))
            if word is not None and at + size <= len(right):
                return size, word
        return 1, right[at][0]

    def spots(self, said: Sequence[str], *, short: bool = True, spelling: bool = True) -> list[Spot]:
        """Return the phrases in a run of words, longest first from the left, never overlapping.

        ``short=False`` leaves short forms out (for speech). A breakdown that is praised or denied
        (``good bo``, ``not ball watching``) is no breakdown: denied ones come back with kind ``denied``.
        """
        line = self.canonical(said, spelling=spelling)
        found: list[Spot] = []
        innocent = self._innocent(said)
        at = 0
        while at < len(line):
            spot, size = self._spot_at(line, at, short)
            if spot is not None and not _of_place(said, spot.start) and not innocent >= _words_of(spot):
                found.append(spot)
            at += size
        return self._with_exact(said, found) if self._firsts and self._firsts & set(said) else found

    @cached_property
    def _firsts(self) -> frozenset[str]:
        return frozenset(phrase[0] for phrase in self.exact)

    def _with_exact(self, said: Sequence[str], found: list[Spot]) -> list[Spot]:
        """Return the phrases with those that stand as they are in words that name no breakdown yet."""
        taken = {at for one in found if one.meaning.kind != "neutral" for at in range(one.start, one.end)}
        more: list[Spot] = []
        for at, word in enumerate(said):
            if word not in self._firsts:
                continue
            for size in range(_LONGEST_SAYING, 1, -1):
                named = self.exact.get(tuple(said[at : at + size]))
                denied = at > 0 and said[at - 1] in _DENYING
                if named and at + size <= len(said) and not denied and not taken & set(range(at, at + size)):
                    more.append(Spot(at, at + size, Meaning("breakdown", named), _EXACT))
                    taken |= set(range(at, at + size))
                    break
        kept = [one for one in found if not any(one.start < new.end and new.start < one.end for new in more)]
        return sorted([*kept, *more], key=lambda one: one.start)

    def _innocent(self, said: Sequence[str]) -> frozenset[int]:
        """Return the places of words that are a way of saying something else: ``reaches the rim``."""
        group, firsts = self.groups["innocent"], self._edges["innocent"][0]
        found = {
            place
            for at, word in enumerate(said)
            if word in firsts
            for size in range(2, _LONGEST_SAYING + 1)
            if tuple(said[at : at + size]) in group
            for place in range(at, at + size)
        }
        return frozenset(found)

    def _spot_at(self, line: list[_Word], at: int, short: bool) -> tuple[Spot | None, int]:
        for size in range(min(self._longest.get(line[at].text, 0), len(line) - at), 0, -1):
            part = line[at : at + size]
            meaning = self.phrases.get(tuple(word.text for word in part))
            if meaning is None or (meaning.short and not short):
                continue
            if part[-1].text == NO and size > 1 and at + size < len(line):
                continue
            before = line[at - 1].text if at else ""
            if meaning.kind == "breakdown" and (before,) in self.groups["praise"]:
                meaning = Meaning("praised", meaning.id)
            elif before == NO:
                meaning = Meaning("denied" if meaning.kind == "breakdown" else "neutral", meaning.id)
            return Spot(part[0].start, part[-1].end, meaning, min(word.sure for word in part)), size
        return None, 1

    def loose(self, said: Sequence[str]) -> list[Spot]:
        """Return one breakdown read over one word in between (``no early talk``), less surely; or none.

        Phrases of three words or more may hold the stranger anywhere, those of two only after no, late
        or slow. Nothing is read where a phrase stands as it is.
        """
        line = self.canonical(said)
        for at in range(len(line)):
            for size in range(min(self._longest.get(line[at].text, 0), len(line) - at - 1), 1, -1):
                for gap in range(1, size):
                    part = [*line[at : at + gap], *line[at + gap + 1 : at + size + 1]]
                    meaning = self.phrases.get(tuple(word.text for word in part))
                    if meaning is None or meaning.kind != "breakdown" or meaning.short:
                        continue
                    if line[at + gap].text in _UNASKED:
                        continue
                    if (size > 2 or line[at].text in _LACKS) and line[at + gap].text != NO:
                        sure = round(_LOOSE * min(word.sure for word in part), 2)
                        return [Spot(part[0].start, part[-1].end, meaning, sure)]
        return []

    def whole(self, said: Sequence[str], *, spelling: bool = True) -> Spot | None:
        """Return the one phrase that all the words together make, fillers aside."""
        line = self.canonical(said, spelling=spelling)
        spots = self.spots(said, spelling=spelling)
        covered = spots and line and (spots[0].start, spots[0].end) == (line[0].start, line[-1].end)
        return spots[0] if covered and len(spots) == 1 else None

    def by_itself(self, said: Sequence[str]) -> Spot | None:
        """Return the breakdown that these words name where they stand by themselves (``got beat``)."""
        line = self.canonical(said)
        if len(self._innocent(said)) == len(said):
            return None
        named = self.alone.get(tuple(word.text for word in line))
        if not named:
            bare = [word for word in said if word not in self.fillers]
            named = self.alone.get(tuple(said)) or self.alone.get(tuple(bare))
        return Spot(0, len(said), Meaning("breakdown", named), _ALONE) if named else None

    def bridged(self, before: Sequence[str], after: Sequence[str]) -> bool:
        """Say whether a phrase that holds a comma stands across one: ``boxed out, did not pursue``."""
        first, second = (self.canonical(said, spelling=False) for said in (before, after))
        line = [word.text for word in (*first, *second)]
        return any(
            tuple(line[at : at + len(phrase)]) == phrase
            for phrase in self.bridges
            for at in range(max(0, len(first) - len(phrase) + 1), len(first))
        )

    def within(self, group: str, said: Sequence[str]) -> bool:
        """Say whether these words are a phrase of one of the GROUPS."""
        return tuple(said) in self.groups[group]

    def starts(self, group: str, said: Sequence[str]) -> int:
        """Return how many of the first words make a phrase of a group, 0 for none."""
        if not said or said[0] not in self._edges[group][0]:
            return 0
        return next((n for n in range(min(4, len(said)), 0, -1) if self.within(group, said[:n])), 0)

    def ends(self, group: str, said: Sequence[str]) -> int:
        """Return how many of the last words make a phrase of a group, 0 for none."""
        if not said or said[-1] not in self._edges[group][1]:
            return 0
        return next((n for n in range(min(4, len(said)), 0, -1) if self.within(group, said[-n:])), 0)

    def with_words(self, extra: Mapping[str, str], *, codes: bool = False) -> Lexicon:
        """Return a lexicon that also knows a team's own words (phrase -> breakdown id or one of MEANINGS).

        They win over the library's. Words for unknown breakdowns, or without any letter, are left out.
        ``codes`` says that they are a sheet's own codes, which are no fillers and no clipped words.
        """
        if codes:
            fillers, clipped = self.fillers - set(extra), dict(self.abbreviated)
            for code in extra:
                clipped.pop(code, None)
            return replace(self, fillers=fillers, abbreviated=clipped).with_words(extra)
        phrases = dict(self.phrases)
        own: set[Phrase] = set(self.own)
        spoken = {word for said in extra for word in words(said)}
        for said, meant in extra.items():
            phrase = tuple(word.text for word in self.canonical(words(said), spelling=False))
            if phrase and phrase != (NO,) and meant in self.ids:
                phrases[phrase] = Meaning("breakdown", meant)
                own.add(phrase)
            elif phrase and phrase != (NO,) and meant in MEANINGS:
                phrases[phrase] = Meaning(meant)
        return replace(self, phrases=phrases, spoken=self.spoken | spoken, own=frozenset(own))


def _words_of(spot: Spot) -> frozenset[int]:
    """Return the places of a breakdown's words; of anything else a place that is nowhere."""
    return frozenset(range(spot.start, spot.end) if spot.meaning.kind == "breakdown" else (-1,))


def _of_place(said: Sequence[str], at: int) -> bool:
    """Say whether a word is the side (``to the left corner``), not what somebody left."""
    if said[at] != "left":
        return False
    return (at > 0 and said[at - 1] in _ARTICLES) or (at + 1 < len(said) and said[at + 1] in _SPOTS)


def _a_bit(said: Sequence[str], at: int) -> bool:
    """Say whether a word is the measure ``a bit``, not what somebody did to a fake."""
    return said[at] == "bit" and at > 0 and said[at - 1] in _MEASURED


def _longest_by_first(phrases: Iterable[Phrase]) -> dict[str, int]:
    longest: dict[str, int] = {}
    for phrase in phrases:
        longest[phrase[0]] = max(len(phrase), longest.get(phrase[0], 0))
    return longest
