"""The notes of one line as items: breakdowns, players, points, other meanings and plain words."""

from __future__ import annotations

from typing import Literal, NamedTuple

from planner.film.lexicon import NO
from planner.film.naming import POINTS, THEIR, Beside, names
from planner.film.wording import Lexicon, Spot
from planner.film.words import Token, number_word, stem, tokens

ItemKind = Literal[
    "breakdown", "jersey", "number", "paren", "points", "times", "meaning", "word", "noise", "and", "break"
]
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
_NEED = 4
_ROLLS = frozenset(stem(word) for word in ("roll", "roller", "dive", "dives", "dived", "diver"))
_BOUNCES = frozenset({"bounce", "bounces", "bounced", "bouncing"})
_GIVING = frozenset({"gave", "give", "gives"})
_FEW = 3
_TEAM = 5
_REASON = frozenset({"cause", "because", "cuz", "since", "lucky", "luckily", "only"})


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
        self._spotted(said, inside, self._beside(size))
        self.run = said
        self.at += size
        if said == ["to"] and self.at == len(self.line):
            self.found.append(Item("meaning", "stop"))

    def _spotted(self, said: list[str], inside: list[tuple[int, Item]], beside: Beside) -> None:
        at = 0
        for spot in names(said, self.lexicon, beside):
            if spot.meaning.kind in ("neutral", "clean") and self._said_points(said, spot):
                continue
            self._plain(said, at, spot.start)
            self.found += [item for place, item in inside if place < spot.end]
            self.found.append(_spotted(spot, said))
            inside = [pair for pair in inside if pair[0] >= spot.end]
            at = spot.end
        self._plain(said, at, len(said))

    def _beside(self, size: int) -> Beside:
        """Return what stands directly before and behind so many tokens from the present one on."""
        after = self.at + size
        before = self.line[self.at - 1] if self.at else None
        run = self._run_before(self.at - 1) if before and before.kind in ("jersey", "number", "paren") else []
        theirs = bool(THEIR & set(run[-2:]))
        return Beside(before, self.line[after] if after < len(self.line) else None, theirs)

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
            elif word in POINTS and self.found and self.found[-1].kind == "points":
                continue
            else:
                self.found.append(Item("word", word))

    def _alone(self, said: list[str]) -> bool:
        """Say whether a number in words stands by itself at the end, as in ``kickout. Three``."""
        after = self.at + len(said)
        ended = all(one.kind == "break" for one in self.line[after:])
        sentence = after < len(self.line) and self.line[after].text in (".", "!", ";")
        of_one = self.at > 1 and self.line[self.at - 2].kind in ("number", "jersey")
        return (
            (said in (["two"], ["three"], ["zero"]) or (said == ["nothing"] and not of_one))
            and (ended or sentence)
            and self.at > 0
            and self.line[self.at - 1].kind == "break"
        )

    def _worded_points(self, said: list[str], at: int) -> bool:
        """Say whether a number in words is points: ``gave up two``, ``hits a three``, ``two points``."""
        if _MEASURES & set(said[at + 1 : at + 3]):
            return False
        before = said[: at - 1] if at and said[at - 1] in ("a", "the") else said[:at]
        return bool(said[at + 1 : at + 2] and said[at + 1] in POINTS) or bool(
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
        if self.run[-1:] in (["except"], ["besides"]) or self.run[-2:] in (
            ["apart", "from"],
            ["other", "than"],
        ):
            return True
        if self.run[-1:] == ["against"] and _outnumbered(self.found):
            return False
        return bool(self.lexicon.ends("theirs", self.run)) or (len(self.run) > 1 and (self.run[-2] in THEIR))

    def _after_shot(self) -> bool:
        """Say whether a bare number ends a stretch that tells how they scored: ``layup 2``."""
        found = [one for one in self.found[-2:] if one != Item("break", ",")]
        last = found[-1] if found else None
        ended = self.at + 1 >= len(self.line) or self.line[self.at + 1].kind == "break"
        return ended and last == Item("meaning", "neutral")

    def _in_no_need(self) -> bool:
        """Say whether a player is only the one who needed no help: ``when 11 didn't even need it``."""
        after = [one.text for one in self.lexicon.canonical(self._run_at(self.at + 1)[:_NEED])]
        return after[:1] == [NO] and "need" in after[1:2]

    def _counts(self, token: Token) -> bool:
        """Say whether a bare number is no player of ours: theirs, a kind of shot, a count of something."""
        lexicon = self.lexicon
        if len(token.text) > 2 or self._theirs() or self._all_five(token):
            return True
        if token.value in (2, 3) and lexicon.ends("shots", self.run) and not self._with_another():
            return True
        after = self._run_at(self.at + 1)
        if not lexicon.starts("counted", after):
            return False
        spots = lexicon.spots(after)
        return not (spots and spots[0].start == 0 and spots[0].meaning.kind == "breakdown")

    def _apart_before(self) -> bool:
        """Say whether a comma or full stop stands right before the present token."""
        return self.at > 0 and self.line[self.at - 1].kind == "break"

    def _all_five(self, token: Token) -> bool:
        """Say whether a number is the whole five: ``all 5 in stance``."""
        return token.value == _TEAM and self.run[-1:] == ["all"]

    def _with_another(self) -> bool:
        """Say whether a number is the first of two players: ``switch miss 3/24``."""
        after = self.line[self.at + 1 : self.at + 3]
        return (
            len(after) == 2
            and after[0].text in ("/", "&", "+", "and")
            and after[1].kind in ("number", "jersey")
        )

    def _scored_after(self, token: Token) -> bool:
        after = self._run_at(self.at + 1)
        if token.value <= _FEW and after[:1] and after[0] in _REASON and self._apart_before():
            return True
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


def _outnumbered(found: list[Item]) -> bool:
    """Say whether ``two on one against`` stands before a player: he is ours."""
    last = [one.text for one in found[-4:]]
    return last[-4:-1] == ["two", "on", "one"] or (len(last) > 1 and last[-2] in ("2v1", "2on1", "2 on 1"))


def jersey(digits: str) -> str:
    """Return a jersey as text: ``0`` and ``00`` are two players, ``04`` is 4."""
    return digits if digits in ("0", "00") else digits.lstrip("0") or "0"


def _of_roller(items: list[Item]) -> list[Item]:
    """Read a cutter not bumped as the roller where a sentence tells of one."""
    bumped = [
        at
        for at, one in enumerate(items)
        if one.kind == "breakdown" and one.text == "free-cutter" and one.value != NAMED
    ]
    for at in bumped:
        first, last = _sentence(items, at)
        if any(_rolls(one) for one in items[first:last]):
            items[at] = items[at]._replace(text="no-tag")
    return items


def _rolls(one: Item) -> bool:
    return (one.kind == "word" and stem(one.text) in _ROLLS) or (
        one.kind == "breakdown" and one.text == "no-tag"
    )


def _sentence(items: list[Item], at: int) -> tuple[int, int]:
    first, last = at, at
    while first and not _ends(items[first - 1]):
        first -= 1
    while last < len(items) and not _ends(items[last]):
        last += 1
    return first, last


def _ends(one: Item) -> bool:
    return one.kind == "break" and one.text not in GOES_ON


def _spotted(spot: Spot, said: list[str]) -> Item:
    """Return a phrase as an item; a breakdown called by its own name has the value NAMED, or NOBODYS."""
    if spot.meaning.kind == "breakdown":
        run = said[spot.start : spot.end]
        named = NAMED if "-".join(run) == spot.meaning.id else 0
        nobody = bool(_NOBODY & set(run)) or run[:2] == ["no", "one"]
        return Item("breakdown", spot.meaning.id, NOBODYS if nobody else named, spot.sure)
    return Item("meaning", spot.meaning.kind)
