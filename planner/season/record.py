"""What was really done at a practice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.build.plan import SegmentKind


@dataclass(frozen=True, slots=True)
class DoneSegment:
    """A stretch of practice as it was run, in whole seconds.

    ``shares`` maps principle id to whole twentieths (sum at most 20). ``stops`` out of ``tries`` where the
    drill was scored.
    """

    kind: SegmentKind
    title: str
    seconds: int
    drill: str | None = None
    stage: str | None = None
    shares: Mapping[str, int] = field(default_factory=dict)
    effort: int = 0
    stops: int | None = None
    tries: int | None = None


@dataclass(frozen=True, slots=True)
class DonePractice:
    """One practice as it was run; ``rating`` is the session's CR-10 rating asked afterwards."""

    practice: str
    date: dt.date
    start: int
    segments: tuple[DoneSegment, ...]
    absent: tuple[str, ...] = ()
    rating: int | None = None

    @property
    def seconds(self) -> int:
        """Return the length of the practice in seconds."""
        return sum(one.seconds for one in self.segments)
