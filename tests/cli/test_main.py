"""The command line as a program of its own: pipes, plain terminals, interruptions, faults of ours."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from planner import __version__
from planner.cli.team import weekday
from tests.running import Stopsheet, assert_refused

ROOT = Path(__file__).resolve().parents[2]


def run(*argv: str, home: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the program as the shell does."""
    return subprocess.run(
        [sys.executable, "-W", "error", "-m", "planner", *argv],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        cwd=ROOT,
        env={**os.environ, "STOPSHEET_HOME": str(home), **environment},
    )


def test_a_terminal_without_the_letters_gets_question_marks(season_home: Path) -> None:
    """Where the encoding lacks a letter the table is still shown, and nothing is called a fault."""
    assert run("team", "player", "77", "--name", "Zoë", home=season_home).returncode == 0
    for typed in (
        ("team",),
        ("needs",),
        ("season",),
        ("drills", "list"),
        ("drills", "show", "weak-side-crash"),
    ):
        ran = run(*typed, home=season_home, PYTHONIOENCODING="ascii")
        assert (ran.returncode, ran.stderr) == (0, ""), typed
        assert ran.stdout.isascii()
        assert typed != ("team",) or "Zo?" in ran.stdout


@pytest.mark.parametrize("typed", [("drills", "list"), ()])
def test_a_reader_that_stops_early_is_no_fault(no_home: Path, typed: tuple[str, ...]) -> None:
    """With the other end of the pipe closed the program ends quietly."""
    buffered = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
    read, write = os.pipe()
    os.close(read)
    try:
        ran = subprocess.run(
            [sys.executable, "-m", "planner", *typed],
            stdout=write,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            cwd=ROOT,
            env={**buffered, "STOPSHEET_HOME": str(no_home)},
        )
    finally:
        os.close(write)
    assert (ran.returncode, ran.stderr) == (0, "")


def test_no_colour_where_there_is_no_terminal(season_home: Path) -> None:
    """Into a file or a pipe goes plain text."""
    ran = run("season", home=season_home, FORCE_COLOR="", CLICOLOR_FORCE="")
    assert ran.returncode == 0
    assert "\x1b" not in ran.stdout


def test_the_version_is_told(no_home: Path) -> None:
    """--version says name and version."""
    assert run("--version", home=no_home).stdout == f"stopsheet {__version__}\n"


def test_a_fault_of_ours_is_owned_up_to(stopsheet: Stopsheet, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault that nobody foresaw is one sentence that blames the program, unless its maker asks for more."""

    def broken() -> None:
        raise ZeroDivisionError("half \x1b[31mway")

    monkeypatch.setattr("planner.cli.standing.open_desk", broken)
    ran = stopsheet()
    assert ran.code == 2
    assert ran.err.startswith("stopsheet: That is a fault of stopsheet (ZeroDivisionError), not yours")
    assert ran.err.count("\n") == 1
    monkeypatch.setenv("STOPSHEET_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        stopsheet()


def test_ctrl_c_stops_without_a_traceback(stopsheet: Stopsheet, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped by the coach, the program says that nothing was half changed; the code is the shell's 130."""

    def stopped() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("planner.cli.standing.open_desk", stopped)
    ran = stopsheet()
    assert ran.code == 130
    assert ran.err == "stopsheet: Stopped; nothing was changed by what was still running.\n"


def test_a_file_that_cannot_be_used_is_named(stopsheet: Stopsheet, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the system refuses becomes a sentence with the file and the reason, clean of escapes."""

    def shut() -> None:
        raise PermissionError(13, "Permission denied", "/srv/\x1b[31mshut")

    monkeypatch.setattr("planner.cli.standing.open_desk", shut)
    assert_refused(stopsheet(), "'/srv/shut' cannot be used (Permission denied); name another place.")


@pytest.mark.parametrize(
    ("text", "number"),
    [("mon", 0), ("Tuesday", 1), ("wednes", 2), ("SUN", 6), ("su", None), ("monkey", None), ("sunset", None)],
)
def test_weekdays_are_their_names_or_the_beginning_of_one(text: str, number: int | None) -> None:
    """Three letters or more of a day's own name, and no word that merely begins like one."""
    assert weekday(text) == number
