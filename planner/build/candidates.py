"""Which drills can run tomorrow, in which form, and why the others cannot."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from planner.build.brief import Brief, Pin, Rules, Weight
from planner.build.equipment import short_of
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
    """A drill in the form in which it can run: one group, two groups, or two drills side by side.

    ``worths`` maps principle id to effective minutes per minute taught (share x stage fit x freshness x
    players at work); ``halves`` is how many half courts this form needs. ``low`` to ``high`` in steps of
    ``step`` are its minutes, ``idle`` of them teach nothing. ``tie`` (0 to 1, by id) decides between equal
    plans. ``cards`` are the two drills behind ``drill`` where that only stands for them: a station block.
    ``twin`` is the drill in two groups, for where both baskets are open throughout. ``room`` are the spans
    (minutes after the start) in which enough players and not too many are there; empty: always.
    """

    drill: Drill
    groups: int
    halves: int
    low: int
    high: int
    worths: Mapping[str, float]
    pinned: bool = False
    tie: float = 0.0
    cards: tuple[Drill, ...] = ()
    step: int = 1
    idle: int = 0
    twin: Candidate | None = None
    room: tuple[tuple[int, int], ...] = ()
    ranks: Mapping[str, int] = field(init=False, compare=False, repr=False)
    """Stage by principle, as 1 to 4."""

    def __post_init__(self) -> None:
        """Note the stages."""
        ranks: dict[str, int] = {}
        for one in self.drills:
            if one.stage:
                for principle in one.shares:
                    ranks[principle] = max(ranks.get(principle, 0), one.stage.rank)
        object.__setattr__(self, "ranks", ranks)

    @property
    def rank(self) -> int:
        """Return the stage as 1 to 4 (0 where the drill has none)."""
        return self.drill.stage.rank if self.drill.stage else 0

    @property
    def drills(self) -> tuple[Drill, ...]:
        """Return the drills that really run."""
        return self.cards or (self.drill,)

    @property
    def effort(self) -> float:
        """Return the mean rating per minute taught, for the load."""
        return sum(one.effort for one in self.drills) / len(self.drills)

    def rank_in(self, principle: str) -> int:
        """Return the stage at which ``principle`` is taught, as 1 to 4 (0: none)."""
        return self.ranks.get(principle, 0)


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
        one, why = _in_phases(drill, brief, pin, number / len(drills))
        if one is not None:
            found.append(one)
        elif pin:
            raise Refusal(f"'{drill.id}' is pinned but cannot run: {why}.")
        else:
            out.append(LeftOut(drill.id, why))
    return tuple(found), tuple(out)


def _in_phases(drill: Drill, brief: Brief, pin: Pin | None, tie: float) -> tuple[Candidate | None, str]:
    """Return the drill in the form that suits who is there for the longest time, or why there is none."""
    forms: dict[int, list[tuple[int, int]]] = {}
    why = ""
    for start, end in brief.phases:
        then = brief.at(brief.start + start)
        reason = _cannot(drill, then, pinned=pin is not None)
        why = reason or why
        if not reason:
            forms.setdefault(_groups(drill, then), []).append((start, end))
    if not forms:
        return None, why
    groups = max(forms, key=lambda one: (sum(end - start for start, end in forms[one]), one))
    spans = forms[groups]
    made = _candidate(drill, brief.at(brief.start + spans[-1][0]), pin, tie)
    if made.twin and not all(gains_by_two(drill, brief.at(brief.start + start)) for start, _ in spans):
        made = replace(made, twin=None)
    room = room_of(spans, brief)
    return replace(made, room=room, twin=replace(made.twin, room=room) if made.twin else None), ""


def room_of(spans: Iterable[tuple[int, int]], brief: Brief) -> tuple[tuple[int, int], ...]:
    """Return spans of the practice joined where they meet; empty where they are all of it."""
    joined: list[tuple[int, int]] = []
    for start, end in spans:
        if joined and joined[-1][1] == start:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return () if joined == [(0, brief.minutes)] else tuple(joined)


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
        missing = short_of([(drill, one) for one in group_sizes(brief, 2)], brief.equipment)
        if missing and fits(drill, group_sizes(brief, 2)):
            return f"{missing}, in two groups"
        if brief.coaches < 2 and size <= 2 * drill.players_max and drill.half_courts == 1:
            return "needs a coach at each basket to run in two groups"
        return f"takes {drill.players_max} players at most, {size} will be there"
    if drill.half_courts * _groups(drill, brief) > _most_halves(brief):
        return "the gym never has enough room for it"
    missing = short_of([(drill, one) for one in group_sizes(brief, _groups(drill, brief))], brief.equipment)
    return missing or ("" if pinned else not_ready(drill, brief))


def not_ready(drill: Drill, brief: Brief) -> str:
    """Return why the drill comes too early for the team, or "" when it does not."""
    if drill.stage is None or drill.main_principle is None:
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
    """Return in how many groups the squad runs the drill: 1, 2 where it must, or 0 where neither can be."""
    if len(brief.squad) <= drill.players_max:
        return 1
    return 2 if runs_twice(drill, brief) else 0


def opposed(drill: Drill) -> bool:
    """Return whether a drill has attackers who want to score, which wants a coach beside it."""
    return drill.stage in {Stage.CONTESTED, Stage.LIVE}


def runs_twice(drill: Drill, brief: Brief) -> bool:
    """Return whether the squad can run the drill in two groups, one at each basket.

    A contested or live drill wants a coach at each, and there must be equipment for two.
    """
    if opposed(drill) and brief.coaches < 2:
        return False
    sizes = group_sizes(brief, 2)
    if drill.half_courts != 1 or not fits(drill, sizes):
        return False
    return not short_of([(drill, one) for one in sizes], brief.equipment)


def gains_by_two(drill: Drill, brief: Brief) -> bool:
    """Return whether fewer players wait where the drill runs in two groups."""
    if brief.rules.waiting <= 0 or len(brief.squad) <= drill.players_min:
        return False
    return runs_twice(drill, brief)


def group_sizes(brief: Brief, groups: int) -> tuple[int, ...]:
    """Return the sizes of equal groups, the larger ones first."""
    size, over = divmod(len(brief.squad), groups)
    return tuple(size + (number < over) for number in range(groups))


def fits(drill: Drill, sizes: Iterable[int]) -> bool:
    """Return whether groups of these sizes can run the drill."""
    return all(drill.players_min <= one <= drill.players_max for one in sizes)


def at_work(drill: Drill, sizes: Sequence[int], rules: Rules) -> float:
    """Return what a minute is worth to the average player of groups of these sizes (1: nobody waits).

    The card's least number of players is taken as the number at work at once; of the others ``waiting``
    says how much of the minute is lost. Our choice, no source.
    """
    waits = sum(max(0, one - drill.players_min) for one in sizes)
    return 1.0 - rules.waiting * waits / sum(sizes)


def _candidate(drill: Drill, brief: Brief, pin: Pin | None, tie: float) -> Candidate:
    low, high = drill.minutes.min, drill.minutes.max
    if pin and pin.minutes is not None:
        if pin.minutes < 1:
            raise Refusal(f"'{drill.id}' is pinned for {pin.minutes} min; give at least 1.")
        low = high = pin.minutes
    groups = _groups(drill, brief)
    made = Candidate(
        drill=drill,
        groups=groups,
        halves=min(2, drill.half_courts * groups),
        low=low,
        high=high,
        worths=worths_of(drill, brief, group_sizes(brief, groups)),
        pinned=pin is not None,
        tie=tie,
    )
    if groups == 2 or not gains_by_two(drill, brief):
        return made
    worths = worths_of(drill, brief, group_sizes(brief, 2))
    return replace(made, twin=replace(made, groups=2, halves=2, worths=worths))


def worths_of(drill: Drill, brief: Brief, sizes: Sequence[int]) -> dict[str, float]:
    """Return effective minutes per minute by principle, run in groups of these sizes."""
    fresh = freshness(drill.id, brief) * brief.lasting * at_work(drill, sizes, brief.rules)
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
    return any(rank < other.ranks.get(principle, 0) for principle, rank in one.ranks.items())
