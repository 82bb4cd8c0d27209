"""The stretches of a line between separators: breakdowns, players and the words that join them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.film.items import GOES_ON, NAMED, NOBODYS, Item
from planner.film.points import Habits
from planner.film.wording import Lexicon

PRONOUNS = frozenset({"he", "she"})
_TOWARD = frozenset({"on", "by", "past", "against", "over", "from", "to"})


@dataclass(slots=True)
class Charge:
    """One breakdown of a line with the players charged."""

    breakdown: str
    sure: float
    players: list[str] = field(default_factory=list)
    count: int = 1
    named: bool = False
    """It is called by its own name, so that it is meant whatever stands beside it."""
    nobodys: bool = False
    """It tells what nobody did."""
    both: bool = False
    """It is told of two who were named before."""
    anew: bool = False
    """It is told as one more."""

    def add(self, players: Sequence[str]) -> None:
        """Charge more players, each once."""
        self.players[:] = dict.fromkeys([*self.players, *players])


@dataclass(slots=True)
class Part:
    """A stretch between separators: breakdowns (Charge), groups of players (lists) and links, in order."""

    opens: bool = False
    """It is the first of its sentence."""
    pieces: list[Charge | list[str] | str] = field(default_factory=list)
    times: list[tuple[int, int]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    meanings: list[str] = field(default_factory=list)

    @property
    def charges(self) -> list[Charge]:
        """Return its breakdowns, in order."""
        return [one for one in self.pieces if isinstance(one, Charge)]

    @property
    def groups(self) -> list[list[str]]:
        """Return its groups of players, in order."""
        return [one for one in self.pieces if isinstance(one, list)]


def _told(parts: list[Part]) -> list[Part]:
    """Return the stretches that say anything; the first left of a sentence opens it."""
    kept: list[Part] = []
    opens = False
    for part in parts:
        opens = opens or part.opens
        if part.pieces or part.words or part.meanings:
            part.opens, opens = opens, False
            kept.append(part)
    return kept


def _parts(line: Sequence[Item], points: frozenset[int], habit: Habits, lexicon: Lexicon) -> list[Part]:
    parts = [Part(opens=True)]
    for at, one in enumerate(line):
        part = parts[-1]
        if at in points:
            continue
        if one.kind in ("jersey", "number") or (
            one.kind == "paren" and (habit.paren_players or bool(points))
        ):
            _player(part, one)
        elif one.kind != "break":
            _piece(part, one, lexicon)
        elif not _joins(line, at):
            parts.append(Part(opens=one.text not in GOES_ON))
    return parts


def _piece(part: Part, one: Item, lexicon: Lexicon) -> None:
    if one.kind == "breakdown":
        made = Charge(one.text, one.sure, named=one.value == NAMED, nobodys=one.value == NOBODYS)
        part.pieces.append(made)
    elif one.kind == "times":
        part.times.append((len(part.pieces), one.value))
    elif one.kind == "and":
        part.pieces.append("and")
    elif one.kind == "meaning":
        part.meanings.append(one.text)
        if one.text in ("praised", "clean"):
            part.pieces.append("praise" if one.text == "praised" else "well")
    elif one.kind == "word":
        part.words.append(one.text)
        if lexicon.within("linking", (one.text,)):
            part.pieces.append("link")
        elif one.text in _TOWARD:
            part.pieces.append("toward")


def _joins(line: Sequence[Item], at: int) -> bool:
    """Say whether a plus or slash stands between two players: ``7 + 15 no talk``."""
    if line[at].text not in ("+", "/") or not 0 < at < len(line) - 1:
        return False
    return all(one.kind in ("number", "jersey") for one in (line[at - 1], line[at + 1]))


def _player(part: Part, one: Item) -> None:
    if len(one.text) > 2:
        part.words.append(f"#{one.text}")
        return
    last = part.pieces[-1] if part.pieces else None
    if _not_ours(part, last):
        return
    if isinstance(last, list):
        last.append(one.text)
    elif last == "and" and len(part.pieces) > 1 and isinstance(part.pieces[-2], list):
        part.pieces[-2].append(one.text)
        part.pieces[-1] = "joined"
        part.pieces.append(part.pieces.pop(-2))
    else:
        part.pieces.append([one.text])


def _not_ours(part: Part, last: Charge | list[str] | str | None) -> bool:
    """Say whether a player is only praised, or is the one that a player of ours did something to."""
    towards = part.pieces[-2] if last == "toward" and len(part.pieces) > 1 else None
    if last == "praise" or towards in ("praise", "well"):
        return True
    shown = [one for one in part.pieces if not isinstance(one, str)]
    if isinstance(towards, Charge) and towards.nobodys and part.words[-1:] != ["by"]:
        return True
    return isinstance(towards, Charge) and len(shown) > 1 and isinstance(shown[-2], list)


def parts_of(line: Sequence[Item], points: frozenset[int], habit: Habits, lexicon: Lexicon) -> list[Part]:
    """Return the stretches of a line that say anything; ``points`` are the places of its points."""
    return _told(_parts(line, points, habit, lexicon))
