"""Build the wheel, install it alone in an empty environment, run the main job there.

``python tools/try_wheel.py [--pinned] [PYTHON ...]``: for each interpreter named (else this one), without
development packages; ``--pinned`` installs the very versions of ``tools/requirements/runtime.txt``, by hash.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PINS = ROOT / "tools" / "requirements" / "runtime.txt"


def run(*command: str, **environment: str) -> str:
    """Run a command and return what it printed; stop with its output where it fails."""
    done = subprocess.run(  # noqa: S603  our own commands
        command, capture_output=True, text=True, env={**os.environ, **environment}, check=False, cwd="/"
    )
    if done.returncode:
        sys.exit(f"{' '.join(command)} failed with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def try_on(interpreter: str, wheel: Path, place: Path, pinned: bool) -> str:
    """Install the wheel for one interpreter, plan and print with it, and return what it calls itself."""
    run(interpreter, "-m", "venv", str(place / "env"))
    python = str(place / "env" / ("Scripts" if os.name == "nt" else "bin") / "python")
    if pinned:
        run(python, "-m", "pip", "install", "--quiet", "--require-hashes", "-r", str(PINS))
    run(python, "-m", "pip", "install", "--quiet", *(["--no-deps"] if pinned else []), str(wheel))
    run(python, "-m", "pip", "check")
    home = str(place / "home")
    shown = run(python, "-m", "planner", "--version", STOPSHEET_HOME=home)
    run(python, "-m", "planner", "demo", STOPSHEET_HOME=home)
    plan = run(python, "-m", "planner", "plan", "--json", STOPSHEET_HOME=f"{home}-demo")
    if '"proven": true' not in plan:
        sys.exit(f"The installed program's plan is not proven:\n{plan[:500]}")
    printed = list(Path(f"{home}-demo").glob("prints/*.pdf"))
    if not printed or not printed[0].read_bytes().startswith(b"%PDF-"):
        sys.exit("The installed program printed no PDF.")
    return f"{shown.strip()} on {run(python, '--version').strip()}"


def main() -> None:
    """Build, install, start."""
    told = sys.argv[1:]
    pinned = "--pinned" in told
    interpreters = [one for one in told if one != "--pinned"] or [sys.executable]
    with tempfile.TemporaryDirectory() as folder:
        run(sys.executable, "-m", "build", "--wheel", "--outdir", folder, str(ROOT))
        wheel = next(Path(folder).glob("*.whl"))
        for number, interpreter in enumerate(interpreters):
            place = Path(folder) / str(number)
            place.mkdir()
            name = try_on(interpreter, wheel, place, pinned)
            sys.stdout.write(f"{wheel.name}: {name}: installed, demo planned and printed.\n")


if __name__ == "__main__":
    main()
