"""Errors: as values where input is plural, as one refusing sentence elsewhere."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """Something that could not be used, and where it stands."""

    file: str
    line: int | None
    what: str

    def __str__(self) -> str:
        """Return ``file:line: what``."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{place}: {self.what}" if place else self.what


class Refusal(Exception):
    """The program declines, in one sentence: what is wrong, where, and what to do (exit code 2)."""
