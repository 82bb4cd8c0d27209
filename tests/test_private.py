"""Nothing leaves the machine: a whole evening tries to reach nobody."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest


def _alone() -> list[str]:
    """Return how to start a program in a network that leads nowhere; nothing where that cannot be."""
    found = shutil.which("unshare")
    for order in ([found or "", "-n"], [found or "", "-rn"]):
        if found and subprocess.run([*order, "true"], capture_output=True, check=False).returncode == 0:
            return order
    return []


def _evening(folder: Path, *words: str) -> dict[str, Any]:
    environ = {key: value for key, value in os.environ.items() if not key.startswith("STOPSHEET_")}
    order = [*_alone(), sys.executable, "-m", "tests.unconnected", str(folder), *words]
    done = subprocess.run(order, capture_output=True, text=True, env=environ, timeout=240, check=False)
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.fixture(scope="module")
def evening(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Return how an evening went, and what was printed."""
    folder = tmp_path_factory.mktemp("evening")
    found = _evening(folder, "--leak")
    return {**found, "files": sorted(one.name for one in folder.iterdir() if one.stat().st_size)}


def test_a_whole_evening_reaches_nobody(evening: dict[str, Any]) -> None:
    """Film, needs, plan, every print, log, season, copy: no socket, no look-up, no other program started.

    Where the system lets a test have a network of its own, the kernel's count of what could not be sent backs
    the interpreter's word, for compiled code too: the one try at the end, made on purpose, is all there is.
    """
    assert [one for one in evening["tries"] if "192.0.2.1" not in one and "socket.__new__" not in one] == []
    assert sum("socket.__new__" in one for one in evening["tries"]) == 1
    if _alone():
        assert evening["unrouted"] == 1


def test_the_evening_was_a_whole_one(evening: dict[str, Any]) -> None:
    """Every command of it ended well, and every kind of paper lies there."""
    assert {order: end for order, end in evening["ended"].items() if end != "0"} == {}
    wanted = {
        "plan.pdf",
        "plan.html",
        "plan.png",
        "plan.ics",
        "plan.txt",
        "plan.json",
        "season.pdf",
        "card.pdf",
    }
    assert set(evening["files"]) >= wanted


def test_a_try_would_be_seen(evening: dict[str, Any]) -> None:
    """The one connection tried on purpose is on the list."""
    assert any(one.startswith("socket.connect") and "192.0.2.1" in one for one in evening["tries"])
