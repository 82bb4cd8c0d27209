"""Damaged samples to every reader: ``python -m tests.fuzz.run --count 1000 [--seed 1] [--only sheet]``.

Each input must give values or one Refusal, within ``SECONDS`` of processor time (``SECONDS_LARGE`` above
100 kB) and ``MEGABYTES`` of memory. With ``--guided`` inputs that reach new lines of the readers are kept as
further samples (traced: some ten times slower). Faulty inputs are written to ``--keep`` and named; the exit
code is 1 then. The same seed gives the same inputs.
"""

from __future__ import annotations

import argparse
import random
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

from planner.problem import Refusal
from tests.fuzz.mutate import mutated
from tests.fuzz.targets import Target, check, quietly, targets

SECONDS = 2.0
SECONDS_LARGE = 20.0
LARGE = 100_000
MEGABYTES = 1_500
MOST_SAMPLES = 2_000


class TooSlow(BaseException):
    """The reader was still at it when its time was up."""


def _ring(_signal: int, _frame: FrameType | None) -> None:
    raise TooSlow


def bounded(target: Target, raw: bytes) -> str:
    """Read one input and return how it ended: ``values``, ``refused``, or what went wrong."""
    limit = SECONDS if len(raw) <= LARGE else SECONDS_LARGE
    signal.signal(signal.SIGVTALRM, _ring)
    signal.setitimer(signal.ITIMER_VIRTUAL, limit)
    try:
        try:
            found = quietly(target.read, raw)
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        check(found)
    except Refusal as refusal:
        try:
            check(str(refusal))
        except (AssertionError, UnicodeEncodeError):
            return f"a refusal that is not clean: {str(refusal)[:120]!r}"
        return "refused"
    except TooSlow:
        return f"more than {limit:g} s for {len(raw)} bytes"
    except BaseException as fault:  # whatever it is, it is a finding
        last = traceback.extract_tb(fault.__traceback__)[-1]
        return f"{type(fault).__name__} at {Path(last.filename).name}:{last.lineno}: {str(fault)[:120]}"
    return "values"


class Lines:
    """Which lines of the product have been reached; new ones make an input worth keeping."""

    def __init__(self) -> None:
        self.seen: set[tuple[str, int]] = set()
        self.new = False

    def follow(self, do: Callable[[], str]) -> tuple[str, bool]:
        """Run ``do`` traced and return its result and whether it reached a line for the first time."""
        self.new = False
        sys.settrace(self._call)
        try:
            result = do()
        finally:
            sys.settrace(None)
        return result, self.new

    def _call(self, frame: FrameType, _event: str, _argument: Any) -> Any:
        return self._line if "/planner/" in frame.f_code.co_filename else None

    def _line(self, frame: FrameType, event: str, _argument: Any) -> Any:
        if event == "line":
            where = (frame.f_code.co_filename, frame.f_lineno)
            if where not in self.seen:
                self.seen.add(where)
                self.new = True
        return self._line


def fuzz(
    target: Target, count: int, seed: int, guided: bool, keep: Path | None
) -> tuple[Counter[str], float]:
    """Give a reader so many damaged samples; return how they ended, and the slowest in seconds."""
    chance = random.Random(f"{target.name} {seed}")
    samples = list(target.samples)
    ended: Counter[str] = Counter()
    lines = Lines()
    slowest = 0.0
    for raw in samples:
        if bounded(target, raw) not in {"values", "refused"}:
            ended[f"the sample itself: {bounded(target, raw)}"] += 1
    for number in range(count):
        raw = mutated(chance, chance.choice(samples), samples)
        began = time.process_time()
        if guided:
            result, new = lines.follow(lambda raw=raw: bounded(target, raw))  # type: ignore[misc]
            if new and len(samples) < MOST_SAMPLES and len(raw) <= LARGE:
                samples.append(raw)
        else:
            result = bounded(target, raw)
        slowest = max(slowest, time.process_time() - began)
        if result not in {"values", "refused"} and not ended[result] and keep is not None:
            keep.mkdir(parents=True, exist_ok=True)
            (keep / f"{target.name}-{seed}-{number}").write_bytes(raw)
        ended[result] += 1
    return ended, slowest


def main(argv: list[str] | None = None) -> int:
    """Run from the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=300, help="inputs for each reader")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", nargs="+", default=sorted(targets()))
    parser.add_argument("--guided", action="store_true", help="keep inputs that reach new lines as samples")
    parser.add_argument("--keep", type=Path, help="folder for faulty inputs")
    told = parser.parse_args(argv)
    resource.setrlimit(resource.RLIMIT_AS, (MEGABYTES * 2**20, resource.getrlimit(resource.RLIMIT_AS)[1]))
    faulty = 0
    for name in told.only:
        ended, slowest = fuzz(targets()[name], told.count, told.seed, told.guided, told.keep)
        good = ended.pop("values", 0), ended.pop("refused", 0)
        sys.stdout.write(
            f"{name}: {told.count} inputs, {good[0]} read, {good[1]} refused, slowest {slowest:.2f} s\n"
        )
        for result, times in ended.most_common():
            sys.stdout.write(f"  ! {times} x {result}\n")
            faulty += times
        sys.stdout.flush()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    sys.stdout.write(f"most memory: {peak} MB of {MEGABYTES} allowed; {faulty} faults\n")
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(main())
