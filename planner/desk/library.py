"""Reading the shipped drill library and the team's own drills from their folders."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from planner import data
from planner.drills.library import Library, read_drills, read_vocabulary
from planner.problem import Problem

MAX_BYTES = 400_000


def load_library(own: Path | None = None) -> Library:
    """Return vocabulary and drills; a team's own drill replaces the shipped one of the same id."""
    root = data.drill_library()
    vocabulary, problems = read_vocabulary(
        (root / "principles.toml").read_text("utf-8"), (root / "breakdowns.toml").read_text("utf-8")
    )
    texts, faults = _texts((root / "drills").glob("*.toml"))
    shipped, more = read_drills(texts, vocabulary)
    problems += faults + more
    drills = {one.id: one for one in shipped}
    if own is not None and own.is_dir():
        texts, faults = _texts(own.glob("*.toml"))
        mine, more = read_drills(texts, vocabulary)
        problems += faults + more
        drills |= {one.id: one for one in mine}
    return Library(vocabulary, tuple(drills[one] for one in sorted(drills)), tuple(problems))


def _texts(paths: Iterable[Path]) -> tuple[list[tuple[str, str]], list[Problem]]:
    """Return (name, text) per readable file and a problem per other."""
    texts: list[tuple[str, str]] = []
    problems: list[Problem] = []
    for path in sorted(paths):
        try:
            if path.stat().st_size > MAX_BYTES:
                problems.append(Problem(path.name, None, f"larger than {MAX_BYTES} bytes; not read"))
                continue
            texts.append((path.name, path.read_text("utf-8")))
        except (OSError, UnicodeDecodeError) as fault:
            problems.append(Problem(path.name, None, f"cannot be read: {_reason(fault)}"))
    return texts, problems


def _reason(fault: OSError | UnicodeDecodeError) -> str:
    return fault.strerror or "unreadable" if isinstance(fault, OSError) else "not UTF-8 text"
