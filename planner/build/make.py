"""The door of the build room: a brief in, a timed plan out, or one sentence that says why there is none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planner.build.brief import Brief
from planner.build.candidates import Candidate, find_candidates, halves_at
from planner.build.check import check_plan
from planner.build.frame import Frame, build_frame
from planner.build.missed import left_out
from planner.build.near import Quick
from planner.build.plan import Plan
from planner.build.reasons import plan_worth, reasons
from planner.build.solve import NoPlan, Solution, feasible, solve
from planner.build.stations import Offer, station_blocks
from planner.build.timetable import OPEN_TITLE, timetable
from planner.clock import clock_text
from planner.problem import Refusal
from planner.text import listed, plural

NOT_FOUND = (
    "No plan was found within the limits of the search, which does not prove that there is none;"
    " fewer pins, another length or fewer fixed blocks may help."
)


def make_plan(brief: Brief, titles: Mapping[str, str] | None = None, quick: Quick | None = None) -> Plan:
    """Return the best plan for the brief; ``titles`` maps principle id to the words used in the reasons.

    With ``quick`` it is the best found at once; its bound says what may be missing. ``seconds`` is left at 0:
    the caller has the watch.

    Raises:
        Refusal: the wishes cannot be met together; the sentence names the numbers.

    """
    return solve_brief(brief, titles or {}, quick)[0]


def solve_brief(brief: Brief, titles: Mapping[str, str], quick: Quick | None = None) -> tuple[Plan, Solution]:
    """Return the best plan and the solution behind it.

    Raises:
        Refusal: as ``make_plan``.

    """
    frame = build_frame(brief)
    found, refused = find_candidates(brief)
    offer = station_blocks(brief, found)
    candidates = (*found, *offer.candidates)
    _check_pinned_minutes(brief, frame, candidates)
    _check_load(brief, frame)
    solution = solve(brief, frame, candidates, quick)
    if isinstance(solution, NoPlan):
        raise Refusal(_conflict(brief, frame, candidates) if solution.proven else NOT_FOUND)
    segments = timetable(solution.model, solution.ordered, reasons(brief, solution, titles))
    worth = plan_worth(brief, solution)
    plan = Plan(
        date=brief.date,
        start=brief.start,
        minutes=brief.minutes,
        objective=worth,
        bound=worth if solution.proven else max(worth, worth + solution.bound - solution.value),
        proven=solution.proven,
        seconds=0.0,
        segments=segments,
    )
    missed = left_out(brief, solution, plan, candidates, refused)
    plan = replace(plan, left_out=missed, warnings=tuple(_warnings(plan, brief, frame, offer)))
    return plan, solution


def _warnings(plan: Plan, brief: Brief, frame: Frame, offer: Offer) -> list[str]:
    found = [*frame.warnings, *_gym_warnings(brief, frame), *check_plan(plan, brief)]
    empty = sum(one.minutes for one in plan.segments if one.title == OPEN_TITLE)
    if empty:
        found.append(f"{plural(empty, 'minute')} stay open: no drill that may run fits there.")
    if offer.note:
        found.append(offer.note)
    return found


def _gym_warnings(brief: Brief, frame: Frame) -> list[str]:
    found = []
    for block in frame.blocks:
        free = min(halves_at(brief, brief.start + minute) for minute in range(block.start, block.end))
        if free < block.halves:
            begins = clock_text(brief.start + block.start)
            found.append(f"{begins} '{block.title}' needs {block.halves} half courts, there is {free}.")
    return found


def _check_pinned_minutes(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> None:
    pinned = sum(one.low for one in candidates if one.pinned)
    around = sum(one.minutes for one in frame.blocks)
    if pinned + around > brief.minutes:
        raise Refusal(
            f"Pinned drills need {pinned} min and fixed blocks, warm-up and cool-down {around} min:"
            f" {pinned + around} min, practice has {brief.minutes}."
        )


def _check_load(brief: Brief, frame: Frame) -> None:
    ceiling = brief.rules.load_ceiling
    spent = sum(one.effort * one.minutes for one in frame.blocks)
    if ceiling is not None and spent > ceiling:
        raise Refusal(
            f"Warm-up, fixed blocks and cool-down alone load {spent:.0f}, the ceiling is {ceiling:.0f};"
            " raise it or shorten a block."
        )


def _conflict(brief: Brief, frame: Frame, candidates: Sequence[Candidate]) -> str:
    """Return the sentence for wishes that cannot be met together, named as few as possible.

    Other drills are never needed to meet a wish: open minutes fill what is left.
    """
    needed = [one for one in candidates if one.pinned]
    alone = replace(brief, stations=None)
    if not needed and brief.stations and feasible(alone, frame, candidates) is not False:
        return (
            "No station block fits between the fixed blocks with water, the gym and the order of stages;"
            " plan without --stations."
        )
    brief = alone
    for one in list(needed):
        rest = [other for other in needed if other is not one]
        if feasible(brief, frame, rest) is False:
            needed = rest
    if not needed:
        return (
            "Fixed blocks, water and the load ceiling leave no practice; move a block or raise the ceiling."
        )
    free = sum(one.minutes for one in frame.sections)
    room = f"the {free} free minutes"
    loose = replace(brief, rules=replace(brief.rules, load_ceiling=None))
    if brief.rules.load_ceiling is not None and feasible(loose, frame, needed):
        room += f" under a load ceiling of {brief.rules.load_ceiling:.0f}"
    wishes = listed([f"'{one.drill.id}' ({one.low} min)" for one in needed])
    subject = f"Pinned together, {wishes} do" if len(needed) > 1 else f"Pinned, {wishes} does"
    return (
        f"{subject} not fit into {room}"
        " with water, set-ups, the gym and the order of stages; drop or shorten one."
    )
