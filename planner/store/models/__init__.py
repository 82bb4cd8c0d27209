"""The tables, as SQLModel classes; importing this costs the ORM."""

from planner.store.models.film import (
    FilmNote,
    Intake,
    Possession,
    Proposal,
    Sighting,
    SightingPlayer,
    Unclear,
)
from planner.store.models.practice import DrillResult, Emphasis, Practice, Progress, Segment, Station
from planner.store.models.team import (
    FixedBlock,
    Game,
    GymWindow,
    Journal,
    Player,
    Setting,
    SwitchedOff,
    Team,
)

__all__ = [
    "ALL",
    "DrillResult",
    "Emphasis",
    "FilmNote",
    "FixedBlock",
    "Game",
    "GymWindow",
    "Intake",
    "Journal",
    "Player",
    "Possession",
    "Practice",
    "Progress",
    "Proposal",
    "Segment",
    "Setting",
    "Sighting",
    "SightingPlayer",
    "Station",
    "SwitchedOff",
    "Team",
    "Unclear",
]

ALL = (
    Team,
    Player,
    Game,
    GymWindow,
    FixedBlock,
    Setting,
    SwitchedOff,
    Journal,
    FilmNote,
    Intake,
    Possession,
    Unclear,
    Sighting,
    SightingPlayer,
    Proposal,
    Practice,
    Segment,
    Station,
    DrillResult,
    Emphasis,
    Progress,
)
"""Every table, parents before children."""
