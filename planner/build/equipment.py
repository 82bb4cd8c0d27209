"""What drills need beside players and baskets, and whether the team has it.

Cards say it in words: "2 balls", "1 ball for each pair", "chalk or 4 cones", "2 pads if you have them". What
the team never spoke of is taken to be there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.drills.card import Drill

_EACH = {"player": 1, "pair": 2, "two": 2, "three": 3}
_COUNTED = re.compile(r"(?P<count>\d{1,3})(?: to (?P<most>\d{1,3}))? (?P<name>.+)")
_PER = re.compile(r"\bfor (?P<by>each|every|two|three)(?: (?P<who>player|pair|two|three)s?)?\b")
_OPTIONAL = re.compile(r"\bif (?:you have|there (?:is|are))\b")


@dataclass(frozen=True, slots=True)
class Thing:
    """So many of something; ``words`` are its name, word by word in the singular."""

    count: int
    name: str
    words: frozenset[str]


def things(text: str, players: int) -> tuple[Thing, ...]:
    """Return what a line of a card asks for, as alternatives; nothing where it is optional."""
    said = " ".join(text.casefold().split())
    if _OPTIONAL.search(said):
        return ()
    return tuple(_thing(part.strip(" ,"), players) for part in re.split(r",? or ", said) if part.strip(" ,"))


def _thing(said: str, players: int) -> Thing:
    found = _COUNTED.fullmatch(said)
    count, name = (int(found["count"]), found["name"]) if found else (1, said)
    per = _PER.search(name)
    if per:
        each = _EACH[per["by"]] if per["by"] in _EACH else _EACH[per["who"] or "player"]
        count *= -(-players // each)
        name = name[: per.start()].strip()
    return Thing(count, name, words_of(name))


def words_of(name: str) -> frozenset[str]:
    """Return the words of a thing's name in the singular, the way both sides are compared."""
    words = re.findall(r"[^\W\d_]+", name.casefold())
    return frozenset(one[:-1] if one.endswith("s") and len(one) > 2 else one for one in words)


def short_of(groups: Iterable[tuple[Drill, int]], owned: Mapping[str, int]) -> str:
    """Return what is missing to run drills at the same time, or "".

    ``groups`` are drills with the players that run them; ``owned`` maps what the team has to how many.
    """
    if not owned:
        return ""
    needed: dict[str, int] = {}
    for drill, players in groups:
        for line in drill.equipment:
            choice = _dearest_missing(things(line, players), owned)
            if choice is not None:
                key, count = choice
                needed[key] = needed.get(key, 0) + count
    for key, count in needed.items():
        if count > owned[key]:
            return f"needs {count} {key}, you have {owned[key] or 'none'}"
    return ""


def _dearest_missing(options: Sequence[Thing], owned: Mapping[str, int]) -> tuple[str, int] | None:
    """Return what the team has to give of its own, by the alternative it can best meet; None for unknown."""
    known = [(key, one.count) for one in options if (key := _key(one, owned)) is not None]
    if len(known) < len(options) or not known:
        return None
    return max(known, key=lambda one: owned[one[0]] - one[1])


def _key(thing: Thing, owned: Mapping[str, int]) -> str | None:
    """Return the name under which the team has such a thing, the most exact one, or None."""
    fitting = [key for key in owned if words_of(key) and words_of(key) <= thing.words]
    return max(sorted(fitting), key=lambda key: len(words_of(key)), default=None)
