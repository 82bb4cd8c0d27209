"""How fast, against what: ``python -m tests.bench``. A table of ratios of one run; it judges nothing."""

from __future__ import annotations

import datetime as dt
import importlib.util
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.measure import ROOT, growths, table
from tests.bench.rooms import film_line, growth, paper_line, review_line
from tests.bench.starts import starts


def main() -> int:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        today = dt.datetime.now(dt.UTC).astimezone().date()
        lines = starts(folder, today)
        lines += [film_line(folder), review_line(), paper_line(folder / "demo", today)]
    sys.stdout.write(table(lines) + "\n\n" + growths(growth()) + "\n")
    sys.stdout.flush()
    if importlib.util.find_spec("tests.bench.plan"):
        subprocess.run([sys.executable, "-m", "tests.bench.plan"], cwd=ROOT, check=False)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
