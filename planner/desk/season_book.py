"""What the season's questions are asked of: one look into the store for a period."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from planner.desk.desk import Desk
from planner.desk.scheme import scheme_on
from planner.drills.vocabulary import Stage
from planner.need.estimate import WatchedGame
from planner.problem import Refusal
from planner.season.minutes import BESIDES, practice_seconds
from planner.season.record import DonePractice
from planner.store import queries
from planner.store.values import EmphasisInfo, ProgressInfo

TARGETS, LIMITS, REGION = "season-targets", "season-limits", "heat-region"
"""Settings of the season that are no plain numbers: a table, a table, a word."""


@dataclass(frozen=True, slots=True)
class Book:
    """A period (both days included) and what is known of it.

    ``accounts`` are (date, seconds per principle and remainder), one a practice done. ``games`` are the
    team's own with film in the period, as counts. ``passed`` holds as of ``until``, ``emphases`` and
    ``progress`` are the whole history. ``off``: breakdowns that count for nothing.
    """

    since: dt.date
    until: dt.date
    done: tuple[DonePractice, ...]
    accounts: tuple[tuple[dt.date, Mapping[str, int]], ...]
    games: tuple[WatchedGame, ...]
    passed: Mapping[str, Stage]
    emphases: tuple[EmphasisInfo, ...]
    progress: tuple[ProgressInfo, ...]
    settings: Mapping[str, Any]
    off: frozenset[str]

    @property
    def minutes(self) -> list[tuple[dt.date, dict[str, float]]]:
        """Return (date, minutes per principle), one a practice done."""
        return [
            (date, {one: spent / 60 for one, spent in seconds.items() if one not in BESIDES})
            for date, seconds in self.accounts
        ]


def period(desk: Desk, since: dt.date | None = None, until: dt.date | None = None) -> tuple[dt.date, dt.date]:
    """Return a period's first and last day; by default from the season's start to today.

    Raises:
        Refusal: it ends before it starts.

    """
    with desk.reading() as session:
        team = queries.team(session)
    start = since or (team.season_start if team else None) or dt.date.min
    end = until or desk.today
    if start > end:
        raise Refusal(f"The period would end on {end.isoformat()} before it starts on {start.isoformat()}.")
    return start, end


def open_book(desk: Desk, since: dt.date | None = None, until: dt.date | None = None) -> Book:
    """Return the book of a period (by default the season up to today).

    Raises:
        Refusal: it ends before it starts.

    """
    start, end = period(desk, since, until)
    with desk.reading() as session:
        scheme = scheme_on(desk, session, end)
        done = queries.done_practices(session, start, end)
        return Book(
            since=start,
            until=end,
            done=done,
            accounts=tuple((one.date, practice_seconds(one)) for one in done),
            games=queries.counted_games(session, end, since=start),
            passed=queries.progress_on(session, end),
            emphases=queries.emphases(session),
            progress=queries.progress(session),
            settings=queries.settings(session),
            off=queries.switched_off(session) | frozenset(scheme.off),
        )
