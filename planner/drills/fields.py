"""Reading one TOML table field by field: each fault becomes a problem with its line, the rest stays good."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from planner.problem import Problem
from planner.text import clean_block, clean_line

MAX_FILE = 200_000
"""Characters of one library file; a larger one is refused unread."""


def parse_toml(name: str, text: str) -> tuple[dict[str, Any], list[Problem]]:
    """Return the parsed table and, where the file is no TOML, one problem with its line."""
    if len(text) > MAX_FILE:
        return {}, [Problem(name, None, f"larger than {MAX_FILE} characters; not read")]
    try:
        return tomllib.loads(text), []
    except tomllib.TOMLDecodeError as fault:
        found = re.search(r"line (\d+)", str(fault))
        what = re.sub(r"\s*\(at .*\)$", "", str(fault))
        return {}, [Problem(name, int(found[1]) if found else None, f"not valid TOML: {what}")]
    except RecursionError:
        return {}, [Problem(name, None, "not read: brackets within brackets without end")]
    except ValueError:
        return {}, [Problem(name, None, "not valid TOML: a number with too many digits")]


@dataclass(slots=True)
class Fields:
    """A table being read; ``problems`` grows with each fault.

    ``within`` names the table that holds this one, where it is written on the line of that name.
    """

    file: str
    source: str
    table: Mapping[str, Any]
    problems: list[Problem] = field(default_factory=list)
    within: str = ""

    def fault(self, key: str, what: str) -> None:
        """Note a fault at the line where ``key`` stands."""
        self.problems.append(Problem(self.file, self._line(key), what))

    def _line(self, key: str) -> int | None:
        lines = list(enumerate(self.source.splitlines(), 1))
        inline = re.compile(rf"[{{,]\s*{re.escape(key)}\s*=")
        if self.within:
            outside = re.compile(rf"\s*(\[+)?{re.escape(self.within)}\b")
            starts = [number for number, line in lines if outside.match(line)]
            after = [
                number for number, line in lines if inline.search(line) and starts and number >= starts[0]
            ]
            return next(iter([*after, *starts]), None)
        pattern = re.compile(rf"\s*(\[+)?{re.escape(key)}\b")
        found = [number for number, line in lines if pattern.match(line)]
        found += [number for number, line in lines if inline.search(line)]
        return next(iter(found), None)

    def only(self, allowed: Iterable[str]) -> None:
        """Note every key that is not ``allowed``: a misspelt field must not vanish silently."""
        for key in self.table:
            if key not in allowed:
                self.fault(key, f"unknown field '{clean_line(key, 40)}'")

    def text(self, key: str, required: bool = True) -> str:
        """Return a cleaned text, possibly of several lines."""
        value = self.table.get(key, "")
        if not isinstance(value, str):
            self.fault(key, f"'{key}' must be text")
            return ""
        cleaned = clean_block(value)
        if required and not cleaned:
            self.fault(key, f"'{key}' is missing")
        return cleaned

    def line(self, key: str, required: bool = True) -> str:
        """Return a cleaned one-line text."""
        return clean_line(self.text(key, required), 300)

    def whole(self, key: str, low: int, high: int) -> int:
        """Return a whole number within bounds; ``low`` where it is missing or wrong."""
        value = self.table.get(key)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            self.fault(key, f"'{key}' must be a whole number from {low} to {high}")
            return low
        return value

    def number(self, key: str, low: float, high: float) -> float:
        """Return a number within bounds; ``low`` where it is missing or wrong."""
        value = self.table.get(key)
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            self.fault(key, f"'{key}' must be a number from {low} to {high}")
            return low
        return float(value)

    def lines(self, key: str, required: bool = True) -> tuple[str, ...]:
        """Return a list of cleaned one-line texts."""
        value = self.table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.fault(key, f"'{key}' must be a list of texts")
            return ()
        cleaned = tuple(one for one in (clean_line(raw, 300) for raw in value) if one)
        if required and not cleaned:
            self.fault(key, f"'{key}' is missing")
        return cleaned

    def sub(self, key: str) -> Mapping[str, Any]:
        """Return a table inside the table."""
        value = self.table.get(key, {})
        if not isinstance(value, dict):
            self.fault(key, f"'{key}' must be a table")
            return {}
        return value

    def tables(self, key: str) -> list[Mapping[str, Any]]:
        """Return a list of tables inside the table."""
        value = self.table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.fault(key, f"'{key}' must be a list of tables")
            return []
        return value

    def choice(self, key: str, allowed: tuple[str, ...], required: bool = True) -> str:
        """Return one of the allowed words, the first where it is wrong, "" where absent and optional."""
        if key not in self.table and not required:
            return ""
        value = self.table.get(key)
        if value not in allowed:
            self.fault(key, f"'{key}' must be one of {', '.join(allowed)}")
            return allowed[0]
        return str(value)
