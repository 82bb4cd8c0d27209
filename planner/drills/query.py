"""What a coach types to find drills: plain words, and short questions such as ``p:box-out s:live n:8``."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import cast

from planner.drills.card import Drill, Kind
from planner.drills.library import Library
from planner.drills.search import Wanted, find_drills, in_teaching_order
from planner.drills.vocabulary import Stage, Vocabulary
from planner.text import clean_line

PREFIXES: Mapping[str, str] = {
    "p:": "principle, such as p:box-out",
    "s:": "stage: walk, guided, contested, live",
    "k:": "kind: drill, warm-up, cool-down, fixed; k:own for your own",
    "n:": "players that can run it, such as n:8",
    "m:": "minutes it fits into",
    "e:": "equipment it uses",
    "no:": "equipment it does not need",
    "r:": "room: r:half leaves the other half free",
}
"""What each short question asks."""

_KINDS = ("drill", "warm-up", "cool-down", "fixed")
_HEADINGS = {"warm-up": "Warm-up", "cool-down": "Cool-down", "fixed": "Fixed blocks"}


@dataclass(frozen=True, slots=True)
class Query:
    """What was typed, understood: any of ``principles`` (all if none), ``own`` only, and ``wanted``.

    ``puzzling`` are the parts that were not understood; they ask nothing.
    """

    wanted: Wanted = field(default_factory=Wanted)
    principles: tuple[str, ...] = ()
    own: bool = False
    puzzling: tuple[str, ...] = ()


def parse_query(text: str, vocabulary: Vocabulary) -> Query:
    """Return what was typed; a question that is only begun asks nothing yet."""
    query = Query()
    for part in clean_line(text, 200).split():
        name, colon, value = part.partition(":")
        read = _READ.get(name.lower()) if colon else _word
        asked = part if read is _word else value.lower()
        if read is None:
            query = replace(query, puzzling=(*query.puzzling, part))
        elif asked:
            found = read(query, asked, vocabulary)
            query = found or replace(query, puzzling=(*query.puzzling, part))
    return query


def matching(library: Library, query: Query) -> tuple[Drill, ...]:
    """Return the drills that fit, in teaching order; those that teach a principle asked for mainly first."""
    found = find_drills(library.drills, query.wanted)
    if query.principles:
        found = tuple(one for one in found if any(p in one.shares for p in query.principles))
    if query.own:
        found = tuple(one for one in found if one.id in library.own)
    ordered = in_teaching_order(found, library.vocabulary)
    if not query.principles:
        return ordered
    return tuple(sorted(ordered, key=lambda one: one.main_principle not in query.principles))


def headed(drills: Sequence[Drill], vocabulary: Vocabulary) -> list[tuple[str, list[Drill]]]:
    """Return drills in runs under their heading: the principle's title, or what kind they are."""
    titles = vocabulary.principle_by_id

    def heading(one: Drill) -> str:
        if one.kind != "drill" or one.main_principle is None:
            return _HEADINGS.get(one.kind, "Other")
        return titles[one.main_principle].title

    return [(name, list(run)) for name, run in groupby(drills, key=heading)]


Read = Callable[[Query, str, Vocabulary], "Query | None"]


def _word(query: Query, word: str, _: Vocabulary) -> Query:
    return replace(query, wanted=replace(query.wanted, words=(*query.wanted.words, word)))


def _principle(query: Query, begun: str, vocabulary: Vocabulary) -> Query | None:
    if begun in vocabulary.principle_by_id:
        return replace(query, principles=(*query.principles, begun))
    found = [
        one.id
        for one in vocabulary.principles
        if one.id.startswith(begun) or one.title.lower().startswith(begun)
    ]
    return replace(query, principles=(*query.principles, *found)) if found else None


def _stage(query: Query, begun: str, _: Vocabulary) -> Query | None:
    stage = next((one for one in Stage if one.value.startswith(begun)), None)
    return replace(query, wanted=replace(query.wanted, stage=stage)) if stage else None


def _kind(query: Query, begun: str, _: Vocabulary) -> Query | None:
    if "own".startswith(begun):
        return replace(query, own=True)
    kind = next((one for one in _KINDS if one.startswith(begun)), None)
    return replace(query, wanted=replace(query.wanted, kind=cast("Kind", kind))) if kind else None


def _number(key: str) -> Read:
    def read(query: Query, digits: str, _: Vocabulary) -> Query | None:
        if not (digits.isascii() and digits.isdigit() and 1 <= int(digits[:4]) <= 300):
            return None
        number = int(digits[:4])
        wanted = query.wanted
        made = replace(wanted, players=number) if key == "players" else replace(wanted, minutes=number)
        return replace(query, wanted=made)

    return read


def _uses(query: Query, thing: str, _: Vocabulary) -> Query:
    return replace(query, wanted=replace(query.wanted, equipment=(*query.wanted.equipment, thing)))


def _needs_no(query: Query, thing: str, _: Vocabulary) -> Query:
    return replace(query, wanted=replace(query.wanted, without=(*query.wanted.without, thing)))


def _room(query: Query, begun: str, _: Vocabulary) -> Query | None:
    half = "half".startswith(begun)
    return replace(query, wanted=replace(query.wanted, half_court=True)) if half else None


_READ: Mapping[str, Read] = {
    "p": _principle,
    "s": _stage,
    "k": _kind,
    "n": _number("players"),
    "m": _number("minutes"),
    "e": _uses,
    "no": _needs_no,
    "r": _room,
}
