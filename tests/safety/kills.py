"""Killing the program at random moments, and seeing that nothing acknowledged is lost.

``python -m tests.safety.kills --count 500 --seed 1`` runs it; the normal suite runs a few. A worker does one
verb over and over in a copy of an invented season and tells after each committed write what it wrote. It is
killed (SIGKILL, which it cannot catch) after a number of such lines and a fraction of a second that the seed
chooses. Then another process opens the data folder: everything told must be there, what was under way must be
there whole or not at all, and ``check`` must find nothing.
"""

from __future__ import annotations

import argparse
import functools
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.safety import verbs

Told = list[Any]


@dataclass(frozen=True)
class Trial:
    """How one kill ended: the verb, how many writes had been told, and what was wrong afterwards."""

    verb: str
    told: int
    killed: bool
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Child:
    """A process of ours and the end of the pipe on which it tells."""

    number: int
    pipe: int


def fork(job: Callable[[Callable[[Any], None]], None]) -> Child:
    """Run ``job(tell)`` in a process of its own."""
    read, write = os.pipe()
    sys.stdout.flush()
    number = os.fork()
    if number:
        os.close(write)
        return Child(number, read)
    os.close(read)
    code = 0
    try:
        job(lambda value: os.write(write, f"{json.dumps(value)}\n".encode()) and None)
    except BaseException:
        os.write(write, f"{json.dumps({'broke': traceback.format_exc()})}\n".encode())
        code = 1
    os._exit(code)


def hear(child: Child, lines: int | None = None) -> bytes:
    """Return what the child told, up to so many lines."""
    heard = b""
    while lines is None or heard.count(b"\n") < lines:
        piece = os.read(child.pipe, 65536)
        if not piece:
            break
        heard += piece
    return heard


def told_in(heard: bytes) -> Told:
    """Return the whole lines; one cut short by the kill was never acknowledged."""
    return [json.loads(line) for line in heard.split(b"\n")[:-1]]


def killed_once(verb: verbs.Verb, base: Path, home: Path, chance: random.Random, pace: float) -> Trial:
    """Let a worker work in a copy of ``base``, kill it, and judge what it left."""
    shutil.copytree(base, home)
    worker = fork(functools.partial(worked, verb, home))
    heard = hear(worker, chance.randrange(verb.lines + 1)) if verb.lines else b""
    time.sleep(chance.random() * pace)
    os.kill(worker.number, signal.SIGKILL)
    heard += hear(worker)
    os.close(worker.pipe)
    _, status = os.waitpid(worker.number, 0)
    told = told_in(heard)
    broke = [str(one["broke"]) for one in told if isinstance(one, dict) and "broke" in one]
    judge = fork(functools.partial(judged, verb, home, told))
    faults = tuple(str(one) for one in told_in(hear(judge)))
    os.close(judge.pipe)
    os.waitpid(judge.number, 0)
    shutil.rmtree(home)
    return Trial(verb.name, len(told), os.WIFSIGNALED(status), (*broke, *faults))


def worked(verb: verbs.Verb, home: Path, tell: Callable[[Any], None]) -> None:
    """Do the verb's work; whoever is done early waits for the kill."""
    verb.work(home, tell)
    signal.pause()


def judged(verb: verbs.Verb, home: Path, told: Told, tell: Callable[[Any], None]) -> None:
    """Tell every fault that is found."""
    for fault in [*verb.judge(home, told), *verbs.unsound(home, verb.later)]:
        tell(fault)


def pace_of(verb: verbs.Verb, base: Path, home: Path) -> float:
    """Return about how many seconds pass from one told line to the next."""
    shutil.copytree(base, home)
    worker = fork(functools.partial(verb.work, home))
    gaps, last = [], time.monotonic()
    for _ in range(min(5, verb.lines + 1)):
        if not hear(worker, 1):
            break
        gaps.append(time.monotonic() - last)
        last = time.monotonic()
    os.kill(worker.number, signal.SIGKILL)
    os.waitpid(worker.number, 0)
    os.close(worker.pipe)
    shutil.rmtree(home)
    return min(max(sorted(gaps[1:] or gaps)[len(gaps[1:]) // 2], 0.002), 3.0) * 1.3


def run(count: int, seed: int, names: list[str], say: Callable[[str], None] = print) -> list[Trial]:
    """Kill ``count`` times, verb after verb in turn, and return how each ended."""
    chance = random.Random(seed)
    chosen = [one for one in verbs.VERBS if not names or one.name in names]
    trials: list[Trial] = []
    with tempfile.TemporaryDirectory(prefix="stopsheet-kills-") as made:
        folder = Path(made)
        verbs.warm()
        base = made_in(lambda: verbs.season(folder / "season"), folder / "season")
        bases = {one.name: prepared(one, base, folder / f"base-{one.name}") for one in chosen[:count]}
        paces = {one.name: pace_of(one, bases[one.name], folder / "pace") for one in chosen[:count]}
        for number in range(count):
            verb = chosen[number % len(chosen)]
            home = folder / "home"
            trial = killed_once(verb, bases[verb.name], home, chance, paces[verb.name])
            trials.append(trial)
            for fault in trial.faults:
                say(f"{number} {verb.name} after {trial.told}: {fault}")
    return trials


def prepared(verb: verbs.Verb, season: Path, base: Path) -> Path:
    """Return a copy of the season with what the verb needs besides."""
    shutil.copytree(season, base)
    return made_in(lambda: verb.prepare(base), base)


def made_in(job: Callable[[], None], made: Path) -> Path:
    """Make something in a process of its own, so that nothing is open here when we fork."""
    child = fork(lambda _tell: job())
    heard = hear(child)
    os.close(child.pipe)
    os.waitpid(child.number, 0)
    if heard:
        raise RuntimeError(heard.decode())
    return made


def report(trials: list[Trial]) -> str:
    """Return the figures by verb."""
    lines = [f"{'verb':12} kills  told before  unharmed"]
    kills, good, told = Counter[str](), Counter[str](), Counter[str]()
    for one in trials:
        kills[one.verb] += one.killed
        told[one.verb] += one.told
        good[one.verb] += one.killed and not one.faults
    lines += [f"{one:12} {kills[one]:5}  {told[one]:11}  {good[one]:8}" for one in kills]
    bad = sum(bool(one.faults) for one in trials)
    lines.append(f"{'all':12} {sum(kills.values()):5}  {sum(told.values()):11}  {sum(good.values()):8}")
    return "\n".join([*lines, f"{bad} with faults"])


def main() -> int:
    """Run from the command line; exit 1 when anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--verb", action="append", default=[])
    said = parser.parse_args()
    trials = run(said.count, said.seed, said.verb)
    sys.stdout.write(f"{report(trials)}\n")
    return 1 if any(one.faults or not one.killed for one in trials) else 0


if __name__ == "__main__":
    raise SystemExit(main())
