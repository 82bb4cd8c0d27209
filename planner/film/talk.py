"""A whole film's talk with what it tells, and what speaks for and against charging one of our players."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from planner.film.mentions import BREATH, Mention, mentions
from planner.film.spoken import PAUSE, Word
from planner.film.telling import Telling

_BACK, _ON = 60, 16
"""Words before and after a telling within which someone named may be charged with it."""
_MOST = 12
"""Players looked at for one telling at most, the nearest."""
_BACK_TIME, _ON_TIME = 22_000, 6_000
_CATCH = 400
_LONG = 4_500
_HEAD = 5
_WORDS = {
    "he": frozenset({"he", "she", "his", "her", "him", "hes", "shes", "himself", "herself"}),
    "you": frozenset({"you", "your", "youre", "ya", "yer", "ye", "yourself"}),
    "they": frozenset({"they", "their", "them", "theirs", "theyre"}),
    "we": frozenset({"we", "us", "our", "ours", "everybody", "everyone", "all", "five", "guys"}),
    "nobody": frozenset(
        {"nobody", "none", "noone", "nobodys", "anybody", "anyone", "naebody", "somebody", "who", "whos"}
        | {"whose", "silence", "quiet"}
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
    "next": frozenset({"next"}),
    "clip": frozenset(
        {"next", "clip", "rewind", "another", "trip", "possession", "play", "again", "back", "quarter"}
    ),
}
_BESIDE = ("he", "you", "they", "nobody", "good", "to")
_BETWEEN = ("nobody", "they", "we", "he", "you", "good", "but", "next", "clip")
_JOINS = frozenset({"and", "or", "plus", "uh", "um", "n", "an"})
_BOTH = frozenset({"both", "pair", "neither", "two", "they", "each", "baith"})
_ARE = frozenset({"are", "were", "they", "you", "both", "back", "have"})
_IS = frozenset({"is", "he", "she", "who", "was", "has", "youre"})


@dataclass(frozen=True)
class Talk:
    """The words of a film in order, what they tell in order, and the jerseys of our players if known."""

    words: Sequence[Word]
    told: Sequence[Telling]
    roster: Collection[str] | None = None

    @cached_property
    def pauses(self) -> list[int]:
        """Return the silence before each word, in milliseconds."""
        gaps = [two.start - one.end for one, two in zip(self.words, self.words[1:], strict=False)]
        return [0, *gaps]

    @cached_property
    def named(self) -> tuple[list[Mention], list[Mention]]:
        """Return who may be named, one by one and two by two."""
        return mentions(self.words, self.pauses, self.roster)

    def near(self, told: Telling) -> list[Mention]:
        """Return who may be charged with a telling: those named near it, and pairs of them."""
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
        return [word.text for word in self.words[max(0, start) : end]]

    @cached_property
    def likely(self) -> list[tuple[int, int]]:
        """Return the spans of what is told rather than not, by where they start."""
        return sorted((one.start, one.end) for one in self.told if one.odds > 0)

    def starting(self, start: int, end: int) -> list[tuple[int, int]]:
        """Return what is told from a place between two on."""
        low = bisect_left(self.likely, start, key=lambda one: one[0])
        return self.likely[low : bisect_right(self.likely, end, key=lambda one: one[0])]


def clues(talk: Talk, told: Telling) -> list[tuple[tuple[str, ...], list[str]]]:
    """Return who may be charged with a telling, nobody first, each with the clues that speak for or against."""
    near = talk.near(told)
    found = [((), _nobody(talk, told)), *((one.players, _Clues(talk, told, near, one).all()) for one in near)]
    return [(who, list(dict.fromkeys(every))) for who, every in found]


def _nobody(talk: Talk, told: Telling) -> list[str]:
    run = talk.texts(told.start, told.end)
    found = ["none", f"none {told.breakdown}"]
    found += ["none collective"] if told.collective else []
    for kind in ("he", "you", "they", "we", "nobody"):
        places = (
            ("head", run[:_HEAD]), ("run", run), ("before", talk.texts(told.start - _HEAD, told.start))
        )  # fmt: skip
        found += [f"none {kind} {where}" for where, words in places if not _WORDS[kind].isdisjoint(words)]
    return found


def _step(value: int, *edges: int) -> int:
    return bisect_left(edges, value)


@dataclass
class _Clues:
    """What speaks for and against one named near a telling."""

    talk: Talk
    told: Telling
    near: list[Mention]
    one: Mention
    side: str = field(init=False)
    gap: tuple[int, int] = field(init=False)

    def __post_init__(self) -> None:
        start, end, one = self.told.start, self.told.end, self.one
        if one.start < start:
            self.side, self.gap = "before", (min(one.end, start), start)
        elif one.start < end:
            self.side, self.gap = "in", (start, one.start)
        else:
            self.side, self.gap = "after", (end, one.start)

    def all(self) -> list[str]:
        """Return all clues."""
        return [*self._where(), *self._between(), *self._beside(), *self._claimed(), *self._together()]

    def _where(self) -> Iterator[str]:
        side, told, one = self.side, self.told, self.one
        single = [other for other in self.near if not other.parts]
        before = [other for other in single if other.start < told.start]
        inside = [other for other in single if told.start <= other.start < told.end]
        after = [other for other in single if other.start >= told.end]
        order = {"before": before[::-1], "in": inside, "after": after}[side]
        nearest = one.last if side == "before" and one.last in order else one.first
        yield side
        yield f"{side} number {min(order.index(nearest), 2)}"
        yield f"{side} words {_step(self.gap[1] - self.gap[0], 0, 2, 5, 9, 14, 20, 30, 45)}"
        if told.collective:
            yield f"{side} collective"
        if side == "in":
            yield f"in left {_step(told.end - one.end, 0, 2, 5, 9, 14)}"
            yield from ["in, another before"] if before else []
            yield from ["in, another just before"] if before and told.start - before[-1].end <= _HEAD else []
        if side == "before" and inside:
            yield "before, another in"
            yield from ["before, another at the start"] if inside[0].start - told.start <= 3 else []
        if side == "after":
            yield from ["after, another in"] if inside else []
            yield from [] if inside or before else ["after, no other"]

    def _between(self) -> Iterator[str]:
        side, (start, end) = self.side, self.gap
        pauses = self.talk.pauses[start + 1 if side == "in" else start : end + 1]
        gap = self.talk.texts(start, end)
        run = self.talk.texts(self.told.start, self.told.end)
        yield f"{side} silence {_step(max(pauses, default=0) + 1, _CATCH, BREATH, PAUSE, _LONG)}"
        if side == "before" and sum(pause >= PAUSE for pause in pauses) > 1:
            yield "before two silences"
        others = [one for one in self.talk.starting(start, end) if one[1] <= end and not self._own(one)]
        yield f"{side} told between {min(2, len(others))}"
        yield from (f"{side} between {kind}" for kind in _BETWEEN if not _WORDS[kind].isdisjoint(gap))
        if ("and", "then") in zip(gap, gap[1:], strict=False):
            yield f"{side} between and then"
        if "same" in gap or "same" in run:
            yield f"{side} same"
        yield from (f"{side} told {kind}" for kind in ("he", "you") if not _WORDS[kind].isdisjoint(run))
        yield from (
            f"{side} head {kind}" for kind in ("he", "nobody") if not _WORDS[kind].isdisjoint(run[:_HEAD])
        )

    def _beside(self) -> Iterator[str]:
        one, side = self.one, self.side
        sure = "doubtful" if one.doubtful else "sure"
        if one.doubtful:
            yield from ("doubtful", f"doubtful {side}")
            yield from ["doubtful small"] if len(one.players[0]) == 1 else []
        if one.players[0] in ("1", "2"):
            yield "tiny"
        for name, place, step in (("<", one.start, -1), (">", one.end, 1)):
            near, far = self._word(place, step), self._word(place, 2 * step)
            yield from (
                f"{name} {near}",
                f"{sure} {name} {near}",
                f"{side} {name} {near}",
                f"{name}{name} {far}",
            )
            for kind in _BESIDE:
                yield from [f"{side} {name} :{kind}"] if near in _WORDS[kind] else []
                yield from [f"{side} {name}{name} :{kind}"] if far in _WORDS[kind] else []

    def _word(self, place: int, step: int) -> str:
        """Return a word beside someone named; a breath next to him is a full stop."""
        at = place + step - (step > 0)
        if not 0 <= at < len(self.talk.words):
            return "."
        breath = abs(step) == 1 and self.talk.pauses[place] >= BREATH
        return "." if breath else self.talk.words[at].text

    def _claimed(self) -> Iterator[str]:
        """Yield whether something else is told of him."""
        start, end = self.one.start, self.one.end
        others = [one for one in self.talk.starting(start - 24, end + 9) if not self._own(one)]
        if any(end <= one[0] <= end + 3 for one in others):
            yield f"{self.side} opens another"
        elif any(one[0] <= start <= one[0] + 3 for one in others):
            yield f"{self.side} at the start of another"
        elif any(end <= one[0] for one in others):
            yield f"{self.side} soon another"
        elif any(one[0] < start < one[1] for one in others):
            yield f"{self.side} within another"

    def _own(self, span: tuple[int, int]) -> bool:
        return span == (self.told.start, self.told.end)

    def _together(self) -> Iterator[str]:
        one, breakdown = self.one, self.told.breakdown
        if not one.parts:
            for other in self.near:
                if other.parts and one in other.parts and self._joined(other):
                    which = "first" if other.first is one else "second"
                    yield from (f"{which} of two", f"{which} of two {breakdown}")
            return
        gap = self.talk.texts(one.first.end, one.last.start)
        after = self.talk.texts(one.end, one.end + 14)
        yield from ("pair", f"pair {breakdown}", f"pair {self.side}")
        if self._joined(one):
            yield "pair and" if "and" in gap else "pair joined"
        else:
            yield from (f"pair apart {_step(len(gap), 3, 6, 10)}", f"pair apart {breakdown}")
        follows = self._word(one.end, 1)
        run = self.talk.texts(self.told.start, self.told.end)
        marks = {
            "both": "both" in run or not _BOTH.isdisjoint(after),
            "alike": bool(gap) and gap[0] == follows,
            "are": follows in _ARE,
            "is": follows in _IS,
            "with and": "and" in gap,
            "praised": not _WORDS["good"].isdisjoint(gap),
            "doubtful": one.doubtful,
            "across": one.start < self.told.start < one.end,
        }
        yield from (f"pair {name}" for name, true in marks.items() if true)

    def _joined(self, pair: Mention) -> bool:
        gap = self.talk.texts(pair.first.end, pair.last.start)
        return len(gap) <= 3 and _JOINS.issuperset(gap)
