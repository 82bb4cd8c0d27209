"""The drill library: TOML texts in, vocabulary and drill cards out, faults as values."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import PurePath
from typing import Any, cast

from planner.drills.card import SHARE_UNIT, Drill, Fault, Kind, Layout, Minutes, Scoring
from planner.drills.fields import Fields, parse_toml
from planner.drills.vocabulary import Breakdown, Principle, Stage, Vocabulary
from planner.problem import Problem
from planner.text import clean_line

ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
"""What a drill's id looks like: lower-case words joined by hyphens."""

_KINDS = ("drill", "warm-up", "cool-down", "fixed")
_LAYOUTS = ("half", "full", "stations")
_FIELDS = {
    *("id", "title", "kind", "stage", "principles", "players", "half_courts", "layout", "minutes", "effort"),
    *("equipment", "set_up", "how", "cues", "faults", "scoring", "easier", "harder", "cautions"),
    *("few_players", "one_basket", "diagram"),
}


Rows = tuple[Mapping[str, Any], ...]
"""The ``[[diagram]]`` tables of one drill as TOML gave them; they are read into frames when asked for."""


@dataclass(frozen=True)
class Library:
    """Vocabulary and drill cards; ``problems`` lists what could not be used.

    ``diagram_rows`` maps drill id to its raw diagrams. ``own`` are the ids of the team's own drills,
    ``changed`` those of them whose shipped original has changed since it was copied.
    """

    vocabulary: Vocabulary
    drills: tuple[Drill, ...]
    problems: tuple[Problem, ...] = field(default=())
    diagram_rows: Mapping[str, Rows] = field(default_factory=dict)
    own: frozenset[str] = frozenset()
    changed: frozenset[str] = frozenset()

    @cached_property
    def by_id(self) -> Mapping[str, Drill]:
        """Return drill id -> drill."""
        return {one.id: one for one in self.drills}

    def of_kind(self, kind: Kind) -> tuple[Drill, ...]:
        """Return the drills of one kind, by id."""
        return tuple(one for one in self.drills if one.kind == kind)


def read_vocabulary(principles: str, breakdowns: str) -> tuple[Vocabulary, list[Problem]]:
    """Read ``principles.toml`` and ``breakdowns.toml`` (their texts)."""
    table, problems = parse_toml("principles.toml", principles)
    found: list[Principle] = []
    for row in table.get("principle", []):
        fields = Fields("principles.toml", principles, row)
        fields.only({"id", "title", "taught"})
        found.append(Principle(fields.line("id"), fields.line("title"), fields.line("taught")))
        problems += fields.problems
    table, faults = parse_toml("breakdowns.toml", breakdowns)
    problems += faults
    known = {one.id for one in found}
    failures: list[Breakdown] = []
    for row in table.get("breakdown", []):
        fields = Fields("breakdowns.toml", breakdowns, row)
        failures.append(_breakdown(fields, known))
        problems += fields.problems
    return Vocabulary(tuple(found), tuple(failures)), problems


def _breakdown(fields: Fields, known: set[str]) -> Breakdown:
    fields.only({"id", "title", "principle", "second", "first_share", "seen_as", "usual_rate", "usual_cost"})
    second = fields.line("second", required=False) or None
    made = Breakdown(
        id=fields.line("id"),
        title=fields.line("title"),
        principle=fields.line("principle"),
        second=second,
        seen_as=fields.line("seen_as"),
        first_share=fields.number("first_share", 0.0, 1.0) if second else 1.0,
        usual_rate=fields.number("usual_rate", 0.0, 100.0),
        usual_cost=fields.number("usual_cost", 0.0, 3.0),
    )
    for principle in made.shares:
        if principle not in known:
            fields.fault("principle", f"breakdown '{made.id}' names an unknown principle '{principle}'")
    return made


@dataclass(frozen=True, slots=True)
class Shelf:
    """Drills read from files: id -> drill and id -> raw diagrams, by id, and what could not be used."""

    drills: Mapping[str, Drill]
    rows: Mapping[str, Rows]
    problems: tuple[Problem, ...]


def read_drills(
    files: Iterable[tuple[str, str]], vocabulary: Vocabulary
) -> tuple[tuple[Drill, ...], list[Problem]]:
    """Read drill files, given as (name, text); a faulty drill is left out, the rest are kept, by id."""
    shelf = read_shelf(files, vocabulary)
    return tuple(shelf.drills.values()), list(shelf.problems)


def read_shelf(
    files: Iterable[tuple[str, str]], vocabulary: Vocabulary, *, named_by_id: bool = False
) -> Shelf:
    """Read drill files, given as (name, text), keeping their diagrams raw; faulty drills are left out.

    With ``named_by_id`` a drill whose id is not its file's name is left out too, so that no file can take
    another drill's place unseen.
    """
    kept: dict[str, Drill] = {}
    rows: dict[str, Rows] = {}
    problems: list[Problem] = []
    for name, text in files:
        drill, diagrams, faults = read_drill_and_rows(name, text, vocabulary)
        problems += faults
        if drill is None or faults:
            continue
        if named_by_id and PurePath(name).stem != drill.id:
            problems.append(Problem(name, None, f"the id inside is '{drill.id}'; it must be the file's name"))
        elif drill.id in kept:
            problems.append(Problem(name, None, f"drill '{drill.id}' is already in {kept[drill.id].file}"))
        else:
            kept[drill.id], rows[drill.id] = drill, diagrams
    ordered = sorted(kept)
    return Shelf({one: kept[one] for one in ordered}, {one: rows[one] for one in ordered}, tuple(problems))


def read_drill(name: str, text: str, vocabulary: Vocabulary) -> tuple[Drill | None, list[Problem]]:
    """Read one drill file; the drill is None where the file is no TOML at all."""
    drill, _, problems = read_drill_and_rows(name, text, vocabulary)
    return drill, problems


def read_drill_and_rows(
    name: str, text: str, vocabulary: Vocabulary
) -> tuple[Drill | None, Rows, list[Problem]]:
    """Read one drill file and hand out its ``[[diagram]]`` tables as they stand."""
    table, problems = parse_toml(name, text)
    if problems:
        return None, (), problems
    fields = Fields(name, text, table)
    fields.only(_FIELDS)
    drill = _drill(fields, vocabulary)
    return drill, tuple(fields.tables("diagram")), fields.problems


def _drill(fields: Fields, vocabulary: Vocabulary) -> Drill:
    kind = cast("Kind", fields.choice("kind", _KINDS))
    taught = kind == "drill"
    stage = fields.choice("stage", tuple(Stage), required=taught)
    players = _part(fields, "players", "min", "max")
    low = players.whole("min", 1, 30)
    high = players.whole("max", low, 60)
    made = Drill(
        id=_drill_id(fields),
        title=fields.line("title"),
        kind=kind,
        stage=Stage(stage) if stage else None,
        shares=_shares(fields, vocabulary, required=taught),
        players_min=low,
        players_max=high,
        half_courts=fields.whole("half_courts", 1, 2),
        layout=cast("Layout", fields.choice("layout", _LAYOUTS)),
        minutes=_minutes(fields),
        effort=fields.whole("effort", 0, 10),
        equipment=fields.lines("equipment", required=False),
        set_up=fields.text("set_up"),
        how=fields.text("how"),
        cues=fields.lines("cues", required=taught),
        faults=_faults(fields),
        scoring=_scoring(fields, required=taught),
        easier=fields.lines("easier", required=False),
        harder=fields.lines("harder", required=False),
        cautions=fields.lines("cautions", required=False),
        few_players=fields.text("few_players", required=False),
        one_basket=fields.text("one_basket", required=False),
        file=fields.file,
    )
    if made.layout == "full" and made.half_courts != 2:
        fields.fault("layout", "a full-court drill needs half_courts = 2")
    return made


def _drill_id(fields: Fields) -> str:
    found = fields.line("id")
    if found and not ID.fullmatch(found):
        fields.fault("id", f"id '{found}' must be lower-case words joined by hyphens")
    return found


def _part(fields: Fields, key: str, *allowed: str) -> Fields:
    """Return a table inside the drill; a misspelt field of it must not vanish silently."""
    part = Fields(fields.file, fields.source, fields.sub(key), fields.problems, key)
    part.only(allowed)
    return part


def _minutes(fields: Fields) -> Minutes:
    part = _part(fields, "minutes", "min", "usual", "max")
    low = part.whole("min", 1, 60)
    high = part.whole("max", low, 90)
    return Minutes(low, part.whole("usual", low, high), high)


def _shares(fields: Fields, vocabulary: Vocabulary, required: bool) -> dict[str, int]:
    shares: dict[str, int] = {}
    for principle, value in fields.sub("principles").items():
        known = isinstance(value, int | float) and abs(value) <= 1
        units = round(value * SHARE_UNIT) if known else -1
        if principle not in vocabulary.principle_by_id:
            fields.fault("principles", f"unknown principle '{clean_line(principle, 40)}'")
        elif units < 1 or abs(units - value * SHARE_UNIT) > 1e-6:
            fields.fault("principles", f"the share of '{principle}' must be 0.05 to 1 in steps of 0.05")
        else:
            shares[principle] = units
    if sum(shares.values()) > SHARE_UNIT:
        fields.fault("principles", "the shares add up to more than 1")
    if required and not shares:
        fields.fault("principles", "the drill teaches no principle")
    return shares


def _faults(fields: Fields) -> tuple[Fault, ...]:
    faults = []
    for row in fields.tables("faults"):
        one = Fields(fields.file, fields.source, row, fields.problems, "faults")
        one.only({"seen", "say"})
        faults.append(Fault(one.line("seen"), one.line("say")))
    return tuple(faults)


def _scoring(fields: Fields, required: bool) -> Scoring | None:
    one = _part(fields, "scoring", "rule", "counts", "target", "tries")
    if not one.table:
        if required:
            fields.fault("scoring", "'scoring' is missing")
        return None
    tries = one.whole("tries", 1, 200) if "tries" in one.table else None
    target = one.whole("target", 0, 200)
    if tries is not None and target > tries:
        one.fault("target", "the target is larger than the number of tries")
    return Scoring(one.text("rule"), one.line("counts"), target, tries)
