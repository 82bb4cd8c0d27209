"""What is typed by number: ``3=9`` (minutes, or ``9:30``) and ``4=7/10`` (stops of tries)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from planner.problem import Refusal
from planner.text import clean_line

Value = TypeVar("Value")


def minutes_by_number(raw: Sequence[str]) -> dict[int, float]:
    """Return number -> minutes.

    Raises:
        Refusal: one cannot be read.

    """
    return _by_number(raw, _minutes, "3=9")


def stops_by_number(raw: Sequence[str]) -> dict[int, tuple[int, int]]:
    """Return number -> (stops, tries).

    Raises:
        Refusal: one cannot be read.

    """
    return _by_number(raw, _stops, "4=7/10")


def _by_number(raw: Sequence[str], read: Callable[[str], Value], example: str) -> dict[int, Value]:
    found: dict[int, Value] = {}
    for text in raw:
        number, _, value = text.partition("=")
        try:
            found[int(number)] = read(value)
        except ValueError:
            raise Refusal(f"'{clean_line(text, 30)}' cannot be read; write it as {example}.") from None
    return found


def _minutes(text: str) -> float:
    if ":" in text:
        minutes, seconds = text.split(":")
        return int(minutes) + int(seconds) / 60
    return float(text)


def _stops(text: str) -> tuple[int, int]:
    stops, tries = text.split("/")
    return int(stops), int(tries)
