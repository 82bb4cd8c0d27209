"""Principles, breakdowns and stages: the words everything else is counted in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property


class Stage(StrEnum):
    """The four stages at which a drill teaches, easiest first."""

    WALK = "walk"
    GUIDED = "guided"
    CONTESTED = "contested"
    LIVE = "live"

    @property
    def rank(self) -> int:
        """Return 1 for walk to 4 for live."""
        return _RANKS[self]


_RANKS = {one: number for number, one in enumerate(Stage, 1)}


@dataclass(frozen=True, slots=True)
class Principle:
    """Something the defence is taught."""

    id: str
    title: str
    taught: str


@dataclass(frozen=True, slots=True)
class Breakdown:
    """One way a principle fails, seen on film.

    ``first_share`` of it counts for ``principle``, the rest for ``second`` (1.0 when there is none).
    ``usual_rate`` is occurrences per 100 defensive possessions and ``usual_cost`` points per occurrence:
    what is believed before any film is read.
    """

    id: str
    title: str
    principle: str
    second: str | None
    seen_as: str
    first_share: float
    usual_rate: float
    usual_cost: float

    @property
    def shares(self) -> dict[str, float]:
        """Return principle id -> share, summing to 1."""
        if self.second is None:
            return {self.principle: 1.0}
        return {self.principle: self.first_share, self.second: 1.0 - self.first_share}


@dataclass(frozen=True)
class Vocabulary:
    """All principles and breakdowns, in the order of the library."""

    principles: tuple[Principle, ...]
    breakdowns: tuple[Breakdown, ...]

    @cached_property
    def principle_by_id(self) -> Mapping[str, Principle]:
        """Return principle id -> principle."""
        return {one.id: one for one in self.principles}

    @cached_property
    def breakdown_by_id(self) -> Mapping[str, Breakdown]:
        """Return breakdown id -> breakdown."""
        return {one.id: one for one in self.breakdowns}
