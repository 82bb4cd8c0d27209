"""Files from outside, read no further than they are ever used."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from planner.problem import Refusal
from planner.text import clean_line


def bytes_of(path: Path, most: int, no_file: Callable[[], str]) -> bytes:
    """Return the bytes of a file, at most ``most`` and one more, so that a longer one is known to be so.

    ``no_file`` says how the sentence ends where there is no file of that name.

    Raises:
        Refusal: it is no file, or cannot be read.

    """
    shown = clean_line(str(path), 120)
    try:
        if not path.is_file():
            raise Refusal(f"'{shown}' is {no_file()}.")
        with path.open("rb") as file:
            return file.read(most + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "unreadable"
        raise Refusal(f"'{shown}' cannot be read: {reason}.") from None
