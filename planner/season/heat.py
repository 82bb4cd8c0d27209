"""Heat: what a region's table asks for at a wet bulb globe temperature. Tables are data with their edition.

Nothing here decides: the table of one's own region, as it is today, and the licensed professional on the
spot do.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.drills.fields import parse_toml
from planner.problem import Problem, Refusal
from planner.text import clean_line

FILE = "heat.toml"
LOWEST, HIGHEST = 40.0, 130.0
"""Degrees Fahrenheit that a gym can have."""

CAUTIONS = (
    "Measure WBGT on the spot and all the while; a weather report's temperature is not it.",
    "Your region's rules of today and the licensed professional there come first.",
    "On any sign of heat illness stop, cool first, call for help.",
)
_SAID = re.compile(r"(\d{1,3}(?:[.,]\d{1,2})?)\s*°?\s*([fc]?)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Band:
    """One band: it ends below ``under`` or with ``to``; the last has neither. Rest in minutes an hour."""

    says: str
    low: float | None = None
    under: float | None = None
    to: float | None = None
    breaks: int | None = None
    minutes: int | None = None
    rest: int | None = None
    longest: int | None = None
    stop: bool = False

    def holds(self, value: float) -> bool:
        """Return whether the band ends above the value."""
        if self.under is not None:
            return value < self.under
        return self.to is None or value <= self.to

    @property
    def range(self) -> str:
        """Return the band as printed."""
        if self.under is not None:
            return f"under {self.under:.1f}"
        return f"{self.low:.1f} and more" if self.to is None else f"{self.low:.1f} to {self.to:.1f}"

    def as_json(self) -> dict[str, Any]:
        """Return the band as plain values."""
        return {
            "band": self.range,
            "says": self.says,
            "breaks_per_hour": self.breaks,
            "minutes_each": self.minutes,
            "rest_minutes_per_hour": self.rest,
            "longest_minutes": self.longest,
            "stop": self.stop,
        }


@dataclass(frozen=True, slots=True)
class HeatTable:
    """A region's bands, coolest first, with unit, source and edition."""

    id: str
    title: str
    region: str
    unit: str
    source: str
    year: str
    bands: tuple[Band, ...]

    def band(self, fahrenheit: float) -> Band:
        """Return the band of a reading; one printed for no band takes the next, stricter one."""
        value = fahrenheit if self.unit == "F" else (fahrenheit - 32) * 5 / 9
        return next(one for one in self.bands if one.holds(value))

    def as_json(self, fahrenheit: float) -> dict[str, Any]:
        """Return what the table asks for at a reading, as plain values."""
        return {
            "table": self.id,
            "title": self.title,
            "region": self.region,
            "unit": self.unit,
            "source": self.source,
            "year": self.year,
            **self.band(fahrenheit).as_json(),
        }


def read_tables(text: str) -> tuple[tuple[HeatTable, ...], list[Problem]]:
    """Read ``heat.toml`` (its text): the tables in its order, and what is wrong in it."""
    table, problems = parse_toml(FILE, text)
    found = []
    for row in table.get("table", []):
        fault = _fault(row)
        if fault:
            problems.append(Problem(FILE, None, fault))
            continue
        said = {key: clean_line(row[key]) for key in ("id", "title", "region", "unit", "source", "year")}
        found.append(HeatTable(**said, bands=tuple(_band(one) for one in row["band"])))
    return tuple(found), problems


def _band(row: Mapping[str, Any]) -> Band:
    whole = {key: row.get(key) for key in ("breaks", "minutes", "rest", "longest")}
    return Band(
        clean_line(row["says"]),
        row.get("from"),
        row.get("under"),
        row.get("to"),
        stop=bool(row.get("stop", False)),
        **whole,
    )


def _fault(row: Mapping[str, Any]) -> str:
    name = row.get("id", "?")
    for key in ("id", "title", "region", "unit", "source", "year"):
        if not isinstance(row.get(key), str) or not row[key].strip():
            return f"table '{name}' lacks '{key}'"
    bands = row.get("band", [])
    if row["unit"] not in {"F", "C"} or not bands:
        return f"table '{name}' needs a unit F or C and bands"
    ends = [one.get("under", one.get("to")) for one in bands]
    if ends[-1] is not None or any(end is None for end in ends[:-1]):
        return f"table '{name}': every band but the last needs 'under' or 'to', the last neither"
    if ends[:-1] != sorted(ends[:-1]) or any(not one.get("says") for one in bands):
        return f"table '{name}': bands must rise, and say something"
    return ""


def parse_reading(text: str) -> float:
    """Return degrees Fahrenheit for ``88.1``, ``88.1F`` or ``31.2C``; a bare number below 45 is Celsius.

    Raises:
        Refusal: it is no temperature, or none that a gym can have.

    """
    said = clean_line(text, 20)
    found = _SAID.fullmatch(said)
    if not found:
        raise Refusal(f"'{said}' is no temperature; write the WBGT as 88.1, 88.1F or 31.2C.")
    value = float(found[1].replace(",", "."))
    celsius = found[2].lower() == "c" or (not found[2] and value < 45)
    fahrenheit = round(value * 9 / 5 + 32, 4) if celsius else value
    if not LOWEST <= fahrenheit <= HIGHEST:
        raise Refusal(f"A WBGT of '{said}' is out of range; write it as 88.1F or 31.2C.")
    return fahrenheit


def water_rule(band: Band) -> tuple[int, int] | None:
    """Return longest stretch and length of a break in minutes that keep a band's breaks, if it has any."""
    if band.stop or not band.breaks or not band.minutes:
        return None
    return (60 - band.breaks * band.minutes) // band.breaks, band.minutes


def find_table(tables: Sequence[HeatTable], name: str) -> HeatTable:
    """Return the table of that id.

    Raises:
        Refusal: there is none.

    """
    for one in tables:
        if one.id == name:
            return one
    known = ", ".join(one.id for one in tables)
    raise Refusal(f"'{clean_line(name, 40)}' is no heat table; they are: {known}.")
