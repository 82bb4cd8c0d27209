"""How long a plan takes and how much it gains: ``python -m tests.bench.plan`` prints a table.

Seconds are processor seconds of one process, so that other work on the machine counts for little. Nothing
here can fail a build.
"""

# ruff: noqa: T201

from __future__ import annotations

import argparse
import os
import platform
import statistics
import time
from dataclasses import replace
from importlib.metadata import version

from planner.build.brief import Brief
from planner.build.candidates import find_candidates
from planner.build.frame import build_frame
from planner.build.known import Known
from planner.build.make import solve_brief
from planner.build.near import Quick
from planner.build.reasons import plan_worth
from planner.build.search import search
from planner.build.solve import Solution, solve
from tests.bench.baselines import greedy_worth, random_worth
from tests.bench.instances import practice, varied

SIZES = ((125, 60), (125, 95), (250, 95), (500, 150))
RANDOM_PLANS = 20


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="How long a plan takes, and what it gains.")
    parser.add_argument("--practices", type=int, default=12, help="seeded practices of each size (12)")
    parser.add_argument("--sizes", nargs="*", default=[], metavar="DRILLS:MINUTES", help="sizes, as 125:95")
    given = parser.parse_args()
    sizes = [tuple(int(part) for part in one.split(":")) for one in given.sizes] or SIZES
    import highspy  # noqa: F401  loading it is not planning

    print(_machine())
    print()
    print(
        "| drills, minutes | may run | first plan s | solved s: median | least | most | proven | largest gap"
    )
    print("| greedy | random | quick what if s | most | its largest gap | with reasons s |")
    for drills, minutes in sizes:
        print(_row(drills, minutes, given.practices), flush=True)


def _machine() -> str:
    return (
        f"{os.cpu_count()} cores, {platform.machine()} {platform.system()},"
        f" Python {platform.python_version()}, highspy {version('highspy')}"
    )


def _row(drills: int, minutes: int, count: int) -> str:
    cards = varied(drills)
    runs = [_measure(practice(seed, cards, minutes)) for seed in range(count)]

    def middle(name: str) -> float:
        return statistics.median(one[name] for one in runs if one[name] is not None)

    seconds = [one["solve"] for one in runs]
    return (
        f"| {drills}, {minutes} | {min(r['may'] for r in runs):.0f} to {max(r['may'] for r in runs):.0f}"
        f" | {middle('first'):.2f} | {middle('solve'):.2f} | {min(seconds):.2f} | {max(seconds):.2f}"
        f" | {sum(one['proven'] for one in runs):.0f}/{count} | {max(one['gap'] for one in runs):.3%}"
        f" | {middle('greedy'):.0%} | {middle('random'):.0%} | {middle('what_if'):.2f}"
        f" | {max(one['what_if'] for one in runs):.2f} | {max(one['what_if_gap'] for one in runs):.1%}"
        f" | {middle('whole'):.2f} |"
    )


def _measure(brief: Brief) -> dict[str, float]:
    frame = build_frame(brief)
    candidates, _ = find_candidates(brief)
    began = time.process_time()
    search(Known(brief, frame, any_plan=True), candidates)
    first = time.process_time() - began
    began = time.process_time()
    found = solve(brief, frame, candidates)
    seconds = time.process_time() - began
    assert isinstance(found, Solution)
    worth = plan_worth(brief, found)
    began = time.process_time()
    plan, _ = solve_brief(brief, {})
    whole = time.process_time() - began
    dearest = max(found.ordered.choice.placed, key=lambda one: (one.minutes, one.candidate.drill.id))
    began = time.process_time()
    without = replace(brief, keep_out=frozenset({dearest.candidate.drill.id}))
    quick = solve(without, frame, find_candidates(without)[0], Quick(plan))
    what_if = time.process_time() - began
    assert isinstance(quick, Solution)
    drawn = [random_worth(brief, seed) for seed in range(RANDOM_PLANS)]
    return {
        "may": len(candidates),
        "first": first,
        "solve": seconds,
        "proven": float(found.proven),
        "gap": (found.bound - found.value) / found.bound,
        "greedy": greedy_worth(brief) / worth,
        "random": statistics.median(drawn) / worth,
        "what_if": what_if,
        "what_if_gap": (quick.bound - quick.value) / quick.bound,
        "whole": whole,
    }


if __name__ == "__main__":
    main()
