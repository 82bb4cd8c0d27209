"""How the terminal app is begun from the command line."""

from __future__ import annotations

import gc
import sys
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from tests.running import Stopsheet, assert_refused

Opened = list[tuple[Path, bool, bool]]


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> Opened:
    """Return where the app was opened and how (light, mouse), without opening it."""
    found: Opened = []

    def open_app(desk: Desk, *, light: bool = False, mouse: bool = True) -> None:
        found.append((desk.home, light, mouse))

    monkeypatch.setattr("planner.screens.app.open_app", open_app)
    return found


def test_alone_on_a_terminal_it_opens_the_app(
    stopsheet: Stopsheet, opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a terminal 'stopsheet' is the app, without one it says where things stand."""
    assert "There is no team here yet" in stopsheet().out
    assert opened == []
    monkeypatch.setattr("planner.cli.standing.on_terminal", lambda: True)
    assert stopsheet().out == ""
    assert opened == [(stopsheet.home, False, True)]
    assert gc.isenabled(), "what the app put off is put off for good"


def test_the_app_takes_its_looks_from_the_command(stopsheet: Stopsheet, opened: Opened) -> None:
    """``--light`` and ``--no-mouse`` reach the app."""
    stopsheet("app")
    stopsheet("app", "--light", "--no-mouse")
    assert opened == [(stopsheet.home, False, True), (stopsheet.home, True, False)]


def test_without_a_terminal_the_app_is_refused_before_anything_is_made(stopsheet: Stopsheet) -> None:
    """``app`` and ``demo --open`` refuse in one sentence, and no folder has appeared."""
    assert_refused(stopsheet("app"), "needs a terminal")
    assert_refused(stopsheet("demo", "--open"), "needs a terminal")
    assert not stopsheet.home.exists()
    assert not (stopsheet.home.parent / f"{stopsheet.home.name}-demo").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
def test_on_a_real_terminal_the_app_comes_up_and_is_left(season_home: Path) -> None:
    """In a pseudo-terminal of 80 by 24 the six places appear, and q leaves without a word on stderr."""
    pexpect = pytest.importorskip("pexpect")
    import os

    environ = {**os.environ, "STOPSHEET_HOME": str(season_home), "TERM": "xterm-256color"}
    child = pexpect.spawn(sys.executable, ["-m", "planner"], env=environ, dimensions=(24, 80), timeout=60)
    child.expect_exact("1 Tomorrow")
    child.expect_exact("F1 help")
    child.send("q")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    assert b"Traceback" not in child.before
