"""The notes of one line as items: breakdowns, players, points, other meanings and plain words."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Literal, NamedTuple

from planner.film.meant import liked, overruled, told
from planner.film.lexicon import NO
from planner.film.misheard import misheard
from planner.film.clipped import unclipped
from planner.film.undone import undone
from planner.film.wording import Lexicon, Meaning, Spot
from planner.film.words import Token, number_word, stem, tokens

ItemKind = Literal[
    "breakdown", "jersey", "number", "paren", "points", "times", "meaning", "word", "noise", "and", "break"
]
_POINTS = frozenset({"points", "pts", "point", "pt"})
_THEIR = frozenset({"their", "opp", "opponents"})
MOST_POINTS = 5
_NONE = frozenset({"none", "nothing", "zip", "nada", "zilch"})
GOES_ON = frozenset({",", "-", "--", "–", "—"})
"""Marks within a sentence; any other ends it."""
NAMED, NOBODYS = 1, 2
"""Values of a breakdown called by its own name, and of one that tells what nobody did."""
_NOBODY = frozenset({"nobody", "noone", "none", "neither"})
_MEASURES = frozenset(
    {
        "second",
        "seconds",
        "sec",
        "secs",
        "minutes",
        "steps",
        "step",
        "feet",
        "foot",
        "guys",
        "men",
        "dribbles",
    }
)
_THEY = frozenset({"they", "theyre", "opponents", "opponent"})
_OF_DEFENDERS = frozenset(
    {
        *(
            "ball-watching",
            "turned-back",
            "hands-down",
            "no-talk",
            "no-pursuit",
            "no-bluff",
            "over-commit",
            "unmatched",
        ),
        *("fly-by", "left-feet", "reach-foul", "slow-back", "no-pressure", "slow-recover", "late-show"),
        *("no-box-out", "late-help", "far-from-paint", "died-on-screen", "stuck-on-tag"),
    }
)
"""What is told with the one who did it as its subject: nothing of ours where that is an opponent."""
_SUBJECT = 3
_LACKING = frozenset(
    {
        "no",
        "nobody",
        "noone",
        "none",
        "without",
        "not",
        "never",
        "late",
        "slow",
        "poor",
        "bad",
        "weak",
        "lazy",
    }
)
_SHOT = frozenset(
    stem(word)
    for word in (
        "shot",
        "shoot",
        "shooter",
        "shooting",
        "jumper",
        "closeout",
        "closes",
        "arrive",
        "arrives",
        "threw",
        "thrower",
    )
)
_ATTACKERS = frozenset(
    stem(word)
    for word in (
        *("shooter", "shooters", "cutter", "cutters", "roller", "screener", "screen", "screens", "dribbler", "handler"),
        *("passer", "driver", "trailer", "spacing", "offense", "offence", "attack", "cuts", "sets", "roll", "picks"),
    )
)
"""Who is ours only when we have the ball."""
_ROLLS = frozenset(
    stem(word) for word in ("roll", "rolls", "rolled", "roller", "dive", "dives", "dived", "diver")
)
_PASSED = frozenset(
    stem(word) for word in ("pass", "passer", "passing", "skip", "feed", "entry", "inbounder")
)
_ARRIVED = frozenset(
    {("got", "there"), ("gets", "there"), ("get", "there"), ("in", "time"), ("got", "to"), ("gets", "to")}
)
_BOUNCES = frozenset({"bounce", "bounces", "bounced", "bouncing"})
_GIVING = frozenset({"gave", "give", "gives"})
_FEW = 3
_AROUND = 2
_MIDST = 3
_EVERYDAY = 2
_AS_IT_STANDS = 0.9
_WINDOW = 6
"""Words on either side of a faint phrase that may bear it out."""
_DOUBT = 2.0
"""Lead of another breakdown that a faint phrase with its player does not outweigh."""
_POINTS_LAST = 2
"""Words of ``two points`` at the end of a stretch."""
_BESIDE = 2
_LIKE = 0.75
"""More cannot be scored on one possession; a larger number is no points."""


class Item(NamedTuple):
    """One piece of a line. ``text``: breakdown id, jersey, word or kind of meaning; ``value``: a number."""

    kind: ItemKind
    text: str = ""
    value: int = 0
    sure: float = 1.0


def read_items(text: str, lexicon: Lexicon, line: list[Token] | None = None) -> list[Item]:
    """Return the items of the notes on one line, in order; ``line`` its tokens, where they are known."""
    return _Reader(tokens(text) if line is None else line, lexicon).items()


class _Reader:
    def __init__(self, line: list[Token], lexicon: Lexicon) -> None:
        self.line = line
        self.lexicon = lexicon
        self.found: list[Item] = []
        self.at = 0
        self.run: list[str] = []
        """The words directly before the present token."""

    def items(self) -> list[Item]:
        while self.at < len(self.line):
            token = self.line[self.at]
            if token.kind in ("word", "and"):
                self._words()
                continue
            self._mark(token)
            self.run = []
            self.at += 1
        return _of_roller(self.found)

    def _words(self) -> None:
        said = self._run_at(self.at)
        size = len(said)
        after = self.at + size
        inside: list[tuple[int, Item]] = []
        if after + 1 < len(self.line):
            more = self._run_at(after + 1)
            if self.line[after].text == "," and more and self.lexicon.bridged(said, more):
                said, size = said + more, size + 1 + len(more)
            elif self.line[after].kind in ("number", "jersey") and self._around(said, more):
                player = self.line[after]
                inside.append((len(said), Item("jersey", jersey(player.text), player.value)))
                said, size = said + more, size + 1 + len(more)
        self._spotted(said, inside)
        self.run = said
        self.at += size
        if said == ["to"] and self.at == len(self.line):
            self.found.append(Item("meaning", "stop"))

    def _spotted(self, said: list[str], inside: list[tuple[int, Item]]) -> None:
        at = 0
        for spot in self._spots(said):
            if spot.meaning.kind in ("neutral", "clean") and self._said_points(said, spot):
                continue
            if spot.meaning.id in _OF_DEFENDERS and self._they_did(said, spot):
                spot = replace(spot, meaning=Meaning("neutral"))
            if spot.meaning.id == "hands-down" and _on_shot(said):
                spot = replace(spot, meaning=Meaning("breakdown", "no-contest"))
            self._plain(said, at, spot.start)
            self.found += [item for place, item in inside if place < spot.end]
            self.found.append(_spotted(spot, said))
            inside = [pair for pair in inside if pair[0] >= spot.end]
            at = spot.end
        self._plain(said, at, len(said))

    def _they_did(self, said: list[str], spot: Spot) -> bool:
        """Say whether a mistake is told of the other team: ``their #11 loses the ball``, ``they jog back``."""
        noun = said[spot.start] in _LACKING
        if spot.start > _SUBJECT or noun or "by" in said[spot.start : spot.end]:
            return False
        if said[0] in _THEY or said[0] in _THEIR:
            return not any(word in ("because", "cause", "as", "while", "when") for word in said[: spot.start])
        player = self.line[self.at - 1] if self.at else None
        if player is None or player.kind not in ("jersey", "number", "paren") or spot.start > 1:
            return False
        before = self._run_before(self.at - 1)
        return bool(before) and (before[-1] in _THEIR or (len(before) > 1 and before[-2] in _THEIR))

    def _run_before(self, at: int) -> list[str]:
        start = at
        while start and self.line[start - 1].kind in ("word", "and"):
            start -= 1
        return [token.text for token in self.line[start:at]]

    def _said_points(self, said: list[str], spot: Spot) -> bool:
        """Say whether a word that may tell a kind of shot, or that all was well, is a number of points."""
        word = said[spot.start]
        if spot.end - spot.start != 1 or (number_word(word) is None and word not in _NONE):
            return False
        return self._worded_points(said, spot.start) or self._alone(said)

    def _spots(self, said: list[str]) -> list[Spot]:
        if _our_attack(said):
            return [spot for spot in self.lexicon.spots(said) if spot.meaning.kind not in ("breakdown", "denied")]
        spots = self.lexicon.spots(said)
        alone = self.lexicon.by_itself(said) if not spots else None
        if alone is not None:
            return [alone]
        full = unclipped(said, spots, self.lexicon)
        if full is not None:
            apart = [one for one in spots if one.end <= full.start or one.start >= full.end]
            return sorted([*apart, full], key=lambda one: one.start)
        if not any(spot.meaning.kind == "breakdown" for spot in spots):
            heard = misheard(said, spots, self.lexicon)
            if heard is not None:
                return sorted([*spots, heard], key=lambda one: one.start)
        if spots and any(self._faint(spot, said) for spot in spots):
            spots = [spot for spot in spots if not self._faint(spot, said) or self._borne_out(spot, said)]
            if not spots:
                return self._told(said)
        if len(spots) == 1:
            return [self._overruled(spots[0], said)]
        lacking = undone(said, self.lexicon) if not _named(spots) else None
        if lacking is not None and spots:
            apart = [one for one in spots if one.end <= lacking.start or one.start >= lacking.end]
            return sorted([*apart, lacking], key=lambda one: one.start)
        if spots or any((stem(word),) in self.lexicon.groups["praise"] for word in said):
            return spots
        return self.lexicon.loose(said) or ([lacking] if lacking else self._told(said))

    def _faint(self, spot: Spot, said: list[str]) -> bool:
        """Say whether everyday words that may name a mistake stand in the midst of many others."""
        if spot.meaning.kind != "breakdown" or spot.sure < _AS_IT_STANDS:
            return False
        named = self.lexicon.canonical(said[spot.start : spot.end], spelling=False)
        phrase = tuple(one.text for one in named)
        everyday = len(named) == 1 or (len(named) <= _EVERYDAY and not self.lexicon.firm & set(phrase))
        if phrase in self.lexicon.own or not (everyday or phrase in self.lexicon.faint):
            return False
        return len(self.lexicon.canonical(said, spelling=False)) - len(named) >= _MIDST

    def _borne_out(self, spot: Spot, said: list[str]) -> bool:
        """Say whether the words around a faint phrase, or a player beside it, bear it out."""
        around = said[max(0, spot.start - _WINDOW) : spot.end + _WINDOW]
        best, lead = liked(around, self.lexicon)
        if best == spot.meaning.id:
            return True
        return self._player_beside(spot, said) and lead < _DOUBT

    def _player_beside(self, spot: Spot, said: list[str]) -> bool:
        """Say whether a player stands directly before what is told, or behind it."""
        after = self.at + len(said)
        before = self.at and spot.start <= _BESIDE and self.line[self.at - 1].kind in ("number", "jersey")
        behind = (
            spot.end == len(said) and after < len(self.line) and self.line[after].kind in ("number", "jersey")
        )
        return bool(before or behind)

    def _overruled(self, spot: Spot, said: list[str]) -> Spot:
        """Return a phrase, or what the words around it make of it when they are many."""
        if spot.meaning.kind != "breakdown" or len(said) < spot.end - spot.start + _AROUND:
            return spot
        named = overruled(spot.meaning.id, said, self.lexicon)
        return (
            spot
            if named == spot.meaning.id
            else replace(spot, meaning=Meaning("breakdown", named), sure=_LIKE)
        )

    def _told(self, said: list[str]) -> list[Spot]:
        after = self.at + len(said)
        beside = [*self.line[max(0, self.at - 1) : self.at], *self.line[after : after + 1]]
        player = any(one.kind in ("number", "jersey") for one in beside)
        made = told(said, self.lexicon, player=player)
        end = len(said) - _POINTS_LAST if said[-1] in _POINTS and len(said) > _FEW else len(said)
        return [Spot(0, end, Meaning("breakdown", made[0]), made[1])] if made else []

    def _around(self, before: list[str], after: list[str]) -> bool:
        """Say whether a breakdown stands around a player: ``beats 10 to the middle``."""
        if not after:
            return False
        both = self._named(before + after)
        around = [spot for spot in both if spot.start < len(before) < spot.end]
        if not around or self._named(before):
            return False
        end = around[0].end - len(before)
        return all(spot.start >= end for spot in self._named(after))

    def _named(self, said: list[str]) -> list[Spot]:
        return [spot for spot in self.lexicon.spots(said) if spot.meaning.kind == "breakdown"]

    def _run_at(self, at: int) -> list[str]:
        end = at
        while end < len(self.line) and self.line[end].kind in ("word", "and"):
            end += 1
        return [token.text for token in self.line[at:end]]

    def _plain(self, said: list[str], start: int, end: int) -> None:
        for at in range(start, end):
            word = said[at]
            value = 0 if word in _NONE else number_word(word)
            if word == "and":
                self.found.append(Item("and"))
            elif value is not None and (self._worded_points(said, at) or self._alone(said)):
                self.found.append(Item("points", "worded", value))
            elif word in _POINTS and self.found and self.found[-1].kind == "points":
                continue
            else:
                self.found.append(Item("word", word))

    def _alone(self, said: list[str]) -> bool:
        """Say whether a number in words stands by itself at the end, as in ``kickout. Three``."""
        after = self.at + len(said)
        ended = all(one.kind == "break" for one in self.line[after:])
        return (
            said in (["two"], ["three"], ["zero"])
            and ended
            and self.at > 0
            and self.line[self.at - 1].kind == "break"
        )

    def _worded_points(self, said: list[str], at: int) -> bool:
        """Say whether a number in words is points: ``gave up two``, ``hits a three``, ``two points``."""
        if _MEASURES & set(said[at + 1 : at + 3]):
            return False
        before = said[: at - 1] if at and said[at - 1] in ("a", "the") else said[:at]
        return bool(said[at + 1 : at + 2] and said[at + 1] in _POINTS) or bool(
            self.lexicon.ends("scored", before)
        )

    def _mark(self, token: Token) -> None:
        if token.kind == "number":
            self._number(token)
        elif token.kind in ("jersey", "paren") and (self._theirs() or self._in_no_need()):
            self.found.append(Item("noise", token.text, token.value))
        elif token.kind == "jersey":
            self.found.append(Item("jersey", jersey(token.text), token.value))
        elif token.kind == "noise" or (token.kind == "times" and self.run[-1:] and self.run[-1] in _BOUNCES):
            self.found.append(Item("noise", token.text))
        elif token.kind in ("points", "paren", "times"):
            self.found.append(Item(token.kind, token.text, token.value))
        else:
            self.found.append(Item("break", token.text))

    def _number(self, token: Token) -> None:
        """Read a bare number: points after ``made``, nothing in ``open 3``, else a player."""
        value = token.value
        if self._scored(value) or self._scored_after(token):
            self.found.append(Item("points", "", value))
        elif self._counts(token) or self._in_no_need():
            self.found.append(Item("noise", token.text, value))
        elif 1 <= value <= _FEW and self._after_shot():
            self.found.append(Item("points", "", value))
        else:
            self.found.append(Item("number", jersey(token.text), value))

    def _theirs(self) -> bool:
        """Say whether the words before a number make it an opponent's: ``their 12``, ``their guard (5)``."""
        return bool(self.lexicon.ends("theirs", self.run)) or (len(self.run) > 1 and (self.run[-2] in _THEIR))

    def _in_no_need(self) -> bool:
        """Say whether a player is only the one who needed no help: ``when 11 didn't even need it``."""
        after = [one.text for one in self.lexicon.canonical(self._run_at(self.at + 1)[: _BESIDE + 2])]
        return after[:1] == [NO] and "need" in after[1:2]

    def _after_shot(self) -> bool:
        """Say whether a bare number ends a stretch that tells how they scored: ``layup 2``."""
        found = [one for one in self.found[-2:] if one != Item("break", ",")]
        last = found[-1] if found else None
        ended = self.at + 1 >= len(self.line) or self.line[self.at + 1].kind == "break"
        return ended and last == Item("meaning", "neutral")

    def _counts(self, token: Token) -> bool:
        """Say whether a bare number is no player of ours: theirs, a kind of shot, a count of something."""
        lexicon = self.lexicon
        if len(token.text) > 2 or self._theirs():
            return True
        if token.value in (2, 3) and lexicon.ends("shots", self.run):
            return True
        after = self._run_at(self.at + 1)
        if not lexicon.starts("counted", after):
            return False
        spots = lexicon.spots(after)
        return not (spots and spots[0].start == 0 and spots[0].meaning.kind == "breakdown")

    def _scored_after(self, token: Token) -> bool:
        after = self._run_at(self.at + 1)
        size = self.lexicon.starts("scored_after", after)
        if not size or len(token.text) > 1 or token.value > MOST_POINTS:
            return False
        beyond = self.at + 1 + size
        return beyond >= len(self.line) or self.line[beyond].kind not in ("number", "word")

    def _scored(self, value: int) -> bool:
        before = self.found[-1] if self.found else None
        if before == Item("noise", "and-1") and value <= MOST_POINTS:
            return True
        size = self.lexicon.ends("scored", self.run)
        if not size or (self.run[-1] == "for" and self.lexicon.starts("counted", self._run_at(self.at + 1))):
            return False
        if self.run[-1] in _GIVING and self._run_at(self.at + 1):
            return False
        return value <= MOST_POINTS or self.run[-1] not in ("for", *_GIVING)


def jersey(digits: str) -> str:
    """Return a jersey as text: ``0`` and ``00`` are two players, ``04`` is 4."""
    return digits if digits in ("0", "00") else digits.lstrip("0") or "0"


def _named(spots: list[Spot]) -> bool:
    return any(spot.meaning.kind in ("breakdown", "denied", "praised") for spot in spots)


def _of_roller(items: list[Item]) -> list[Item]:
    """Read a cutter not bumped as the roller where a sentence tells of one."""
    bumped = [at for at, one in enumerate(items) if one.kind == "breakdown" and one.text == "free-cutter"]
    for at in bumped:
        first, last = _sentence(items, at)
        if any(_rolls(one) for one in items[first:last]):
            items[at] = items[at]._replace(text="no-tag")
    return items


def _rolls(one: Item) -> bool:
    return (one.kind == "word" and stem(one.text) in _ROLLS) or (one.kind == "breakdown" and one.text == "no-tag")


def _sentence(items: list[Item], at: int) -> tuple[int, int]:
    first, last = at, at
    while first and not _ends(items[first - 1]):
        first -= 1
    while last < len(items) and not _ends(items[last]):
        last += 1
    return first, last


def _ends(one: Item) -> bool:
    return one.kind == "break" and one.text not in GOES_ON


def _our_attack(said: list[str]) -> bool:
    """Say whether a stretch tells of our own attack: ``nobody bumps our cutter``."""
    return any(
        word == "our" and stem(after) in _ATTACKERS for word, after in pairwise(said)
    ) or any(word == "our" and stem(after) in _ATTACKERS for word, after in zip(said, said[2:], strict=False))


def _on_shot(said: list[str]) -> bool:
    """Say whether a stretch is about a shot or the way out to it, not about a pass."""
    words = {stem(word) for word in said}
    there = any(pair in _ARRIVED for pair in pairwise(said))
    return (bool(words & _SHOT) or there) and not words & _PASSED


def _spotted(spot: Spot, said: list[str]) -> Item:
    """Return a phrase as an item; a breakdown called by its own name has the value NAMED, or NOBODYS."""
    if spot.meaning.kind == "breakdown":
        run = said[spot.start : spot.end]
        named = NAMED if "-".join(run) == spot.meaning.id else 0
        nobody = bool(_NOBODY & set(run)) or run[:2] == ["no", "one"]
        return Item("breakdown", spot.meaning.id, NOBODYS if nobody else named, spot.sure)
    return Item("meaning", spot.meaning.kind)
