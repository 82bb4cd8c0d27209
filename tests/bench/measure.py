"""Measuring: best of several runs, whole processes with their memory, and how work grows."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent.parent
RUNS = 5


@dataclass(frozen=True)
class Cost:
    """Seconds, and the most memory held in megabytes (None where the system does not tell)."""

    seconds: float
    megabytes: float | None = None


@dataclass(frozen=True)
class Line:
    """A row of the table: ours beside what it is measured against."""

    what: str
    ours: Cost
    against: str
    bare: Cost

    @property
    def ratio(self) -> float:
        """Return how many times as long ours takes."""
        return self.ours.seconds / self.bare.seconds


@dataclass(frozen=True)
class Growth:
    """How long work of several sizes takes, and the exponent of a power of the size that fits it."""

    what: str
    sizes: tuple[int, ...]
    seconds: tuple[float, ...]

    @property
    def exponent(self) -> float:
        """Return the slope of the logarithms (least squares): 1 is proportional, 2 quadratic."""
        return exponent(self.sizes, self.seconds)


def exponent(sizes: Sequence[float], seconds: Sequence[float]) -> float:
    """Return the slope of log seconds over log size, by least squares."""
    slope, _ = np.polyfit(np.log(np.asarray(sizes, float)), np.log(np.asarray(seconds, float)), 1)
    return float(slope)


def best(work: Callable[[], object], runs: int = RUNS) -> Cost:
    """Return the shortest of several runs: what the machine's other work disturbed least."""
    found = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return Cost(min(found))


def process(argv: Sequence[str], env: Mapping[str, str] | None = None, runs: int = RUNS) -> Cost:
    """Return the shortest of several runs of a Python process, and the most memory any of them held.

    Raises:
        RuntimeError: it ended badly.

    """
    found = [_once([sys.executable, *argv], {**os.environ, **(env or {})}) for _ in range(runs)]
    held = [one.megabytes for one in found if one.megabytes is not None]
    return Cost(min(one.seconds for one in found), max(held, default=None))


LAUNCH = """
import os, sys, time
began = time.perf_counter()
child = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ)
_, status, usage = os.wait4(child, 0)
seconds, code = time.perf_counter() - began, os.waitstatus_to_exitcode(status)
sys.stderr.write(f"\\nTOLD {seconds} {usage.ru_maxrss} {code}")
"""
"""A small process starts the measured one: a child is charged with what its parent held when it forked."""


def _once(argv: Sequence[str], env: Mapping[str, str]) -> Cost:
    told = hasattr(os, "posix_spawn") and hasattr(os, "wait4")
    command = [sys.executable, "-S", "-E", "-c", LAUNCH, *argv] if told else list(argv)
    began = time.perf_counter()
    streams = {"stdout": subprocess.DEVNULL, "stderr": subprocess.PIPE}
    ran = subprocess.run(command, env=dict(env), cwd=ROOT, check=False, **streams)
    seconds, held, code = time.perf_counter() - began, None, ran.returncode
    said = ran.stderr.decode(errors="replace")
    if told and not code:
        said, _, figures = said.rpartition("\nTOLD ")
        spent, most, ended = figures.split()
        seconds, code = float(spent), int(ended)
        held = int(most) / (2**20 if sys.platform == "darwin" else 2**10)
    if code:
        raise RuntimeError(f"{' '.join(argv[:6])} ended with {code}: {said[-500:]}")
    return Cost(seconds, held)


def table(lines: Sequence[Line]) -> str:
    """Return the ratios as text."""
    rows = [f"{'':44}{'ours s':>9}{'MB':>6}   {'against':40}{'s':>9}{'MB':>6}{'ratio':>8}"]
    rows += [
        f"{one.what:44}{one.ours.seconds:9.3f}{_held(one.ours)}   {one.against:40}"
        f"{one.bare.seconds:9.3f}{_held(one.bare)}{one.ratio:8.1f}"
        for one in lines
    ]
    return "\n".join(rows)


def growths(found: Sequence[Growth]) -> str:
    """Return the growth as text: seconds by size, and the exponent."""
    rows = [f"{'growth':44}{'exponent':>9}   seconds by size"]
    for one in found:
        sizes = "  ".join(f"{s}: {t:.3f}" for s, t in zip(one.sizes, one.seconds, strict=True))
        rows.append(f"{one.what:44}{one.exponent:9.2f}   {sizes}")
    return "\n".join(rows)


def _held(one: Cost) -> str:
    return f"{one.megabytes:6.0f}" if one.megabytes is not None else f"{'':6}"
