"""Coaches in a program of their own: they add film and change plans until time is up, then say how it went.

Run as ``python -m tests.staff.writers ADDRESS HOME SECONDS NAME...``; it says that it is ready, waits for a
line, and prints one JSON list: a coach each, every one with connections of its own.
"""

from __future__ import annotations

import collections
import datetime as dt
import json
import random
import sys
import threading
import time
from pathlib import Path
from typing import Any

from planner.desk.desk import Desk
from planner.desk.film import Reading, _add
from planner.desk.practice import Wishes, store_plan
from planner.desk.versions import Overtaken, version_of
from planner.film.intake import Heading
from planner.problem import Refusal
from planner.store import queries
from tests.store.making import a_plan, an_intake

DAYS = tuple(dt.date(2027, 2, 1) + dt.timedelta(days=n) for n in range(3))
SHARED_NOTES = 6
"""Film notes that every coach tries to add: each must be in once."""


def work(address: str, home: Path, name: str, seconds: float) -> dict[str, Any]:
    """Work as one coach and return what was stored, what was kept beside, and what was refused."""
    desk = Desk(home, dt.date(2027, 2, 20), database=address, coach=name)
    chance = random.Random(name)
    told: dict[str, Any] = {"saved": [], "kept": [], "films": [], "again": 0, "refused": []}
    times: list[float] = []
    counted: collections.Counter[str] = collections.Counter()
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        counted["tries"] += 1
        began = time.perf_counter()
        try:
            if chance.random() < 0.5:
                _change_a_plan(desk, chance, f"{name}-{counted['tries']}", told)
            else:
                _add_film(desk, chance, f"{name}-{counted['tries']}", told)
        except Refusal as refusal:
            told["refused"].append(str(refusal))
        times.append(time.perf_counter() - began)
    desk.close()
    return {**told, "tries": counted["tries"], "slowest": max(times), "times": times}


def _change_a_plan(desk: Desk, chance: random.Random, mark: str, told: dict[str, Any]) -> None:
    """Look at a plan, think for a moment, and save a change of what was seen."""
    day = chance.choice(DAYS)
    plan = a_plan(day, warnings=(mark,))
    with desk.reading() as session:
        info = queries.find_practice(session, day, plan.start)
        seen = queries.plan_of(session, info.id) if info else None
    for _ in range(chance.randrange(4)):
        desk.has_team()
    try:
        store_plan(desk, plan, Wishes(day), seen=version_of(info))
        told["saved"].append([mark, seen.warnings[0] if seen else "", day.isoformat()])
    except Overtaken as overtaken:
        told["kept"].append([mark, overtaken.kept, str(overtaken)])


def _add_film(desk: Desk, chance: random.Random, mark: str, told: dict[str, Any]) -> None:
    """Add a note of one's own, or one that all the others try to add too."""
    shared = chance.random() < 0.3
    name = f"shared-{chance.randrange(SHARED_NOTES)}" if shared else mark
    raw = f"no tag 4, of {name}".encode()
    day = dt.date(2027, 1, 1 + len(name) % 28)
    intake = an_intake(raw, file=f"{name}.txt", heading=Heading(day.isoformat(), name, "home"))
    reading = Reading(Path(f"{name}.txt"), raw, intake)

    def add(session: Any) -> bool:
        made: list[int] = []
        added = _add(session, reading, None, made, desk)
        if added.number is not None:
            desk.note(session, "film", f"film {name}", {"intakes": [added.number], "games": made})
        return added.number is not None

    if desk.work(add):
        told["films"].append(name)
    else:
        told["again"] += 1


def main(address: str, home: str, seconds: str, *names: str) -> None:
    """Let the coaches named work at once."""
    found: list[dict[str, Any]] = []
    Desk(Path(home), dt.date(2027, 2, 20), database=address).has_team()
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    sys.stdin.readline()
    threads = [
        threading.Thread(target=lambda who=name: found.append(work(address, Path(home), who, float(seconds))))
        for name in names
    ]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main(*sys.argv[1:])
