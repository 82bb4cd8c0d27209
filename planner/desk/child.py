"""Running a command of ours in a process of its own, so that a long print never holds up the screen."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence

from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.text import clean_block, clean_line

LONGEST = 120
"""Seconds that a command may take."""


def run_command(desk: Desk, *argv: str, command: Sequence[str] = (sys.executable, "-m", "planner")) -> str:
    """Run ``stopsheet`` with these arguments at the same desk and return what it said.

    Raises:
        Refusal: the command refused, did not start, or took too long.

    """
    environ = {**os.environ, "STOPSHEET_HOME": str(desk.home), "PYTHONIOENCODING": "utf-8"}
    environ.pop("STOPSHEET_TEAM", None)
    if desk.database:
        environ["STOPSHEET_DB"] = desk.database
    else:
        environ.pop("STOPSHEET_DB", None)
    try:
        done = subprocess.run(  # noqa: S603  our own program with arguments of ours
            [*command, *argv],
            capture_output=True,
            check=False,
            env=environ,
            stdin=subprocess.DEVNULL,
            timeout=LONGEST,
        )
    except OSError as fault:
        raise Refusal(f"The command did not start ({fault.strerror or 'no reason given'}).") from None
    except subprocess.TimeoutExpired:
        raise Refusal(f"'{argv[0]}' took more than {LONGEST} seconds and was stopped.") from None
    said = done.stdout.decode("utf-8", "replace")
    if done.returncode == 0:
        return clean_block(said, 8_000)
    refused = done.stderr.decode("utf-8", "replace").strip().removeprefix("stopsheet: ")
    raise Refusal(clean_line(refused, 400) or f"'{argv[0]}' ended with code {done.returncode}.")
