"""The season in counts: film as counts per game, plans as if run to the letter.

A season's review looks at every game and practice there is; it needs sums, never single possessions,
and asks for columns, not rows.
"""

from __future__ import annotations

import datetime as dt
import json
from collections import defaultdict
from typing import Any

from sqlalchemy import String
from sqlalchemy import cast as as_type
from sqlalchemy import select as columns
from sqlmodel import Session, col, func

from planner.need.estimate import WatchedGame
from planner.season.record import DonePractice, DoneSegment
from planner.store import models
from planner.store.queries.heard import part_heard, unheard
from planner.store.queries.rows import TEAM


def counted_games(
    session: Session,
    until: dt.date,
    *,
    since: dt.date | None = None,
    scouted: bool = False,
    team: int = TEAM,
) -> tuple[WatchedGame, ...]:
    """Return games with film as counts alone (no trips), oldest first; the exposures are ``watched_games``'s.

    The team's own games, or the ones only scouted. A reading of unknown exposure is left out.
    """
    game, intake = models.Game, models.Intake
    trips = (
        columns(func.count())
        .where(col(models.Possession.intake_id) == intake.id)
        .correlate(intake)
        .scalar_subquery()
    )
    wanted: list[Any] = [
        game.id,
        game.date,
        game.possessions,
        game.chances,
        intake.id,
        intake.possessions,
        trips,
    ]
    asked = (
        columns(*wanted)
        .join_from(intake, game)
        .where(col(game.team_id) == team, col(game.date) <= until, col(intake.undone).is_(False))
        .where(col(game.scouted).is_(scouted))
        .order_by(col(game.date), col(game.id), col(intake.id))
    )
    if since is not None:
        asked = asked.where(col(game.date) >= since)
    games: dict[int, tuple[dt.date, int | None, dict[str, int]]] = {}
    exposure: dict[int, int] = defaultdict(int)
    home: dict[int, int] = {}
    waiting = unheard(session)
    for number, date, told, chances, reading, covered, noted in session.execute(asked):
        over = part_heard(covered or noted, waiting.get(reading))
        silent = reading in waiting and waiting[reading][0] == waiting[reading][1]
        if (told or over) and not silent:
            games[number] = (date, told, chances)
            exposure[number] += over
            home[reading] = number
    counts = _counts(session, home)
    return tuple(
        WatchedGame(
            str(number), date, told or exposure[number], counts.get(number, {}), chances=dict(chances) or None
        )
        for number, (date, told, chances) in games.items()
        if told or exposure[number] > 0
    )


def _counts(session: Session, home: dict[int, int]) -> dict[int, dict[str, int]]:
    seen = models.Sighting
    wanted: list[Any] = [seen.intake_id, seen.breakdown, func.sum(seen.seen)]
    asked = columns(*wanted).group_by(col(seen.intake_id), col(seen.breakdown))
    found: dict[int, dict[str, int]] = defaultdict(dict)
    for reading, breakdown, count in session.execute(asked):
        if reading in home:
            into = found[home[reading]]
            into[breakdown] = into.get(breakdown, 0) + count
    return found


def game_days(session: Session, since: dt.date, until: dt.date, *, team: int = TEAM) -> tuple[dt.date, ...]:
    """Return the days on which the team itself plays, from ``since`` to ``until`` (both included)."""
    game = models.Game
    wanted: list[Any] = [game.date]
    asked = (
        columns(*wanted)
        .where(col(game.team_id) == team, col(game.scouted).is_(False))
        .where(col(game.date).between(since, until))
        .order_by(col(game.date))
    )
    return tuple(session.execute(asked).scalars())


def planned_practices(
    session: Session, since: dt.date, until: dt.date, *, team: int = TEAM
) -> tuple[DonePractice, ...]:
    """Return the plans from ``since`` to ``until`` (both included) as if run to the letter, oldest first.

    ``practice`` is the number of the practice, whether it has been logged or not; a segment's drill is that
    of its first station, its stage is not known here.
    """
    practice, part = models.Practice, models.Segment
    wanted: list[Any] = [practice.id, practice.date, practice.start, part.kind, part.title, part.seconds]
    wanted += [as_type(part.shares, String), part.effort]
    asked = (
        columns(*wanted)
        .join_from(part, practice)
        .where(col(practice.team_id) == team, col(practice.date).between(since, until))
        .where(col(practice.objective).is_not(None), col(part.side) == "planned")
        .order_by(col(practice.date), col(practice.start), col(practice.id), col(part.position))
    )
    found: dict[int, tuple[dt.date, int, list[DoneSegment]]] = {}
    for number, date, start, kind, title, seconds, shares, effort in session.execute(asked):
        parts = found.setdefault(number, (date, start, []))[2]
        parts.append(DoneSegment(kind, title, seconds, shares=json.loads(shares), effort=effort))
    return tuple(
        DonePractice(str(number), date, start, tuple(parts)) for number, (date, start, parts) in found.items()
    )
