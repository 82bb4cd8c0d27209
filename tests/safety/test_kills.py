from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.safety import kills, verbs

ROOT = Path(__file__).resolve().parent.parent.parent

pytestmark = pytest.mark.skipif(os.name == "nt", reason="kills are told apart by POSIX signals")


@pytest.mark.slow
def test_a_kill_loses_nothing_that_was_acknowledged() -> None:
    """After a kill within any verb the data open, are sound, and hold everything that was told as written.

    A few kills; ``python -m tests.safety.kills --count 500`` is the long run.
    """
    command = [sys.executable, "-m", "tests.safety.kills", "--count", "15", "--seed", "7"]
    environ = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        command, cwd=ROOT, env=environ, capture_output=True, text=True, timeout=280, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert re.search(r"^all +15 +\d+ +15$", done.stdout, re.MULTILINE), done.stdout


def test_what_is_lost_would_be_seen(season_home: Path) -> None:
    """The judges see a lost key, a lost drill, a lost log, a wrong state after a restore and lost rows."""
    lost = {
        "live film": [0, 1, 2],
        "settings": [["minutes", 95], ["minutes", 60], ["player", "Player 60"], ["player", None]],
        "log": [None, 0, 1, 2],
        "floor": [1, 2, 3],
        "own drills": ["our-crash"],
        "restore": ["b", "a"],
        "plan": [70, 75, 80],
    }
    (season_home / "rows.sha").write_text("of other rows", "utf-8")
    for verb in verbs.VERBS:
        if verb.name in lost:
            assert verb.judge(season_home, lost[verb.name]), verb.name


def test_damage_would_be_seen(season_home: Path) -> None:
    """A copy cut short, a leftover and a minute lost from a plan are each found."""
    import sqlite3
    from contextlib import closing

    assert verbs.unsound(season_home) == []
    with closing(sqlite3.connect(season_home / "stopsheet.db")) as connection:
        connection.execute(
            "UPDATE segment SET seconds = seconds + 60 WHERE side = 'planned' AND position = 1"
        )
        connection.commit()
    assert "minutes" in verbs.unsound(season_home)[0]


def test_a_line_cut_short_is_not_counted() -> None:
    """Only a whole line is an acknowledgement."""
    assert kills.told_in(b'1\n"finished"\n["mi') == [1, "finished"]
