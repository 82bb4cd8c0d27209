"""What speaks for and against charging a player named in talk over film with a breakdown told near him.

A clue is a few words, such as ``before words 2`` (he is named up to five words before it); what it weighs
stands in ``charged.toml``.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field

from planner.film.mentions import BREATH, Mention
from planner.film.spoken import PAUSE
from planner.film.talk import Span, Talk
from planner.film.telling import Telling

_KINDS = {
    "he": frozenset({"he", "she", "his", "her", "him", "hes", "shes", "himself", "herself"}),
    "you": frozenset({"you", "your", "youre", "ya", "yer", "ye", "yourself"}),
    "they": frozenset({"they", "their", "them", "theirs", "theyre"}),
    "we": frozenset({"we", "us", "our", "ours", "everybody", "everyone", "all", "five", "guys"}),
    "nobody": frozenset(
        {"nobody", "none", "noone", "nobodys", "anybody", "anyone", "somebody", "who", "whos", "whose"}
        | {"silence", "quiet"}
    ),
    "good": frozenset(
        {"good", "great", "nice", "love", "lovely", "beautiful", "perfect", "well", "excellent"}
        | {"terrific", "better", "fine", "like"}
    ),
    "to": frozenset(
        {"guarding", "on", "to", "against", "off", "by", "past", "behind", "beat", "beats", "over"}
        | {"around", "from", "at", "through", "with", "of"}
    ),
    "but": frozenset({"but", "then"}),
    "clip": frozenset(
        {"next", "clip", "rewind", "another", "trip", "possession", "play", "again", "back", "quarter"}
    ),
}
_BESIDE = ("he", "you", "they", "nobody", "good", "to")
_BETWEEN = ("nobody", "they", "we", "he", "you", "good", "but", "clip")
_JOINS = frozenset({"and", "or", "plus", "uh", "um", "n", "an"})
_JOINED = 3
_BOTH = frozenset({"both", "pair", "neither", "two", "they", "each"})
_BOTH_WITHIN = 14
_ARE = frozenset({"are", "were", "they", "you", "both", "back", "have"})
_IS = frozenset({"is", "he", "she", "who", "was", "has", "youre"})
_WORDS = (0, 2, 5, 9, 14, 20, 30, 45)
_LEFT = (0, 2, 5, 9, 14)
_SILENCES = (400, BREATH, PAUSE, 4_500)
"""Milliseconds: a catch of breath, a breath, a pause, another clip."""
_HEAD = 5
_OPENS, _SOON = 3, 9
"""Words from someone named to a telling that he opens, or that follows soon."""
_LONGEST = 24
_LONG = 300
"""Words of talk in which a player of ours is named more than once, one supposes."""
_AROUND = 40


def clues(talk: Talk, told: Telling) -> list[tuple[tuple[str, ...], list[str]]]:
    """Return who may be charged with a telling, nobody first, each with what speaks for and against."""
    near = talk.near(told)
    nobody = ["none", f"none {told.breakdown}", *(["none collective"] if told.collective else [])]
    return [((), nobody), *((one.players, list(_Clues(talk, told, near, one).all())) for one in near)]


def _has(kind: str, words: list[str]) -> bool:
    return not _KINDS[kind].isdisjoint(words)


@dataclass
class _Clues:
    """What speaks for and against one named near a telling."""

    talk: Talk
    told: Telling
    near: list[Mention]
    one: Mention
    side: str = field(init=False)
    gap: Span = field(init=False)
    """The words between him and the start of the telling, or its end if he is named after it."""

    def __post_init__(self) -> None:
        start, end, one = self.told.start, self.told.end, self.one
        if one.start < start:
            self.side, self.gap = "before", (min(one.end, start), start)
        elif one.start < end:
            self.side, self.gap = "in", (start, one.start)
        else:
            self.side, self.gap = "after", (end, one.start)

    def all(self) -> Iterator[str]:
        """Yield all clues."""
        yield from self._where()
        yield from self._between()
        yield from self._beside()
        yield from self._claimed()
        yield from self._two() if self.one.parts else self._of_two()

    def _where(self) -> Iterator[str]:
        yield self.side
        yield f"{self.side} number {min(2, self._nearer())}"
        yield f"{self.side} words {bisect_left(_WORDS, self.gap[1] - self.gap[0])}"
        if self.told.collective:
            yield f"{self.side} collective"
        if self.side == "in":
            yield f"in left {bisect_left(_LEFT, self.told.end - self.one.end)}"
        if self.talk.roster is None and len(self.talk.words) >= _LONG:
            yield f"unknown said {min(4, self.talk.often[self.one.first.players[0]])}"

    def _nearer(self) -> int:
        """Return how many on his side of the telling are named nearer to it."""
        start, end = self.told.start, self.told.end
        single = [one.start for one in self.near if not one.parts]
        if self.side == "before":
            return sum(self.one.last.start < other < start for other in single)
        return sum((start if self.side == "in" else end) <= other < self.one.start for other in single)

    def _between(self) -> Iterator[str]:
        side, (start, end) = self.side, self.gap
        pauses = self.talk.pauses[start + 1 if side == "in" else start : end + 1]
        gap = self.talk.texts(start, end)
        run = self.talk.texts(self.told.start, self.told.end)
        yield f"{side} silence {bisect_left(_SILENCES, max(pauses, default=0) + 1)}"
        if side == "before" and sum(pause >= PAUSE for pause in pauses) > 1:
            yield "before two silences"
        between = sum(other[1] <= end for other in self._others(start, end))
        yield f"{side} told between {min(2, between)}"
        yield from (f"{side} between {kind}" for kind in _BETWEEN if _has(kind, gap))
        yield from (f"{side} told {kind}" for kind in ("he", "you") if _has(kind, run))
        yield from (f"{side} head {kind}" for kind in ("he", "nobody") if _has(kind, run[:_HEAD]))

    def _beside(self) -> Iterator[str]:
        one, side = self.one, self.side
        small = len(one.players[0]) == 1
        if one.doubtful:
            yield from ("doubtful", f"doubtful {side}", *(["doubtful small"] if small else []))
        if one.players[0] in ("1", "2"):
            yield "tiny"
        for sign, word in (("<", self.talk.before(one.start)), (">", self.talk.after(one.end))):
            yield f"{sign} {word}"
            yield from (f"{side} {sign} {kind}" for kind in _BESIDE if word in _KINDS[kind])

    def _claimed(self) -> Iterator[str]:
        """Yield how many tellings begin nearer to him, and whether something else is told of him."""
        start, end = self.one.start, self.one.end
        away = abs(self.told.start - start)
        nearer = sum(abs(first - start) < away for first, _ in self._others(start - _AROUND, start + _AROUND))
        yield f"{self.side} nearer tellings {min(3, nearer)}"
        others = self._others(start - _LONGEST, end + _SOON)
        if any(end <= first <= end + _OPENS for first, _ in others):
            yield f"{self.side} opens another"
        elif any(first <= start <= first + _OPENS for first, _ in others):
            yield f"{self.side} at the start of another"
        elif any(end <= first for first, _ in others):
            yield f"{self.side} soon another"
        elif any(first < start < last for first, last in others):
            yield f"{self.side} within another"

    def _others(self, start: int, end: int) -> list[Span]:
        own = self.told.start, self.told.end
        return [one for one in self.talk.starting(start, end) if one != own]

    def _of_two(self) -> Iterator[str]:
        for other in self.near:
            if other.parts and self.one in other.parts and self._joined(other):
                yield "first of two" if other.first is self.one else "second of two"

    def _two(self) -> Iterator[str]:
        one, breakdown = self.one, self.told.breakdown
        gap = self.talk.texts(one.first.end, one.last.start)
        yield from ("two", f"two {breakdown}", f"two {self.side}")
        if self._joined(one):
            yield "two and" if "and" in gap else "two joined"
        else:
            yield from (f"two apart {bisect_left((3, 6, 10), len(gap))}", f"two apart {breakdown}")
        follows = self.talk.after(one.end)
        run = self.talk.texts(self.told.start, self.told.end)
        signs = {
            "both": "both" in run or not _BOTH.isdisjoint(self.talk.texts(one.end, one.end + _BOTH_WITHIN)),
            "alike": bool(gap) and gap[0] == follows,
            "are": follows in _ARE,
            "is": follows in _IS,
            "with and": "and" in gap,
            "praised": _has("good", gap),
            "doubtful": one.doubtful,
            "across": one.start < self.told.start < one.end,
        }
        yield from (f"two {name}" for name, true in signs.items() if true)

    def _joined(self, pair: Mention) -> bool:
        gap = self.talk.texts(pair.first.end, pair.last.start)
        return len(gap) <= _JOINED and _JOINS.issuperset(gap)
