"""Finding drills: what a coach may ask of the library, and the drills that fit."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from planner.drills.card import Drill, Kind
from planner.drills.vocabulary import Stage, Vocabulary


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for; a field left empty asks nothing.

    ``players`` and ``minutes`` fit within a drill's range. ``words`` must all stand in the drill, each as a
    word or as the beginning of one; so must ``equipment`` in what the drill needs, one or several, and
    nothing of ``without`` may be needed. ``half_court`` leaves out what needs the whole floor.
    """

    principle: str = ""
    stage: Stage | None = None
    kind: Kind | None = None
    players: int | None = None
    minutes: int | None = None
    words: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    half_court: bool = False


def find_drills(drills: Iterable[Drill], wanted: Wanted) -> tuple[Drill, ...]:
    """Return the drills that fit, in the order given."""
    return tuple(one for one in drills if _fits(one, wanted))


def in_teaching_order(drills: Iterable[Drill], vocabulary: Vocabulary) -> tuple[Drill, ...]:
    """Return drills by main principle in the library's order and then by stage; those without come last."""
    places = {one.id: number for number, one in enumerate(vocabulary.principles)}
    last = len(places)

    def place(one: Drill) -> tuple[bool, int, str, int, str]:
        principle = places.get(one.main_principle or "", last) if one.kind == "drill" else last
        return one.kind != "drill", principle, one.kind, one.stage.rank if one.stage else 0, one.id

    return tuple(sorted(drills, key=place))


def _fits(one: Drill, wanted: Wanted) -> bool:
    return (
        (not wanted.principle or wanted.principle in one.shares)
        and (wanted.stage is None or one.stage == wanted.stage)
        and (wanted.kind is None or one.kind == wanted.kind)
        and (wanted.players is None or one.players_min <= wanted.players <= one.players_max)
        and (wanted.minutes is None or one.minutes.min <= wanted.minutes <= one.minutes.max)
        and not (wanted.half_court and one.half_courts > 1)
        and _has_things(one, wanted)
        and _has_words(one, wanted.words)
    )


def _has_things(one: Drill, wanted: Wanted) -> bool:
    needed = " ".join(one.equipment)

    def used(thing: str) -> bool:
        return _said(thing.casefold().removesuffix("s"), needed)

    return all(map(used, wanted.equipment)) and not any(map(used, wanted.without))


def _has_words(one: Drill, words: tuple[str, ...]) -> bool:
    if not words:
        return True
    faults = (text for fault in one.faults for text in (fault.seen, fault.say))
    rule = one.scoring.rule if one.scoring else ""
    text = " ".join((one.id, one.title, one.set_up, one.how, *one.cues, *faults, rule))
    return all(_said(word, text) for word in words)


def _said(word: str, text: str) -> bool:
    """Say whether the words stand in the text one after the other, the last perhaps only begun."""
    asked = re.findall(r"\w+", word.casefold())
    if not asked:
        return True
    pattern = r"\b" + r"\W+".join(re.escape(one) for one in asked)
    return re.search(pattern, text.casefold()) is not None
