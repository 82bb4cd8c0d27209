"""What the program loads before it has anything to do."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
HEAVY = {
    *("numpy", "scipy", "highspy", "sqlmodel", "sqlalchemy", "alembic", "typst", "textual", "rich"),
    *("rapidfuzz", "pydantic", "dateutil"),
}
ORM_AND_SOLVER = {"sqlmodel", "sqlalchemy", "alembic", "numpy", "scipy", "highspy", "typst", "textual"}


def loaded(home: Path, *argv: str) -> set[str]:
    """Return the top-level modules that a command has loaded when it ends, started as the shell does."""
    code = (
        "import runpy, sys\n"
        f"sys.argv = ['stopsheet', *{list(argv)!r}]\n"
        "try:\n"
        "    runpy.run_module('planner', run_name='__main__')\n"
        "except SystemExit as stop:\n"
        "    assert not stop.code, stop.code\n"
        "sys.stderr.write('LOADED ' + ' '.join({one.partition('.')[0] for one in sys.modules}))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        cwd=ROOT,
        env={**os.environ, "STOPSHEET_HOME": str(home)},
    )
    said, _, modules = ran.stderr.rpartition("LOADED ")
    assert said == ""
    assert ran.stdout
    return set(modules.split())


@pytest.mark.parametrize("argv", [("--help",), ("plan", "--help"), ("--version",)])
def test_help_loads_nothing_heavy(tmp_path: Path, argv: tuple[str, ...]) -> None:
    """--help and --version come before solver, database, typesetting and screens are loaded."""
    found = loaded(tmp_path, *argv)
    assert "planner" in found
    assert found.isdisjoint(HEAVY)


@pytest.mark.parametrize("argv", [("drills", "list"), ("drills", "list", "--json"), ()])
def test_looking_at_drills_loads_no_database_and_no_solver(tmp_path: Path, argv: tuple[str, ...]) -> None:
    """The drill list, and the greeting before there is a team, need neither ORM nor solver."""
    assert loaded(tmp_path, *argv).isdisjoint(ORM_AND_SOLVER)


def test_the_season_needs_no_solver(season_home: Path) -> None:
    """Reading from the database loads the ORM, but neither the solver nor the typesetter."""
    found = loaded(season_home, "team")
    assert "sqlalchemy" in found
    assert found.isdisjoint({"highspy", "typst", "textual"})
