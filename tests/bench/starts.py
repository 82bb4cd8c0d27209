"""How long it takes until something is seen: help, needs, first paint, plan, paper, and what they hold."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from planner.desk.demo import run_demo
from planner.desk.desk import Desk
from tests.bench.measure import Line, process

COUNTED = (
    *("numpy", "scipy.special", "highspy", "sqlalchemy", "sqlmodel", "alembic", "typst", "textual", "rich"),
    *("rapidfuzz", "pydantic", "dateutil"),
)
"""Libraries whose bare import a command is measured against, where it loads them."""
EMPTY_APP = """
import asyncio
from textual.app import App
async def main():
    async with App().run_test(size=(80, 24)) as pilot:
        await pilot.pause()
asyncio.run(main())
"""
OUR_APP = """
import asyncio, datetime as dt, sys
from pathlib import Path
from planner.desk.desk import Desk
from planner.screens.app import StopsheetApp
async def main():
    desk = Desk(Path(sys.argv[1]), dt.date.fromisoformat(sys.argv[2]))
    async with StopsheetApp(desk).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
asyncio.run(main())
"""


def demo_home(folder: Path, today: dt.date) -> Path:
    """Plant the demo season and return its data folder."""
    demo = run_demo(Desk(folder / "base", today), folder / "demo")
    demo.desk.close()
    return folder / "demo"


def loads(home: Path, *argv: str) -> list[str]:
    """Return which of the counted libraries a command has loaded when it ends."""
    import subprocess
    import sys

    code = (
        "import runpy, sys, os\n"
        f"sys.argv = ['stopsheet', *{list(argv)!r}]\n"
        "try:\n    runpy.run_module('planner', run_name='__main__')\n"
        "except SystemExit:\n    pass\n"
        f"sys.stderr.write('LOADED ' + ' '.join(one for one in {COUNTED!r} if one in sys.modules))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=_env(home)
    )
    return ran.stderr.rpartition("LOADED ")[2].split()


def _env(home: Path) -> dict[str, str]:
    import os

    return {**os.environ, "STOPSHEET_HOME": str(home), "NO_COLOR": "1"}


def starts(folder: Path, today: dt.date) -> list[Line]:
    """Return the rows of whole processes."""
    home = demo_home(folder, today)
    env = _env(home)
    bare = process(["-c", "pass"])
    lines = [Line("stopsheet --help", process(["-m", "planner", "--help"], env), "python -c pass", bare)]
    for argv, runs in ((("needs",), 5), (("season",), 5), (("plan", "--what-if"), 2), (("print", "plan"), 3)):
        shown = f"stopsheet {' '.join(argv)}"
        ours = process(["-m", "planner", *argv, *(("--overwrite",) if argv[0] == "print" else ())], env, runs)
        names = loads(home, *argv, *(("--overwrite",) if argv[0] == "print" else ()))
        code = "\n".join(f"import {name}" for name in names) or "pass"
        lines.append(Line(shown, ours, "its bare imports: " + _few(names), process(["-c", code], runs=runs)))
    app = process(["-c", OUR_APP, str(home), today.isoformat()], env, 3)
    lines.append(Line("first paint, demo season", app, "an empty app", process(["-c", EMPTY_APP], runs=3)))
    return lines


def _few(names: list[str]) -> str:
    short = [one.partition(".")[0] for one in names]
    return ", ".join(short[:2]) + (f" and {len(short) - 2} more" if len(short) > 2 else "")
