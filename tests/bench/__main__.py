"""How fast, against what: ``python -m tests.bench``. A table of ratios of one run; it judges nothing."""

from __future__ import annotations

import datetime as dt
import importlib
import importlib.util
import sys
import tempfile
from pathlib import Path

from tests.bench.measure import growths, table
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
        run = getattr(importlib.import_module("tests.bench.plan"), "main", None)
        if run is not None:
            sys.stdout.write("\n")
            run([])
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
