"""What a team plays decides what can go wrong: coverages and the breakdowns they leave out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.drills.fields import Fields, parse_toml
from planner.drills.vocabulary import Vocabulary
from planner.problem import Problem
from planner.text import clean_line

FILE = "coverages.toml"


@dataclass(frozen=True, slots=True)
class Coverage:
    """A way of playing; ``about`` is what it answers, ``off`` maps breakdown id to why it cannot happen."""

    id: str
    title: str
    about: str
    says: str
    off: Mapping[str, str]


def read_coverages(text: str, vocabulary: Vocabulary) -> tuple[tuple[Coverage, ...], list[Problem]]:
    """Read ``coverages.toml`` (its text): the coverages in its order, and what is wrong in it."""
    table, problems = parse_toml(FILE, text)
    found: dict[str, Coverage] = {}
    for row in table.get("coverage", []):
        fields = Fields(FILE, text, row)
        fields.only({"id", "title", "about", "says", "off"})
        made = Coverage(
            fields.line("id"), fields.line("title"), fields.line("about"), fields.line("says"), _off(fields)
        )
        for name in made.off:
            if name not in vocabulary.breakdown_by_id:
                fields.fault(name, f"coverage '{made.id}' leaves out an unknown breakdown '{name}'")
        if made.id in found:
            fields.fault("id", f"'{made.id}' stands there twice")
        if fields.problems:
            problems += fields.problems
        else:
            found[made.id] = made
    return tuple(found.values()), problems


def _off(fields: Fields) -> dict[str, str]:
    raw = fields.table.get("off", {})
    if not isinstance(raw, dict) or not all(isinstance(why, str) and why.strip() for why in raw.values()):
        fields.fault("off", "off must give a reason for each breakdown it leaves out")
        return {}
    return {clean_line(name, 60): clean_line(why, 200) for name, why in raw.items()}


def left_out(played: Sequence[Coverage]) -> dict[str, tuple[str, str]]:
    """Return breakdown id -> (title of the coverage, why) for what cannot go wrong as the team plays.

    Of several answers to the same thing, what one of them still needs stays counted.
    """
    answers: dict[str, list[Coverage]] = {}
    for one in played:
        answers.setdefault(one.about, []).append(one)
    found: dict[str, tuple[str, str]] = {}
    for group in answers.values():
        shared = set(group[0].off).intersection(*(one.off for one in group[1:]))
        for name, why in group[0].off.items():
            if name in shared:
                found.setdefault(name, (group[0].title, why))
    return found
