"""Build the wheel, install it alone in an empty environment, run the main job there."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def run(*command: str, **environment: str) -> str:
    """Run a command and return what it printed; stop with its output where it fails."""
    done = subprocess.run(  # noqa: S603  our own commands
        command, capture_output=True, text=True, env={**os.environ, **environment}, check=False, cwd="/"
    )
    if done.returncode:
        sys.exit(f"{' '.join(command)} failed with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def main() -> None:
    """Build, install, start."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        run(sys.executable, "-m", "build", "--wheel", "--outdir", folder, str(ROOT))
        wheel = next(place.glob("*.whl"))
        venv.create(place / "env", with_pip=True)
        python = str(place / "env" / ("Scripts" if os.name == "nt" else "bin") / "python")
        run(python, "-m", "pip", "install", "--quiet", str(wheel))
        home = str(place / "home")
        shown = run(python, "-m", "planner", "--version", STOPSHEET_HOME=home)
        shown += run(python, "-m", "planner", "demo", STOPSHEET_HOME=home)
        plan = run(python, "-m", "planner", "plan", "--json", STOPSHEET_HOME=f"{home}-demo")
        if '"proven": true' not in plan:
            sys.exit(f"The installed program's plan is not proven:\n{plan[:500]}")
        printed = list(Path(f"{home}-demo").glob("prints/*.pdf"))
        if not printed or not printed[0].read_bytes().startswith(b"%PDF-"):
            sys.exit("The installed program printed no PDF.")
        sys.stdout.write(f"{wheel.name}: installed, demo planned and printed.\n{shown[:60]}\n")


if __name__ == "__main__":
    main()
