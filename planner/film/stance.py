"""One stretch of talk: which breakdowns its words name, and how sure it is that our defence made them.

Everything is added in log odds: what kind of phrase it is, and what the words around it make of it
(praise, a condition, teaching, the other team, our own attack, a look back). Weights are data.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from planner.film.lexicon import Lexicon
from planner.film.narration import Marker, Narration, Rule
from planner.film.phrases import Hit
from planner.film.spoken import PLAYER, Word
from planner.film.telling import Telling, overshadowed

HUSH = 1500
"""Milliseconds of silence that end what a word says about others."""
_FAR = 30
"""No marker reaches further than this many words."""
_BLOCK = 15_000
"""Milliseconds that "on offence" and the like hold when nothing ends it."""
_NO = "no"
_OMISSIONS = frozenset({"undone", "hints", "never", "late"})
_ABOUT = 16
"""How many words before a telling show what the talk is about; half as many after it."""
_COLLECTIVE = frozenset({"nobody", "none", "no", "noon"})
_JOINING = frozenset({"and", "or", "nor"})
_WRITTEN = 3
"""Words that a phrase of typed notes must have to be believed in speech."""
_PASSIVE = frozenset({"get", "give", "let", "allow", "lose", "watch", "see", "have", "beat"})
_SUBJECT = 6


@dataclass(frozen=True)
class Stretch:
    """A run of words without a long pause, as heard."""

    words: Sequence[Word]
    narration: Narration
    lexicon: Lexicon

    @cached_property
    def readings(self) -> list[str]:
        """Return each word in its base form."""
        return [self.narration.speech.base(word.text) for word in self.words]

    @cached_property
    def marks(self) -> list[Hit[Marker]]:
        """Return the markers."""
        return self.narration.marks(self.readings)

    @cached_property
    def hushes(self) -> list[int]:
        """Return the places of words that follow a silence."""
        places = range(1, len(self.words))
        return [at for at in places if self.words[at].start - self.words[at - 1].end >= HUSH]

    @cached_property
    def _mark_starts(self) -> list[int]:
        return [hit.start for hit in self.marks]

    @cached_property
    def _rules(self) -> list[Hit[Rule]]:
        return self.narration.rules.hits(self.readings)

    @cached_property
    def _rule_starts(self) -> list[int]:
        return [hit.start for hit in self._rules]

    @cached_property
    def found(self) -> list[Telling]:
        """Return whatever a phrase finds, one place possibly several times, not yet weighed."""
        return [one for hit in self._rules if (one := self._told(hit))]

    def named(self) -> Iterator[tuple[int, int, str]]:
        """Yield (start, end, breakdown) of right actions, done or not."""
        for hit in self._rules:
            if hit.what.kind in _OMISSIONS:
                yield hit.start, hit.end, hit.what.breakdown

    def tellings(self) -> list[Telling]:
        """Return the breakdowns told, each place of the talk read once, in order."""
        found = [*self.found, *self._written()]
        kept: list[Telling] = []
        taken = [False] * (len(self.words) + 1)
        for one in sorted(found, key=Telling.rank):
            if not any(taken[one.start : one.end]):
                taken[one.start : one.end] = [True] * (one.end - one.start)
                kept.append(one)
        kept.sort(key=lambda one: one.start)
        kept = [one for one in kept if one.size > 1 or not overshadowed(one, kept)]
        for one in kept:
            self._weigh(one)
        return kept

    def _told(self, hit: Hit[Rule]) -> Telling | None:
        base = self.narration.base
        told = Telling(hit.what.breakdown, hit.start, hit.end, base.get(hit.what.kind, 0.0), 2 * hit.size)
        told.odds -= base["misheard"] * (hit.weight < 1.0)
        theirs = hit.what.kind in ("theirs", "perhaps")
        if hit.what.kind in _OMISSIONS:
            omission = self._omission(hit)
            if omission is None:
                return None
            told.odds = omission.what.weight - base["misheard"] * (hit.weight < 1.0)
            if not self._shared(omission, hit):
                told.start, told.end = min(omission.start, hit.start), max(omission.end, hit.end)
            told.size += 2 * omission.size
            told.collective = self.readings[omission.start] in _COLLECTIVE
            if hit.what.kind == "late" and omission.what.stance != "late":
                told.size -= 1
        elif self._denied(hit):
            told.stances["denied"] = base["denied"]
            told.size = 0
        if hit.what.kind == "perhaps":
            told.size = 1
        side = self._side(told.start, theirs=theirs)
        if side:
            told.stances["side"] = side
        self._support(told)
        return None if hit.what.kind == "hints" and not told.about else told

    def _support(self, told: Telling) -> None:
        """Count what the talk around is about: it makes surer, and decides between breakdowns."""
        near = self.narration.near.get(told.breakdown, frozenset())
        about = {*self.readings[max(0, told.start - _ABOUT) : told.start]}
        about.update(self.readings[told.end : told.end + _ABOUT // 2])
        told.about = len(near & about)
        if told.about:
            told.stances["near"] = self.narration.base["near"]

    def _written(self) -> Iterator[Telling]:
        """Yield what the phrases of typed notes find: the team's own, and the library's of three words."""
        said = [word.text for word in self.words]
        if not self.narration.base:
            return
        for spot in self.lexicon.spots(said, short=False, spelling=False):
            if spot.meaning.kind != "breakdown":
                continue
            run = said[spot.start : spot.end]
            named = [word for word in run if word not in self.lexicon.fillers]
            own = tuple(word.text for word in self.lexicon.canonical(run, spelling=False)) in self.lexicon.own
            split = self.narration.speech.barriers & set(self.readings[spot.start : spot.end])
            if own or (len(named) >= _WRITTEN and not split):
                odds = self.narration.base["own" if own else "written"]
                size = 2 * len(named) if own else 1
                yield Telling(spot.meaning.id, spot.start, spot.end, odds, size, own=own)

    def _omission(self, hit: Hit[Rule]) -> Hit[Marker] | None:
        """Return what makes a right action a missing, late or poor one, the strongest of it."""
        found = [mark for mark in self._around(hit.start, hit.end) if _fits(hit.what.kind) in mark.what.fits]
        fitting = [mark for mark in found if self._before(mark, hit) or self._after(mark, hit)]
        return max(fitting, key=lambda mark: (mark.what.weight, mark.start), default=None)

    def _before(self, mark: Hit[Marker], hit: Hit[Rule]) -> bool:
        if mark.end > hit.start or not mark.what.before:
            return False
        if not self._reaches(mark.end, hit.start, mark.what.before, self.narration.speech.barriers):
            return False
        return not self._claimed(mark, hit)

    def _claimed(self, mark: Hit[Marker], hit: Hit[Rule]) -> bool:
        """Say whether the omission is about an action in between: ``no talk on the switch``."""
        first = bisect_left(self._rule_starts, mark.end)
        for other in self._rules[first : first + 60]:
            if other.start >= hit.start:
                return False
            between = set(self.readings[other.end : hit.start])
            own = other.what.breakdown == hit.what.breakdown or other.end > hit.start
            if not own and other.what.kind != "perhaps" and not between & _JOINING:
                return True
        return False

    def _shared(self, mark: Hit[Marker], hit: Hit[Rule]) -> bool:
        """Say whether the omission is about an action in between too: ``no tag or rotation``."""
        first = bisect_left(self._rule_starts, mark.end)
        between = self._rules[first : bisect_left(self._rule_starts, hit.start)]
        return any(other.end <= hit.start and other.what.kind in _OMISSIONS for other in between)

    def _after(self, mark: Hit[Marker], hit: Hit[Rule]) -> bool:
        if mark.start < hit.end or not mark.what.after:
            return False
        if not self._reaches(hit.end, mark.start, mark.what.after, self.narration.speech.barriers):
            return False
        first = bisect_left(self._rule_starts, mark.end)
        later = self._rules[first : first + 1]
        return not (later and later[0].start <= mark.end + 1 and mark.size < 2)

    def _denied(self, hit: Hit[Rule]) -> bool:
        reach = int(self.narration.base["denied_reach"])
        barriers = self.narration.speech.barriers
        return any(
            mark.what.stance == _NO
            and mark.end <= hit.start
            and self._reaches(mark.end, hit.start, reach, barriers)
            and not self._claimed(mark, hit)
            for mark in self._around(hit.start, hit.end)
        )

    def _around(self, start: int, end: int) -> list[Hit[Marker]]:
        first = bisect_left(self._mark_starts, start - _FAR)
        return self.marks[first : bisect_right(self._mark_starts, end + _FAR)]

    def _reaches(self, end: int, start: int, most: int, stops: frozenset[str]) -> bool:
        """Say whether at most ``most`` words stand from ``end`` to ``start``, and none that stops it."""
        if start - end > _FAR:
            return False
        count = 0
        for at in range(end, start):
            word = self.readings[at]
            if word in stops:
                return False
            count += word not in self.narration.speech.fillers
        return count <= most and not self._hushed(end, start)

    def _hushed(self, end: int, start: int) -> bool:
        places = range(max(1, end), min(start + 1, len(self.words)))
        return any(self.words[at].start - self.words[at - 1].end >= HUSH for at in places)

    def _side(self, start: int, *, theirs: bool) -> float:
        """Return what is taken off when the team that does it is not the one whose breakdown it would be."""
        passed: list[str] = []
        if self.words[start].text == PLAYER:
            return 0.0
        for at in range(start - 1, max(-1, start - 1 - _SUBJECT), -1):
            word, text = self.readings[at], self.words[at].text
            if word in self.narration.opponents or (text == "their" and start - at <= 3):
                return 0.0 if theirs else self.narration.base["other_side"]
            if word in self.narration.ours or text == PLAYER:
                ours = text in ("we", "our") and not _PASSIVE & set(passed)
                article = "get" in passed and self.words[at + 1].text != "a" and self._article(at, start)
                return self.narration.base["other_side"] * ((ours or article) and theirs and text != PLAYER)
            if word in self.narration.turns or word in _JOINING or word == "he":
                return 0.0
            passed.append(word)
        return 0.0

    def _article(self, start: int, end: int) -> bool:
        """Say whether ``a`` stands right before: ``we get a back door`` is ours, not ``we get back cut``."""
        texts = [word.text for word in self.words[start:end]]
        return bool(texts) and texts[-1] in ("a", "an") and "give" not in texts

    def _weigh(self, told: Telling) -> None:
        for mark in self._around(told.start, told.end):
            what = mark.what
            if what.fits or what.past or not what.weight or told.breakdown in what.spares:
                continue
            stops = frozenset[str]() if what.crosses else self.narration.turns
            before = mark.end <= told.start and self._reaches(mark.end, told.start, what.before, stops)
            after = mark.start >= told.end and self._reaches(told.end, mark.start, what.after, stops)
            if (before and what.before) or (after and what.after):
                self._take(told, what)
        for what in self._lasting(told.start):
            if told.breakdown not in what.spares:
                self._take(told, what)
        told.odds += sum(told.stances.values())

    def _take(self, told: Telling, what: Marker) -> None:
        before = told.stances.get(what.stance, 0.0)
        told.stances[what.stance] = min(before, what.weight) if what.weight < 0 else max(before, what.weight)

    def _lasting(self, start: int) -> Iterator[Marker]:
        """Yield what was said of the whole stretch before ``start`` and still holds."""
        last = bisect_right(self._lasts_starts, start) - 1
        for hit in reversed(self._lasts[max(0, last - 7) : last + 1]):
            ended = self.words[start].start - self.words[hit.end - 1].end > _BLOCK
            if ended or hit.end > start or self._hushed(hit.end, start):
                return
            if hit.what.stance in ("clip", "defence"):
                return
            yield hit.what

    @cached_property
    def _lasts(self) -> list[Hit[Marker]]:
        return [hit for hit in self.marks if hit.what.block or hit.what.stance == "clip"]

    @cached_property
    def _lasts_starts(self) -> list[int]:
        return [hit.start for hit in self._lasts]


def _fits(kind: str) -> str:
    return "undone" if kind == "hints" else kind
