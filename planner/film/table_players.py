"""Players in the cells of a table: jerseys, or names that the roster turns into jerseys."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from planner.film.items import jersey
from planner.film.words import plain

_APART = re.compile(r"\s*(?:[,;/&+\n|]|\band\b)\s*")
_JERSEY = re.compile(r"(?:#|no\.?\s|nr\.?\s|n°)?\s*(?P<n>\d{1,3})(?:[.,]0)?")
_DECIMAL = re.compile(r"\d{1,2},0")
_BESIDE = re.compile(r"(?<![\w.])#?(?P<n>\d{1,2})(?![\w.])")
_LIST = re.compile(r"#?\d{1,2}(?:\s+#?\d{1,2})+")
_NOBODY = frozenset(
    {"", "-", "–", "—", "?", ".", "n/a", "na", "none", "nobody", "no one", "team", "all", "everyone", "us"}
)
_WORDS = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")


@dataclass(frozen=True, slots=True)
class Squad:
    """Our jerseys (None: not known) and the names that mean one of them, as ``name_keys`` makes them."""

    jerseys: Collection[str] | None = None
    names: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Named:
    """Who a cell names: jerseys of ours, jerseys not on the roster, and words that name nobody we know."""

    jerseys: list[str] = field(default_factory=list)
    strangers: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)


def name_keys(players: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Return what a player may be called -> jersey, from (jersey, name) pairs.

    Whole name, last name, first name, initial and last name; what two players share means neither.
    """
    called: dict[str, set[str]] = {}
    for number, name in players:
        parts = _WORDS.findall(plain(name))
        if not parts:
            continue
        first, last = parts[0], parts[-1]
        for key in (
            " ".join(parts),
            " ".join([last, *parts[:-1]]),
            f"{first[0]} {last}",
            f"{last} {first[0]}",
        ):
            called.setdefault(key, set()).add(number)
        for key in (first, last):
            called.setdefault(key, set()).add(number)
    return {key: numbers.pop() for key, numbers in called.items() if len(numbers) == 1}


def in_jerseys(low: str, names: Mapping[str, str], spared: Collection[str] = ()) -> str:
    """Return notes in plain form with players' names written as jerseys (``okafor's`` is ``#21``).

    Names among ``spared``, the words that notes are made of, are left: nobody is charged for his name.
    """
    if not names:
        return low
    parts = re.split(r"([^\W\d_]+(?:'[^\W\d_]+)*)", low)
    for at in range(1, len(parts), 2):
        word = parts[at].removesuffix("'s").removesuffix("'")
        after = (
            parts[at + 2].removesuffix("'s") if at + 2 < len(parts) and parts[at + 1] in (" ", ". ") else ""
        )
        if after and f"{word} {after}" in names:
            parts[at], parts[at + 1], parts[at + 2] = f"#{names[f'{word} {after}']}", "", ""
        elif word in names and word not in spared and len(word) > 1:
            parts[at] = f"#{names[word]}"
    return "".join(parts)


def players_in(text: str, squad: Squad) -> Named:
    """Return whom a cell names: ``21``, ``#4 & 12``, ``Okafor``, ``21 Okafor``; each once, in order."""
    named = Named()
    low = plain(text).strip()
    if low in _NOBODY:
        return named
    if _DECIMAL.fullmatch(low) and "0" not in (squad.jerseys or ()):
        low = low[:-2]
    known = squad.names.get(_key(low))
    if known:
        named.jerseys.append(known)
        return named
    parts = low.split() if _LIST.fullmatch(low) else _APART.split(low)
    for part in parts:
        _take(part.strip(" ."), squad, named)
    named.jerseys[:] = dict.fromkeys(named.jerseys)
    named.strangers[:] = dict.fromkeys(named.strangers)
    return named


def _take(part: str, squad: Squad, named: Named) -> None:
    if part in _NOBODY:
        return
    match = _JERSEY.fullmatch(part)
    beside = _BESIDE.findall(part) if match is None else []
    digits = match["n"] if match else beside[0] if len(beside) == 1 else None
    if digits is None:
        known = squad.names.get(_key(part))
        (named.jerseys if known else named.unknown).append(known or part)
        return
    number = jersey(digits)
    if len(digits) > 2:
        named.unknown.append(digits)
    elif squad.jerseys is not None and number not in squad.jerseys:
        named.strangers.append(number)
    else:
        named.jerseys.append(number)


def _key(text: str) -> str:
    return " ".join(_WORDS.findall(text))
