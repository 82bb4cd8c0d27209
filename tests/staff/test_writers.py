"""Many coaches write at once, each a program of its own, and nothing is lost, doubled or refused for it."""

from __future__ import annotations

import datetime as dt
import json
import os
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

from planner.desk.desk import Desk
from planner.desk.team import set_up
from planner.store import queries
from planner.store.values import TeamInfo
from tests.staff.writers import DAYS, SHARED_NOTES

SECONDS = float(os.environ.get("STOPSHEET_STAFF_SECONDS", "6"))
COACHES = int(os.environ.get("STOPSHEET_STAFF_COACHES", "20"))
TODAY = dt.date(2027, 1, 20)


def _work(address: str, home: Path, coaches: int, seconds: float, programs: int) -> list[dict[str, Any]]:
    """Let so many coaches work at once, spread over so many programs, and return what each was told."""
    names = [f"c{number}" for number in range(coaches)]
    running = [
        subprocess.Popen(
            [
                sys.executable,
                "-m",
                "tests.staff.writers",
                address,
                str(home),
                str(seconds),
                *names[k::programs],
            ],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for k in range(programs)
    ]
    for one in running:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    told = []
    for one in running:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    for one in running:
        out, _ = one.communicate(timeout=seconds + 60)
        assert one.returncode == 0
        told += json.loads(out)
    assert len(told) == coaches
    return told


def _assert_kept(desk: Desk, told: list[dict[str, Any]]) -> None:
    """Assert the promises: every save is accounted for, every stale one was told, every note is in once."""
    saved = [one for each in told for one in each["saved"]]
    kept = [one for each in told for one in each["kept"]]
    for day in DAYS:
        chain = {before: mark for mark, before, date in saved if date == day.isoformat()}
        of_day = [one for one in saved if one[2] == day.isoformat()]
        # Whoever saved had seen the version before: the saves of a day form one chain without a fork.
        assert len(chain) == len(of_day)
        mark, steps = "", 0
        while mark in chain:
            mark, steps = chain[mark], steps + 1
        assert steps == len(of_day)
        with desk.reading() as session:
            plan = queries.plan_on(session, day)
            assert (plan.warnings[0] if plan else "") == mark
    with desk.reading() as session:
        # Twenty a practice stay at most; the newest of them are all there, word for word.
        stand_by = {one.id: one.plan.warnings[0] for day in DAYS for one in queries.kept_plans(session, day)}
        assert stand_by == {number: mark for mark, number, _ in kept if number in stand_by}
        assert len(stand_by) == min(len(stand_by), 20 * len(DAYS))
        files = [one.file.removesuffix(".txt") for one in queries.intakes(session)]
        games = [one.opponent for one in queries.games(session)]
        journal = queries.journal(session, 10**6)
    films = [name for each in told for name in each["films"]]
    assert Counter(files) == Counter(films)
    assert max(Counter(files).values()) == 1
    assert max(Counter(games).values()) == 1
    assert sum(name.startswith("shared-") for name in files) <= SHARED_NOTES
    assert Counter(one.verb for one in journal)["film"] == len(films)
    assert Counter(one.verb for one in journal)["plan"] == len(saved)
    for _, _, sentence in kept:
        assert "was changed by c" in sentence
        assert "yours is kept as version" in sentence
    assert [one for each in told for one in each["refused"]] == []
    assert saved
    assert films


def _tell(what: str, told: list[dict[str, Any]], took: float) -> None:
    times = sorted(one for each in told for one in each["times"])
    print(  # noqa: T201  shown with -s: the load that was held
        f"{what}: {len(told)} coaches, {took:.1f} s, {len(times)} pieces of work,"
        f" {sum(len(each['saved']) for each in told)} plans saved,"
        f" {sum(len(each['kept']) for each in told)} told of another's change,"
        f" {sum(len(each['films']) for each in told)} notes added,"
        f" half within {times[len(times) // 2] * 1000:.0f} ms, slowest {times[-1] * 1000:.0f} ms"
    )


def _team(address: str | None, home: Path) -> Desk:
    desk = Desk(home, TODAY, database=address)
    set_up(desk, TeamInfo("Marrowby Otters"))
    return desk


def test_twenty_coaches_write_to_one_server(database: str, tmp_path: Path) -> None:
    """Twenty programs add film and change the same plans on a server; no work is lost, doubled or refused."""
    desk = _team(database, tmp_path / "home")
    began = time.monotonic()
    told = _work(database, desk.home, COACHES, SECONDS, min(COACHES, 5))
    _tell("server", told, time.monotonic() - began)
    assert sum(len(each["kept"]) for each in told) > 0
    _assert_kept(desk, told)
    desk.close()


def test_two_programs_write_to_one_file(tmp_path: Path) -> None:
    """Two programs, two coaches in each, keep the same promises at one file: the second waits its turn."""
    desk = _team(None, tmp_path / "home")
    address = f"sqlite:///{tmp_path / 'home' / 'stopsheet.db'}"
    began = time.monotonic()
    told = _work(address, desk.home, 4, min(SECONDS, 4), 2)
    _tell("file", told, time.monotonic() - began)
    _assert_kept(desk, told)
    desk.close()
