"""Where the shipped data lies: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).resolve().parent


def _shipped(name: str) -> Path:
    packed = _HERE / "_data" / name
    return packed if packed.is_dir() else _HERE.parent / name


def drill_library() -> Path:
    """Return the folder of the drill library."""
    return _shipped("drill_library")


def seeds() -> Path:
    """Return the folder of the invented demo season."""
    return _shipped("seeds")
