"""Which drills can run tomorrow, in which form, and why the others cannot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.build.brief import Brief, Pin, Weight
from planner.build.plan import LeftOut
from planner.drills.card import SHARE_UNIT, Drill
from planner.drills.vocabulary import Stage
from planner.problem import Refusal

FIT_BY_STEP = {0: 1.0, -1: 0.7, -2: 0.4, -3: 0.25}
"""Worth of a minute by how far the drill's stage lies from the next one to climb. Our choice, no source."""

FIT_UNRECORDED = {Stage.WALK: 0.4, Stage.GUIDED: 0.8, Stage.CONTESTED: 1.0, Stage.LIVE: 0.9}
"""The same where no stage has been recorded as passed yet. Our choice, no source."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A drill in the form in which it can run: one group, or two groups side by side.

    ``worths`` maps principle id to effective minutes per minute run (share x stage fit x freshness);
    ``halves`` is how many half courts this form needs. ``low`` to ``high`` are its minutes.
    ``tie`` (0 to 1, by id) decides between equal plans.
    """

    drill: Drill
    groups: int
    halves: int
    low: int
    high: int
    worths: Mapping[str, float]
    pinned: bool = False
    tie: float = 0.0

    @property
    def rank(self) -> int:
        """Return the stage as 1 to 4 (0 where the drill has none)."""
        return self.drill.stage.rank if self.drill.stage else 0


def find_candidates(brief: Brief) -> tuple[tuple[Candidate, ...], tuple[LeftOut, ...]]:
    """Return the drills that can run, by id, and those that cannot with the reason.

    Raises:
        Refusal: a pin names no drill, one kept out, or one that cannot run.

    """
    pins = {one.drill: one for one in brief.pins}
    _check_pins(brief, pins)
    found: list[Candidate] = []
    out: list[LeftOut] = []
    drills = sorted(brief.drills, key=lambda one: one.id)
    for number, drill in enumerate(drills):
        pin = pins.get(drill.id)
        if drill.kind != "drill" and pin is None:
            continue
        why = _cannot(drill, brief, pinned=pin is not None)
        if why and pin:
            raise Refusal(f"'{drill.id}' is pinned but cannot run: {why}.")
        if why:
            out.append(LeftOut(drill.id, why))
            continue
        found.append(_candidate(drill, brief, pin, number / len(drills)))
    return tuple(found), tuple(out)


def _check_pins(brief: Brief, pins: Mapping[str, Pin]) -> None:
    known = {one.id for one in brief.drills}
    for one in [*pins, *sorted(brief.keep_out)]:
        if one not in known:
            raise Refusal(f"There is no drill '{one}'; 'stopsheet drills list' shows their ids.")
    both = sorted(set(pins) & brief.keep_out)
    if both:
        raise Refusal(f"'{both[0]}' is both pinned and kept out; drop one of the two wishes.")


def _cannot(drill: Drill, brief: Brief, pinned: bool) -> str:
    """Return why the drill cannot run, or "" when it can."""
    size = len(brief.squad)
    if drill.id in brief.keep_out:
        return "kept out"
    if size < drill.players_min:
        return f"needs {drill.players_min} players, {size} will be there"
    if not _groups(drill, brief):
        if brief.coaches < 2 and size <= 2 * drill.players_max and drill.half_courts == 1:
            return "needs a coach at each basket to run in two groups"
        return f"takes {drill.players_max} players at most, {size} will be there"
    if drill.half_courts * _groups(drill, brief) > _most_halves(brief):
        return "the gym never has enough room for it"
    if pinned or drill.stage is None or drill.main_principle is None:
        return ""
    passed = brief.weights.get(drill.main_principle, Weight(0.0)).passed
    if passed is not None and drill.stage.rank > passed.rank + 1:
        return f"not ready: {drill.main_principle} has passed {passed}, this is {drill.stage}"
    return ""


def _most_halves(brief: Brief) -> int:
    """Return the most half courts free at any minute of the practice."""
    return max(halves_at(brief, brief.start + minute) for minute in range(brief.minutes))


def halves_at(brief: Brief, minute: int) -> int:
    """Return the half courts free at a minute of the day: the least any window grants, both if none does."""
    granted = [one.halves for one in brief.gym if one.start <= minute < one.end]
    return min(granted, default=2)


def _groups(drill: Drill, brief: Brief) -> int:
    """Return in how many groups the squad runs the drill: 1, 2, or 0 where neither can be.

    A contested or live drill wants a coach at each basket.
    """
    size = len(brief.squad)
    if size <= drill.players_max:
        return 1
    opposed = drill.stage in {Stage.CONTESTED, Stage.LIVE}
    if opposed and brief.coaches < 2:
        return 0
    if drill.half_courts == 1 and size <= 2 * drill.players_max and size // 2 >= drill.players_min:
        return 2
    return 0


def _candidate(drill: Drill, brief: Brief, pin: Pin | None, tie: float) -> Candidate:
    low, high = drill.minutes.min, drill.minutes.max
    if pin and pin.minutes is not None:
        if pin.minutes < 1:
            raise Refusal(f"'{drill.id}' is pinned for {pin.minutes} min; give at least 1.")
        low = high = pin.minutes
    groups = _groups(drill, brief)
    return Candidate(
        drill=drill,
        groups=groups,
        halves=min(2, drill.half_courts * groups),
        low=low,
        high=high,
        worths=_worths(drill, brief),
        pinned=pin is not None,
        tie=tie,
    )


def _worths(drill: Drill, brief: Brief) -> dict[str, float]:
    fresh = freshness(drill.id, brief) * brief.lasting
    worths = {}
    for principle, units in drill.shares.items():
        weight = brief.weights.get(principle)
        if weight and weight.need > 0:
            worths[principle] = units / SHARE_UNIT * fresh * stage_fit(drill.stage, weight.passed)
    return worths


def freshness(drill: str, brief: Brief) -> float:
    """Return what is left of a drill's worth after running it in the last practices."""
    if drill in brief.ran_last:
        return brief.rules.freshness_last
    return brief.rules.freshness_before if drill in brief.ran_before else 1.0


def stage_fit(stage: Stage | None, passed: Stage | None) -> float:
    """Return what a minute at ``stage`` is worth to a team that has ``passed`` up to there."""
    if stage is None:
        return FIT_BY_STEP[-3]
    if passed is None:
        return FIT_UNRECORDED[stage]
    goal = min(passed.rank + 1, 4)
    return FIT_BY_STEP[max(-3, min(0, stage.rank - goal))]


def must_precede(one: Candidate, other: Candidate) -> bool:
    """Return whether ``one`` teaches at a lower stage something that ``other`` teaches too."""
    return 0 < one.rank < other.rank and not one.drill.shares.keys().isdisjoint(other.drill.shares)
