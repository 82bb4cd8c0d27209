"""The plan as the rows of a court-side sheet, and the order in which a crowded sheet gives things up."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.drills.card import Drill
from planner.paper.printable import printable, sentence

SLIM = frozenset({"water", "set-up", "fixed", "cool-down"})
"""Kinds of segment that need one line only."""

_HALVES = {"A": "Half A", "B": "Half B", "full": "Full"}
_LARGEST_SVG = 400_000


@dataclass(frozen=True, slots=True)
class SheetNotes:
    """What the sheet says beside the plan.

    ``practice`` is a line such as "Practice 23", ``next_game`` one such as "Next: Fri 4 Dec v Harbour Point,
    home". ``drills`` maps drill id to its card and ``principles`` principle id to its title. ``present`` are
    jerseys, in the order of the tick boxes. ``needs`` are short sentences, the costliest first.
    ``diagrams`` maps drill id to SVG text and ``diagram_texts`` to the words for those who cannot see it.
    ``clip`` is the blank strip at the top in millimetres, ``lang`` the language of the text.
    """

    team: str
    practice: str = ""
    next_game: str = ""
    drills: Mapping[str, Drill] = field(default_factory=dict)
    principles: Mapping[str, str] = field(default_factory=dict)
    present: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    diagrams: Mapping[str, str] = field(default_factory=dict)
    diagram_texts: Mapping[str, str] = field(default_factory=dict)
    clip: float = 16.0
    lang: str = "en"


def rows_of(plan: Plan, notes: SheetNotes, *, with_diagrams: bool = True) -> list[dict[str, Any]]:
    """Return one row per segment in the words of the template."""
    everyone = {player for segment in plan.segments for one in segment.stations for player in one.players}
    rows = [_row(one, notes, with_diagrams) for one in plan.segments]
    for segment, row in zip(plan.segments, rows, strict=True):
        stations = segment.stations
        if row["parts"] and len(stations) == 1 and len(everyone) > 1 and set(stations[0].players) == everyone:
            half = "" if stations[0].half == "full" else _half(stations[0].half)
            row["parts"][0]["all"] = f"{half}, all {len(everyone)}" if half else f"All {len(everyone)}"
    for number, turn in plan.turns.items():
        if turn > 1:
            _told_before(rows[number])
    return rows


def _told_before(row: dict[str, Any]) -> None:
    """Leave out what stands a turn earlier: of a later turn only who is where and the score are new."""
    for part in row["parts"]:
        part |= {"cues": [], "target": "", "rule": "", "svg": "", "shape": 1.0}


def _row(segment: Segment, notes: SheetNotes, with_diagrams: bool) -> dict[str, Any]:
    slim = segment.kind in SLIM
    parts = [] if slim else _parts(segment, notes, with_diagrams)
    title = printable(segment.title, 90) or segment.kind
    if segment.kind == "fixed" and segment.why:
        title = f"{title}. {sentence(printable(segment.why, 240))}"
    return {
        "clock": clock_text(segment.start),
        "minutes": str(segment.minutes),
        "title": "" if _says_it_itself(title, parts) else title,
        "slim": slim,
        "teaches": "" if slim else _teaches(segment, notes),
        "why": "" if slim else sentence(printable(segment.why, 240)),
        "parts": parts,
    }


def _says_it_itself(title: str, parts: list[dict[str, Any]]) -> bool:
    """Say whether the title only strings together the titles of drills that run at the same time."""
    return bool(parts) and all(one["title"] and one["title"] in title for one in parts)


def _teaches(segment: Segment, notes: SheetNotes) -> str:
    main = max(segment.shares, key=lambda one: segment.shares[one], default=None)
    if main is None or segment.shares[main] <= 0:
        return ""
    named = [printable(notes.principles.get(main, main), 40)]
    stages = {notes.drills[one.drill].stage for one in segment.stations if one.drill in notes.drills}
    if len(stages) == 1 and (stage := stages.pop()):
        named.append(stage.value)
    return " · ".join(named)


def _parts(segment: Segment, notes: SheetNotes, with_diagrams: bool) -> list[dict[str, Any]]:
    by_drill: dict[str, list[Station]] = {}
    for one in segment.stations:
        by_drill.setdefault(one.drill, []).append(one)
    if not by_drill:
        return [_part(None, (), "", notes, with_diagrams)]
    several = len(by_drill) > 1
    return [
        _part(notes.drills.get(drill), stations, drill if several else "", notes, with_diagrams)
        for drill, stations in by_drill.items()
    ]


def _part(
    drill: Drill | None, stations: Iterable[Station], name: str, notes: SheetNotes, with_diagrams: bool
) -> dict[str, Any]:
    stations = tuple(stations)
    scoring = drill.scoring if drill else None
    counts = printable(scoring.counts, 24) if scoring else ""
    of = f" of {scoring.tries}" if scoring and scoring.tries is not None else ""
    one = stations[0].drill if stations else ""
    svg = notes.diagrams.get(one, "") if with_diagrams else ""
    title = printable(drill.title if drill else name, 90)
    return {
        "title": title if name else "",
        "all": "",
        "groups": [_group(station) for station in stations],
        "cues": [printable(cue, 90) for cue in (drill.cues if drill else ())[:3]],
        "target": f"{scoring.target} {counts}{of}." if scoring else "",
        "rule": sentence(printable(scoring.rule, 160)) if scoring else "",
        "pens": [
            {
                "label": _pen_label(station, stations),
                "counts": printable(counts, 16),
                "of": scoring is not None,
            }
            for station in (stations or (None,))
        ],
        "svg": svg if len(svg) <= _LARGEST_SVG else "",
        "shape": _shape(svg),
        "alt": printable(notes.diagram_texts.get(one, ""), 1_000) or f"Diagram of {title or one}.",
    }


def _shape(svg: str) -> float:
    """Return height over width of a drawing, from its view box; never taller than wide."""
    found = re.search(r'viewBox="\s*\S+\s+\S+\s+([\d.]+)\s+([\d.]+)\s*"', svg[:2_000])
    try:
        return min(1.0, max(0.2, float(found[2]) / float(found[1]))) if found else 1.0
    except (ValueError, ZeroDivisionError):
        return 1.0


def _half(half: str) -> str:
    return _HALVES.get(half, printable(half, 12))


def _group(station: Station) -> dict[str, Any]:
    half = _half(station.half)
    name = printable(station.group, 24)
    return {
        "half": half,
        "name": "" if name in {station.half, half} else name,
        "players": [printable(one, 12) for one in station.players],
    }


def _pen_label(station: Station | None, stations: tuple[Station, ...]) -> str:
    if station is None or len(stations) < 2:
        return ""
    halves = [one.half for one in stations]
    differ = len(set(halves)) == len(halves)
    return printable(station.half if differ else station.group, 10)


def equipment_of(plan: Plan, drills: Mapping[str, Drill]) -> str:
    """Return what to bring, in one line: for things with a number the most needed at any one time."""
    most: dict[str, tuple[int, str]] = {}
    for segment in plan.segments:
        for key, (count, name) in _needed_at_once(segment, drills).items():
            if key not in most or most[key][0] < count:
                most[key] = (count, name)
    return ", ".join(f"{count} {name}" if count else name for count, name in most.values())


def _needed_at_once(segment: Segment, drills: Mapping[str, Drill]) -> dict[str, tuple[int, str]]:
    out: dict[str, tuple[int, str]] = {}
    for station in segment.stations:
        for thing in drills[station.drill].equipment if station.drill in drills else ():
            said = printable(thing, 40)
            found = re.fullmatch(r"(\d{1,3}) (.+)", said)
            count, name = (int(found[1]), found[2]) if found else (0, said)
            key = name.casefold().removesuffix("s")
            before, shown = out.get(key, (0, name))
            out[key] = (before + count, max(shown, name, key=len))
    return out


@dataclass(frozen=True, slots=True)
class Step:
    """One rung of the ladder: a row gives up ``key``, or (``row`` None) all text goes to ``to`` points."""

    row: int | None
    key: str
    to: Any

    def as_json(self) -> dict[str, Any]:
        """Return the rung in the words of the template."""
        return {"row": self.row, "key": self.key, "to": self.to}


def ladder(plan: Plan, *, large: bool, whole_page: bool) -> list[Step]:
    """Return what a crowded sheet gives up, first loss first.

    Reasons and rules go before cues, cues before diagrams, all of them from the shortest drills first; only
    then does the text shrink below what is read at arm's length. ``whole_page`` ends the ladder there.
    """
    rows = [n for n, one in enumerate(plan.segments) if one.kind not in SLIM]
    rows.sort(key=lambda n: (plan.segments[n].kind == "drill", plan.segments[n].minutes, -n))

    def drop(key: str, to: Any) -> list[Step]:
        return [Step(n, key, to) for n in rows]

    def sizes(*points: float) -> list[Step]:
        return [Step(None, "size", one) for one in points]

    steps = drop("teaches", False) + drop("why", False) + drop("rule", False)
    steps += drop("cues", 2) + drop("picture", 0)
    steps += drop("cues", 1)
    if large:
        steps += sizes(13.4, 12.8, 12.2, 11.4, 10.6, 9.8)
    steps += sizes(9.2, 8.8, 8.4)
    if whole_page:
        steps += drop("tight", True) + drop("cues", 0) + sizes(7.8, 7.2, 6.6)
        steps += drop("who", False) + drop("target", False) + sizes(6.0, 5.4, 4.8)
    return steps
