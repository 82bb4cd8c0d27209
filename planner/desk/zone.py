"""The team's time zone: what was set, else this machine's."""

from __future__ import annotations

import os
import zoneinfo
from collections.abc import Mapping
from pathlib import Path

from planner.problem import Refusal
from planner.text import clean_line

SETTING = "timezone"
_LOCAL = Path("/etc/localtime")


def team_zone(settings: Mapping[str, object], environ: Mapping[str, str] | None = None) -> str:
    """Return the zone the team set, else the machine's, else UTC; always one that is known here."""
    chosen = settings.get(SETTING)
    if isinstance(chosen, str) and is_zone(chosen):
        return chosen
    return machine_zone(os.environ if environ is None else environ)


def machine_zone(environ: Mapping[str, str], local: Path = _LOCAL) -> str:
    """Return the machine's zone: ``TZ``, else where the link of the local time leads, else UTC."""
    said = environ.get("TZ", "").removeprefix(":")
    if said:
        return said if is_zone(said) else "UTC"
    try:
        where = local.resolve(strict=True).parts
    except (OSError, RuntimeError):
        return "UTC"
    if "zoneinfo" not in where:
        return "UTC"
    name = "/".join(where[len(where) - where[::-1].index("zoneinfo") :])
    return name if is_zone(name) else "UTC"


def is_zone(name: str) -> bool:
    """Return whether an IANA zone of exactly this name is known here."""
    try:
        zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def find_zone(raw: str) -> str:
    """Return the zone a coach names, whatever its capitals and blanks.

    Raises:
        Refusal: there is none of that name; the nearest are named.

    """
    said = clean_line(raw, 60)
    known = {one.casefold(): one for one in zoneinfo.available_timezones()}
    key = said.casefold().replace(" ", "_")
    if key in known:
        return known[key]
    from difflib import get_close_matches

    near = [one for low, one in sorted(known.items()) if low.endswith(f"/{key}")]
    near = near or [known[one] for one in get_close_matches(key, list(known), 3, 0.6)]
    hint = f"did you mean {' or '.join(near[:3])}?" if near else "write it as America/Chicago or Europe/Oslo."
    raise Refusal(f"'{said}' is no time zone; {hint}")
