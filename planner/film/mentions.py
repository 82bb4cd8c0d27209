"""Every place in talk over film where a player of ours may be named: jerseys, in words, misheard, in pairs.

Numbers that count clips (``twelve, shot fake .. thirteen, lazy arms``), scores and heights are no players.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planner.film.items import jersey
from planner.film.spoken import PAUSE, PLAYER, Word, number_said
from planner.film.words import TENS, UNITS

BREATH = 1000
"""Milliseconds of silence after which another sentence begins."""
APART = 14
"""Most words between two who are charged together."""
_OPENERS = frozenset(
    {"okay", "ok", "next", "clip", "number", "play", "possession", "um", "uh", "right", "and", "now", "so"}
    | {"alright", "piece", "trip", "well", "here", "this", "is", "then"}
)
_OPENING = 4
_COUNTED, _COUNTED_OURS = 3, 5
"""So many numbers in a row that open talk, each one or two more, count clips; more if all may be ours."""
_ZEROS = frozenset({"zero", "oh", "double"})
_NAMED = frozenset({"number", "num"})
_SOUNDS = {
    "fore": "four", "ate": "eight", "ait": "eight", "tree": "three", "twenny": "twenty", "sicks": "six",
    "fiteen": "fifteen", "toew": "two", "nein": "nine", "fourty": "forty", "thirdy": "thirty",
}  # fmt: skip
"""Numbers as captions mishear them, where that is no common word."""
_LIKE = {"to": "2", "too": "2", "for": "4", "ate": "8", "won": "1"}
"""What a number may be heard as behind ``number`` or behind a ten: ``number to``, ``forty for``."""
_JERSEY = 2
_OURS = 2
"""Without a roster, how often a player is named beyond doubt before a doubtful number may be his."""


@dataclass(frozen=True, slots=True)
class Mention:
    """Words ``start`` up to ``end`` that name players; ``doubtful`` if the number may count something.

    Two named after one another are a mention too; ``parts`` are then the two.
    """

    start: int
    end: int
    players: tuple[str, ...]
    doubtful: bool = False
    parts: tuple[Mention, ...] = ()

    @property
    def first(self) -> Mention:
        """Return the first named."""
        return self.parts[0] if self.parts else self

    @property
    def last(self) -> Mention:
        """Return the last named."""
        return self.parts[-1] if self.parts else self


def mentions(
    words: Sequence[Word], pauses: Sequence[int], roster: Collection[str] | None
) -> tuple[list[Mention], list[Mention]]:
    """Return who may be named in talk, one by one and two by two; ``pauses`` stand before the words.

    Without a ``roster`` numbers that may count something are players only if they are named so elsewhere.
    """
    numbers = list(_numbers(words, roster or ()))
    counted = _counts(
        [one for one in numbers if not _called(words[one.start])], _opening(words, pauses), roster
    )
    counted |= set(_scores(words, numbers))
    named = [one for one in numbers if one.start not in counted]
    sure = Counter(one.players[0] for one in named if not one.doubtful)
    ours = {one for one, many in sure.items() if many >= _OURS} if roster is None else set(roster)
    single = [one for one in named if one.players[0] in ours or (roster is None and not one.doubtful)]
    pairs = [
        Mention(one.start, two.end, one.players + two.players, one.doubtful or two.doubtful, (one, two))
        for one, two in pairwise(single)
        if one.players != two.players
        and two.start - one.end <= APART
        and max(pauses[one.end : two.start + 1]) < PAUSE
    ]
    return single, pairs


def _numbers(words: Sequence[Word], roster: Collection[str]) -> Iterator[Mention]:
    at = 0
    while at < len(words):
        size, digits = _number(words, at, roster)
        if size and len(digits) <= _JERSEY:
            yield Mention(at, at + size, (jersey(digits),), size > 1 or words[at].text != PLAYER)
        at += size or 1


def _number(words: Sequence[Word], at: int, roster: Collection[str]) -> tuple[int, str]:
    """Return how many words make a number and its digits; the unit of a ten is none by itself."""
    said = [_SOUNDS.get(word.said, word.said) for word in words[at : at + 3]]
    second = said[1] if len(said) > 1 else ""
    if words[at].text in _NAMED and second in _LIKE:
        return 2, _LIKE[second]
    if words[at].player is not None:
        return 1, words[at].player or ""
    score = len(said) > 2 and bool(number_said(said[2:], spelled=False)[0])
    if said[0] in TENS and second in _LIKE and not score and str(TENS[said[0]]) not in roster:
        heard = str(TENS[said[0]] + int(_LIKE[second]))
        if heard in roster:
            return 2, heard
    return number_said(said, spelled=False)


def _scores(words: Sequence[Word], numbers: Sequence[Mention]) -> Iterator[int]:
    """Yield the places of numbers that are a score or a height: ``thirty to nineteen``, ``six foot six``."""
    for one, two in pairwise(numbers):
        between = [word.text for word in words[one.end : two.start]]
        if between in (["to"], ["foot"], ["feet"]):
            yield from (one.start, two.start)


def _opening(words: Sequence[Word], pauses: Sequence[int]) -> set[int]:
    """Return the places where a sentence begins, past words such as ``okay next``."""
    found = set()
    for start in range(len(words)):
        if start and pauses[start] < BREATH:
            continue
        at = start
        while at < min(start + _OPENING, len(words)) and words[at].text in _OPENERS:
            at += 1
        found.add(at)
    return found


def _called(word: Word) -> bool:
    """Say whether a player is called by his name."""
    said = word.said.split()
    if word.player is None:
        return False
    return not word.player.isdecimal() or not any(
        one in UNITS or one in TENS or one in _ZEROS or one.isdecimal() for one in said
    )


def _counts(numbers: Sequence[Mention], opening: Collection[int], roster: Collection[str] | None) -> set[int]:
    """Return the places of numbers that count clips: a row of them, longer where all are players of ours."""
    found: set[int] = set()
    run: list[tuple[int, str]] = []
    for one in [*(one for one in numbers if one.start in opening), None]:
        step = int(one.players[0]) - int(run[-1][1]) if one and run else 0
        if one and (not run or step in (1, 2)):
            run.append((one.start, one.players[0]))
        elif one is None or (step and len(run) < _COUNTED):
            found |= _counted(run, roster)
            run = [(one.start, one.players[0])] if one else []
    return found


def _counted(run: Sequence[tuple[int, str]], roster: Collection[str] | None) -> set[int]:
    ours = roster is None or all(number in roster for _, number in run)
    return {place for place, _ in run} if len(run) >= (_COUNTED_OURS if ours else _COUNTED) else set()
