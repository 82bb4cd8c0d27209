"""Check and look at the diagrams of drill files: ``python -m planner.drills.diagram_preview FILE``."""

from __future__ import annotations

import argparse
import sys
import tomllib
from pathlib import Path

from planner.court.braille import draw
from planner.court.describe import describe
from planner.court.diagram import read_diagrams
from planner.court.frame import Frame
from planner.court.geometry import Court, read_court
from planner.court.sheet import CARD, THUMB
from planner.court.svg import frame_svg
from planner.data import drill_library
from planner.drills.diagram_rules import check
from planner.drills.library import read_drill, read_vocabulary
from planner.problem import Problem

RULES = ("school", "college", "international")


def main(arguments: list[str] | None = None) -> int:
    """Print the diagrams of drill files and what is wrong with them; 1 where something is."""
    parser = argparse.ArgumentParser(prog="python -m planner.drills.diagram_preview", description=__doc__)
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--court", choices=RULES, default="school", help="whose lines to draw")
    parser.add_argument("--svg", type=Path, metavar="FOLDER", help="also write SVG files there")
    parser.add_argument("--quiet", action="store_true", help="only what is wrong")
    given = parser.parse_args(arguments)
    problems: list[Problem] = []
    for path in given.files:
        frames, faults = _read(path, given.court)
        problems += faults
        problems += _checked(path)
        if not given.quiet:
            _show(path, frames)
        if given.svg:
            _write(path, frames, given.svg)
    for one in problems:
        sys.stdout.write(f"{one}\n")
    sys.stdout.write(f"{len(problems)} wrong\n" if problems else "nothing wrong\n")
    return 1 if problems else 0


def shipped_court(rules: str) -> Court:
    """Return one of the courts in the library.

    Raises:
        ValueError: the library's own file cannot be used.

    """
    path = drill_library() / "courts" / f"{rules}.toml"
    court, problems = read_court(path.name, path.read_text("utf-8"))
    if court is None:
        raise ValueError("; ".join(str(one) for one in problems))
    return court


def _read(path: Path, rules: str) -> tuple[tuple[Frame, ...], list[Problem]]:
    try:
        source = path.read_text("utf-8")
        table = tomllib.loads(source)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        return (), [Problem(str(path), None, f"cannot be read: {fault}")]
    if "diagram" not in table:
        return (), [Problem(str(path), None, "no [[diagram]] in this file")]
    return read_diagrams(str(path), table["diagram"], shipped_court(rules), source)


def _checked(path: Path) -> list[Problem]:
    """Check the diagrams against their drill on every court, since a spot may be off the smallest floor."""
    try:
        source = path.read_text("utf-8")
        table = tomllib.loads(source)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return []
    if "id" not in table:
        return []
    folder = drill_library()
    words, _ = read_vocabulary(
        (folder / "principles.toml").read_text("utf-8"), (folder / "breakdowns.toml").read_text("utf-8")
    )
    drill, _ = read_drill(str(path), source, words)
    found: list[Problem] = []
    for rules in RULES:
        frames, _ = read_diagrams(str(path), table.get("diagram", []), shipped_court(rules))
        found += check(drill, frames) if drill else []
    return list(dict.fromkeys(found))


def _show(path: Path, frames: tuple[Frame, ...]) -> None:
    for number, frame in enumerate(frames, 1):
        sys.stdout.write(f"{path.name} {number}/{len(frames)}: {frame.caption}\n")
        sys.stdout.write(f"{draw(frame, 60, 26)}\n{describe(frame)}\n\n")


def _write(path: Path, frames: tuple[Frame, ...], folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for number, frame in enumerate(frames, 1):
        for name, size in (("thumb", THUMB), ("card", CARD)):
            target = folder / f"{path.stem}-{number}-{name}.svg"
            target.write_text(frame_svg(frame, size), "utf-8")


if __name__ == "__main__":
    sys.exit(main())
