"""The diagrams of a drill as frames, read only when somebody wants to see them."""

from __future__ import annotations

from collections.abc import Sequence

from planner.court.diagram import read_diagrams
from planner.court.frame import Frame, is_defender
from planner.court.geometry import Court
from planner.drills.library import Library


def frames_of(library: Library, drill: str, court: Court) -> tuple[Frame, ...]:
    """Return the drill's pictures on a court; what cannot be drawn of them is left out."""
    rows = library.diagram_rows.get(drill, ())
    frames, _ = read_diagrams(drill, list(rows), court)
    return tuple(one for one in frames if one.players)


def telling(frames: Sequence[Frame]) -> Frame | None:
    """Return the picture that says most on a small sheet: the first in which the defence acts."""
    acting = (one for one in frames if any(is_defender(move.actor) for move in one.moves))
    return next(acting, frames[0] if frames else None)
