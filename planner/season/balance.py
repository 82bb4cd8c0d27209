"""Share of the minutes beside share of the need, week after week or month after month."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planner.drills.vocabulary import Vocabulary
from planner.need.estimate import WatchedGame
from planner.need.settings import NeedSettings
from planner.season.minutes import BESIDES, weeks
from planner.season.record import DonePractice


@dataclass(frozen=True, slots=True)
class Period:
    """One week or month: minutes per principle, their shares, and the shares of the need at its end."""

    label: str
    until: dt.date
    minutes: Mapping[str, float]
    needs: Mapping[str, float]

    @property
    def shares(self) -> dict[str, float]:
        """Return each principle's share of all principle minutes."""
        total = sum(self.minutes.values())
        return {one: spent / total for one, spent in self.minutes.items()} if total else {}

    def as_json(self) -> dict[str, Any]:
        """Return the period as plain values."""
        shares = self.shares
        return {
            "period": self.label,
            "until": self.until.isoformat(),
            "principles": [
                {
                    "principle": one,
                    "minutes": self.minutes.get(one, 0.0),
                    "minutes_share": shares.get(one, 0.0),
                    "need_share": need,
                }
                for one, need in self.needs.items()
            ],
        }


def need_shares(
    games: Sequence[WatchedGame], vocabulary: Vocabulary, as_of: dt.date, settings: NeedSettings
) -> dict[str, float]:
    """Return each principle's share of the need as of a day, in the order of the vocabulary.

    The estimates are those of ``assess``, without their intervals; the settings say which emphasis counts.
    """
    from planner.need.needs import look, principle_shares

    picture = look(games, vocabulary, as_of, settings)
    lost = (picture.rates.mean * picture.costs.reported) @ principle_shares(vocabulary, settings.off)
    needs = {
        one.id: float(points) * settings.emphasis.get(one.id, 1.0) * settings.exposure.get(one.id, 1.0)
        for one, points in zip(vocabulary.principles, lost, strict=True)
    }
    total = sum(needs.values())
    return {one: need / total if total else 0.0 for one, need in needs.items()}


def balance(
    practices: Iterable[DonePractice],
    label: Callable[[dt.date], str],
    end_of: Callable[[str], dt.date],
    needs_on: Callable[[dt.date], Mapping[str, float]],
) -> tuple[Period, ...]:
    """Return the periods that had practices, oldest first, each with the needs as of its last day."""
    found = []
    for one in weeks(practices, label):
        until = end_of(one.week)
        minutes = {key: value / 60 for key, value in one.seconds.items() if key not in BESIDES}
        found.append(Period(one.week, until, minutes, needs_on(until)))
    return tuple(found)


def end_of_week(label: str) -> dt.date:
    """Return the Sunday of an ISO week given as ``2026-W48``."""
    year, week = label.split("-W")
    return dt.date.fromisocalendar(int(year), int(week), 7)


def end_of_month(label: str) -> dt.date:
    """Return the last day of a month given as ``2026-11``."""
    year, month = (int(one) for one in label.split("-"))
    following = dt.date(year + month // 12, month % 12 + 1, 1)
    return following - dt.timedelta(days=1)
