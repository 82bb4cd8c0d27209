"""Minutes already spent on a principle, fading with the days, and what further minutes are worth.

A planning weight, never a promise: half-life and curve are our choice, can be set, and are shown.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping

from planner.problem import Refusal

FADED = 40
"""Half-lives after which a minute no longer shows: 2 to the power -40 of it is left."""


def oldest_carried(as_of: dt.date, half_life_days: float) -> dt.date:
    """Return the first day whose minutes are still worth reading."""
    days = FADED * half_life_days
    return as_of - dt.timedelta(days=math.ceil(days)) if days < (as_of - dt.date.min).days else dt.date.min


def carry_over(
    done: Iterable[tuple[dt.date, Mapping[str, float]]], as_of: dt.date, half_life_days: float = 14.0
) -> dict[str, float]:
    """Return minutes per principle still carried, halved every ``half_life_days``; later days do not count.

    Raises:
        Refusal: the half-life is not above 0.

    """
    if not half_life_days > 0:
        raise Refusal(f"The half-life must be above 0 days, not {half_life_days}.")
    parts: dict[str, list[float]] = {}
    for date, minutes in done:
        ago = (as_of - date).days
        if ago < 0:
            continue
        for principle, spent in minutes.items():
            parts.setdefault(principle, []).append(spent * 2.0 ** (-ago / half_life_days))
    return {principle: math.fsum(parts[principle]) for principle in sorted(parts)}


def worth(need: float, r: float, tau: float, carried: float, minutes: float) -> float:
    """Return what ``minutes`` more are worth: need x r x (exp(-S/tau) - exp(-(S+m)/tau)), S carried over.

    In points per 100 possessions. It rises with the minutes and never exceeds need x r.

    Raises:
        Refusal: tau is not above 0, or minutes are below 0.

    """
    if not tau > 0:
        raise Refusal(f"The minutes in which most is won (tau) must be above 0, not {tau}.")
    if carried < 0 or minutes < 0:
        raise Refusal("Minutes cannot be below 0.")
    return need * r * math.exp(-carried / tau) * -math.expm1(-minutes / tau)
