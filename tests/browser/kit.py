"""An invented practice for a phone: warm-up, a drill in two groups, water, a drill for all, free throws."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

from planner.build.plan import Plan, Segment, Station
from planner.drills.card import Drill, Fault, Minutes, Scoring
from planner.drills.vocabulary import Stage
from planner.paper.page import Picture, court_side_page
from planner.paper.rows import SheetNotes

ZONE = "America/Chicago"
RED, BLUE = ("0", "4", "12"), ("00", "7", "15")
SQUARE = (
    '<svg viewBox="0 0 9 9"><circle cx="4" cy="4" r="3" fill="#fff"/><path d="M1 1L8 8" stroke="#000"/></svg>'
)


def _drill(name: str, title: str, counts: str) -> Drill:
    return Drill(
        id=name,
        title=title,
        kind="drill",
        stage=Stage.LIVE,
        shares={"tag": 12},
        players_min=4,
        players_max=12,
        half_courts=1,
        layout="half",
        minutes=Minutes(6, 10, 14),
        effort=6,
        equipment=("2 balls",),
        set_up="Two lines on the wings.",
        how="Play it out.",
        cues=("Bump for one beat", "Sprint while the pass flies"),
        faults=(Fault("upright", "Sit"),),
        scoring=Scoring("Roller touched and corner shot contested.", counts, 6, 8),
    )


DRILLS = {
    "tag": _drill("tag", "Bump and sprint", "good tags"),
    "shell": _drill("shell", "Four-man shell", "stops"),
}
_GROUPS = (Station("tag", "Red", RED, "A"), Station("tag", "Blue", BLUE, "B"))
_ALL = (Station("shell", "all", RED + BLUE, "full"),)
_SEGMENTS = (
    Segment(1090, 5, "warm-up", "Feet and voice", effort=3),
    Segment(1095, 10, "drill", "Bump and sprint", _GROUPS, why="The corner was open on 9 of 31 rolls."),
    Segment(1105, 2, "water", "Water"),
    Segment(1107, 12, "drill", "Four-man shell", _ALL),
    Segment(1119, 6, "fixed", "Free throws"),
)
PLAN = Plan(dt.date(2026, 12, 3), 18 * 60 + 10, 35, 1.0, 1.0, True, 0.1, _SEGMENTS)
NOTES = SheetNotes(team="Fernhill Under-16", practice="Practice 23", drills=DRILLS)


def write_page(place: Path, plan: Plan = PLAN, notes: SheetNotes = NOTES) -> Path:
    """Write the page of a plan, its drills with a diagram each; return where it lies."""
    pictures = {one: [Picture(SQUARE, f"Picture of {one}.", "As it begins")] for one in notes.drills}
    place.write_bytes(court_side_page(plan, notes, pictures))
    return place


def renamed(name: str) -> tuple[Plan, SheetNotes]:
    """Return the practice with a name in every place where a coach could have typed it."""
    segments = tuple(dataclasses.replace(one, title=name, why=name) for one in PLAN.segments)
    stations = tuple(dataclasses.replace(one, group=f"{name} {one.group}") for one in segments[1].stations)
    segments = (segments[0], dataclasses.replace(segments[1], stations=stations), *segments[2:])
    drills = {
        key: dataclasses.replace(one, title=name, cues=(name,), how=name, set_up=name, equipment=(name,))
        for key, one in DRILLS.items()
    }
    notes = dataclasses.replace(NOTES, team=name, practice=name, drills=drills, needs=(name,))
    return dataclasses.replace(PLAN, segments=segments), notes
