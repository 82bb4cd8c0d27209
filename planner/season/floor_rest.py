"""Making up time: what is left of a running practice shortened, or with a drill dropped. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planner.problem import Refusal
from planner.season.floor import SECOND, SHORTEST, Run, Stretch, pack_coming, replanned

CUT = frozenset({"drill", "fixed", "warm-up"})
"""What is shortened to make up time; water, set-ups and cool-down keep theirs."""


def shortened(run: Run, least: Mapping[str, int] | None = None) -> tuple[Stretch, ...]:
    """Return what is to come, shortened by the same share each until practice ends on time.

    None is cut below half of its time, nor a drill below its ``least`` seconds (by id). Where that is not
    enough, everything is at its least.
    """
    known = least or {}
    over = max(0, -(-run.late // SECOND))
    room = [_room(one, known) for one in run.coming]
    total = sum(room)
    if over >= total:
        cuts = room
    else:
        exact = [over * one / total for one in room]
        cuts = [int(one) for one in exact]
        rest = over - sum(cuts)
        fullest = sorted(range(len(room)), key=lambda n: (cuts[n] - exact[n], n))
        for number in fullest[:rest]:
            cuts[number] += 1
    return tuple(replace(one, due=one.due - cut) for one, cut in zip(run.coming, cuts, strict=True))


def _room(one: Stretch, least: Mapping[str, int]) -> int:
    if one.segment.kind not in CUT:
        return 0
    floor = max(SHORTEST, -(-one.due // 2), least.get(one.drill or "", 0), -(-one.spent // SECOND))
    return max(0, one.due - floor)


def without(run: Run, place: int) -> tuple[Stretch, ...]:
    """Return what is to come without one stretch; ``place`` counts from 0.

    Raises:
        Refusal: there is no such stretch.

    """
    if not 0 <= place < len(run.coming):
        raise Refusal("There is no such stretch to come.")
    if run.coming[place].segment.kind == "water":
        raise Refusal("Water stays; drop something else.")
    return (*run.coming[:place], *run.coming[place + 1 :])


def dry(run: Run) -> int:
    """Return the milliseconds since water when the running stretch will be over."""
    since = 0
    for one in run.stretches[: run.at + 1]:
        since = 0 if one.segment.kind == "water" else since + one.spent
    return since + (max(0, run.current.left) if run.current.segment.kind != "water" else 0)


def changed(run: Run, coming: Sequence[Stretch]) -> Run:
    """Return the practice as it would be with other stretches to come."""
    return replanned(run, pack_coming(run, coming))
