"""Progressions: the drills of a principle from walk to live, and what may be wrong with their links."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planner.drills.card import Drill
from planner.drills.vocabulary import Stage


@dataclass(frozen=True, slots=True)
class Rung:
    """One drill of a ladder and its neighbours, as ids in the order of the library."""

    drill: Drill
    easier: tuple[str, ...]
    harder: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ladder:
    """A principle's drills by stage, easiest first; every stage has a place, if an empty one."""

    principle: str
    stages: Mapping[Stage, tuple[Rung, ...]]

    @property
    def rungs(self) -> tuple[Rung, ...]:
        """Return all rungs from the bottom up."""
        return tuple(one for stage in Stage for one in self.stages[stage])


@dataclass(frozen=True, slots=True)
class Slip:
    """A fault in the links of a drill; ``key`` is the field of its file where it stands."""

    drill: Drill
    key: str
    what: str


def next_stage(passed: Stage | None) -> Stage | None:
    """Return the stage a team works at after the one it has passed; None when it has passed them all."""
    return next((one for one in Stage if passed is None or one.rank > passed.rank), None)


def ladder_of(drills: Iterable[Drill], principle: str) -> Ladder:
    """Return the ladder of the drills that teach ``principle`` most.

    A link counts when either side states it, so that a team's own drill hangs on the ladder where it says.
    Within a stage a drill comes after those of the same stage that it is harder than.
    """
    mine = [one for one in drills if one.kind == "drill" and one.main_principle == principle and one.stage]
    up = _links(mine)
    down: dict[str, list[str]] = {one.id: [] for one in mine}
    for one, harder in up.items():
        for other in harder:
            down[other].append(one)
    height = _heights(up)
    stages = {stage: sorted((d for d in mine if d.stage == stage), key=lambda d: d.id) for stage in Stage}
    return Ladder(
        principle,
        {
            stage: tuple(
                Rung(one, tuple(down[one.id]), tuple(up[one.id]))
                for one in sorted(found, key=lambda d: height[d.id])
            )
            for stage, found in stages.items()
        },
    )


def _links(mine: Sequence[Drill]) -> dict[str, list[str]]:
    """Return id -> harder ids among these drills, from what both sides state."""
    up: dict[str, set[str]] = {one.id: set() for one in mine}
    for one in mine:
        up[one.id].update(other for other in one.harder if other in up)
        for other in one.easier:
            if other in up:
                up[other].add(one.id)
    return {one: sorted(found) for one, found in up.items()}


def _heights(up: Mapping[str, Sequence[str]]) -> dict[str, int]:
    """Return how many links lie below each drill at most; drills that go in a circle stay where found."""
    height = dict.fromkeys(up, 0)
    for _ in up:
        raised = {o: h + 1 for one, h in height.items() for o in up[one] if height[o] < h + 1}
        if not raised:
            break
        height |= raised
    return height


def slips(drills: Sequence[Drill], own: frozenset[str] = frozenset()) -> list[Slip]:
    """Return what is wrong with the links: unknown ids, one-sided, downward or circular ones, gaps.

    The team's ``own`` drills may hang on the ladder from one side, or not at all.
    """
    by_id = {one.id: one for one in drills}
    found = [slip for one in drills for slip in _link_slips(one, by_id, own)]
    found += _circles(by_id)
    for principle in dict.fromkeys(one.main_principle for one in drills if one.kind == "drill"):
        if principle:
            found += _gaps(ladder_of(drills, principle), own)
    return found


def _link_slips(one: Drill, by_id: Mapping[str, Drill], own: frozenset[str]) -> list[Slip]:
    found: list[Slip] = []
    for key, named, back, sign in (("harder", one.harder, "easier", 1), ("easier", one.easier, "harder", -1)):
        for other_id in named:
            other = by_id.get(other_id)
            if other is None:
                found.append(Slip(one, key, f"'{other_id}' in '{key}' is no drill"))
                continue
            if other_id == one.id:
                found.append(Slip(one, key, f"the drill is named in its own '{key}'"))
                continue
            links = other.easier if back == "easier" else other.harder
            if one.id not in links and one.id not in own and other_id not in own:
                found.append(Slip(one, key, f"'{other_id}' does not name it back in its '{back}'"))
            if one.stage and other.stage and sign * (other.stage.rank - one.stage.rank) < 0:
                found.append(Slip(one, key, f"'{other_id}' ({other.stage}) is not {key} than {one.stage}"))
        if len(set(named)) < len(named):
            found.append(Slip(one, key, f"a drill stands twice in '{key}'"))
    return found


def _circles(by_id: Mapping[str, Drill]) -> list[Slip]:
    """Return one fault for each circle of 'harder', at its first drill by id."""
    left = {one: {o for o in drill.harder if o in by_id and o != one} for one, drill in sorted(by_id.items())}
    while left:
        tops = [one for one, harder in left.items() if not harder & left.keys()]
        if not tops:
            break
        for one in tops:
            del left[one]
    found: list[Slip] = []
    seen: set[str] = set()
    for one in left:
        circle = _circle(one, left)
        if circle and not seen & set(circle):
            way = " -> ".join([*circle, circle[0]])
            found.append(Slip(by_id[one], "harder", f"goes in a circle: {way}"))
            seen.update(circle)
    return found


def _circle(start: str, up: Mapping[str, set[str]]) -> list[str]:
    """Return the way from ``start`` back to itself, or nothing."""
    ways: list[list[str]] = [[start]]
    seen: set[str] = set()
    while ways:
        way = ways.pop(0)
        for one in sorted(up[way[-1]] & up.keys()):
            if one == start:
                return way
            if one not in seen:
                seen.add(one)
                ways.append([*way, one])
    return []


def _gaps(ladder: Ladder, own: frozenset[str]) -> list[Slip]:
    up = {one.drill.id: one.harder for one in ladder.rungs}
    reached = {one.drill.id for one in ladder.stages[Stage.WALK]}
    fresh = sorted(reached)
    while fresh:
        fresh = [other for one in fresh for other in up[one] if other not in reached]
        reached.update(fresh)
    found: list[Slip] = []
    for rung in ladder.rungs:
        one = rung.drill
        if one.id in own:
            continue
        if one.id not in reached:
            found.append(
                Slip(one, "easier", f"no way leads up to it from a walk drill of {ladder.principle}")
            )
        if one.stage != Stage.LIVE and not rung.harder:
            found.append(Slip(one, "harder", f"a dead end: nothing harder in {ladder.principle} follows it"))
    return found
