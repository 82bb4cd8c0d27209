"""One drill as a coach reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from planner.drills.vocabulary import Stage

SHARE_UNIT = 20
"""Shares are whole twentieths, so that a minute splits into whole seconds."""

Kind = Literal["drill", "warm-up", "cool-down", "fixed"]
Layout = Literal["full", "half", "stations"]


@dataclass(frozen=True, slots=True)
class Fault:
    """Something seen on the floor, and what to say then."""

    seen: str
    say: str


@dataclass(frozen=True, slots=True)
class Scoring:
    """How the drill is scored: the rule, and the target as ``target`` out of ``tries``.

    ``counts`` names what is counted ("stops", "good closeouts"); ``tries`` is None for an open count.
    """

    rule: str
    counts: str
    target: int
    tries: int | None


@dataclass(frozen=True, slots=True)
class Minutes:
    """How long the drill may run, in whole minutes."""

    min: int
    usual: int
    max: int


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill card.

    ``shares`` maps principle id to whole twentieths of each minute (sum at most 20). ``effort`` is the
    expected CR-10 rating. ``half_courts`` is how many halves one group needs (1 or 2).
    """

    id: str
    title: str
    kind: Kind
    stage: Stage | None
    shares: Mapping[str, int]
    players_min: int
    players_max: int
    half_courts: int
    layout: Layout
    minutes: Minutes
    effort: int
    equipment: tuple[str, ...]
    set_up: str
    how: str
    cues: tuple[str, ...]
    faults: tuple[Fault, ...]
    scoring: Scoring | None
    easier: tuple[str, ...] = ()
    harder: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    few_players: str = ""
    one_basket: str = ""
    file: str = field(default="", compare=False)

    def share(self, principle: str) -> Fraction:
        """Return the part of each minute that teaches ``principle``."""
        return Fraction(self.shares.get(principle, 0), SHARE_UNIT)

    @property
    def main_principle(self) -> str | None:
        """Return the principle with the largest share, or None for a warm-up and its kin."""
        return max(self.shares, key=lambda one: self.shares[one], default=None)
