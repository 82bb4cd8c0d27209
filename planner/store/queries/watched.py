"""The season's film boiled down to what the estimates take."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from sqlalchemy import select as columns
from sqlmodel import Session, col, func, select

from planner.need.estimate import WatchedGame, WatchedTrip
from planner.need.players import PlayerFilm
from planner.store import models
from planner.store.queries.film import intakes
from planner.store.queries.heard import part_heard, unheard
from planner.store.queries.rows import TEAM, number_of
from planner.store.values import IntakeInfo


class _Trip(NamedTuple):
    """What of a possession is asked here; a season has tens of thousands, so columns and not rows."""

    intake: int
    number: int
    points: int | None


class _Sight(NamedTuple):
    """What of a sighting is asked here."""

    id: int
    intake: int
    breakdown: str
    line: int | None
    start: str | None
    points: int | None
    seen: int
    possession: int | None


_Trips = Mapping[int, Sequence[_Trip]]
_Seen = Mapping[int, Sequence[_Sight]]
_Over = Mapping[int, int | None]
"""Possessions that a reading counts for; None where all that it proposes still waits."""


def watched_games(session: Session, until: dt.date, *, team: int = TEAM) -> tuple[WatchedGame, ...]:
    """Return the team's own games with film up to a date (included), oldest first.

    Exposure is what the coach set for the game, else the sum over its readings. A reading of which nobody
    said how many possessions it covers is left out (see ``unknown_exposure``). Readings undone and games
    only scouted never count.
    """
    pairs = _live(session, until, team)
    numbers = [number_of(row) for row, _ in pairs]
    trips, seen = _trips_of(session, numbers), _seen_in(session, numbers)
    over = _over(session, pairs, {number: len(trips[number]) for number in numbers})
    by_game: dict[int, list[models.Intake]] = defaultdict(list)
    games: dict[int, models.Game] = {}
    for row, game in pairs:
        games[number_of(game)] = game
        if _counts(row, game, over):
            by_game[number_of(game)].append(row)
    watched = (_watched(games[number], rows, (trips, seen, over)) for number, rows in by_game.items())
    return tuple(one for one in watched if one.possessions > 0)


def unknown_exposure(session: Session, until: dt.date, *, team: int = TEAM) -> tuple[IntakeInfo, ...]:
    """Return the readings left out until someone says how many possessions they cover."""
    pairs = _live(session, until, team)
    noted = _noted_in(session, [number_of(row) for row, _ in pairs])
    out = {
        number_of(row)
        for row, game in pairs
        if not (game.possessions or _exposure(row, noted[number_of(row)]))
    }
    return tuple(one for one in intakes(session, team=team) if one.id in out) if out else ()


def player_film(session: Session, until: dt.date, *, team: int = TEAM) -> tuple[PlayerFilm, ...]:
    """Return who was charged with what in the team's own games up to a date, oldest first.

    Of a breakdown seen several times with several players, each takes an even part, at least one. Who
    was on the floor is not in film notes and is left empty.
    """
    pairs = _live(session, until, team)
    numbers = [number_of(row) for row, _ in pairs]
    noted, seen = _noted_in(session, numbers), _seen_in(session, numbers)
    charged = _charged_in(session, numbers)
    over = _over(session, pairs, noted)
    games: dict[int, _Charges] = {}
    for row, game in pairs:
        made = games.setdefault(number_of(game), _Charges(game))
        made.possessions += over[number_of(row)] or 0
        for one in seen[number_of(row)]:
            made.charge(one, charged[one.id])
    return tuple(one.film() for one in games.values())


@dataclass
class _Charges:
    """The charges of one game, being added up."""

    game: models.Game
    possessions: int = 0
    unnamed: int = 0
    players: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))

    def charge(self, one: _Sight, players: Sequence[str]) -> None:
        for jersey in players:
            self.players[jersey][one.breakdown] += max(1, one.seen // len(players))
        if not players:
            self.unnamed += one.seen

    def film(self) -> PlayerFilm:
        return PlayerFilm(
            game=str(self.game.id),
            possessions=self.game.possessions or self.possessions,
            charged={jersey: dict(counts) for jersey, counts in self.players.items()},
            unnamed=self.unnamed,
        )


def _live(session: Session, until: dt.date, team: int) -> Sequence[tuple[models.Intake, models.Game]]:
    asked = (
        select(models.Intake, models.Game)
        .join(models.Game)
        .where(models.Game.team_id == team, models.Game.date <= until)
        .where(col(models.Game.scouted).is_(False), col(models.Intake.undone).is_(False))
        .order_by(col(models.Game.date), col(models.Game.id), col(models.Intake.id))
    )
    return session.exec(asked).all()


def _trips_of(session: Session, numbers: Sequence[int]) -> _Trips:
    trip = models.Possession
    wanted: list[Any] = [trip.intake_id, trip.number, trip.points]
    asked = columns(*wanted).where(col(trip.intake_id).in_(numbers)).order_by(col(trip.id))
    found: dict[int, list[_Trip]] = defaultdict(list)
    for row in session.execute(asked):
        found[row[0]].append(_Trip(*row))
    return found


def _noted_in(session: Session, numbers: Sequence[int]) -> Mapping[int, int]:
    """Return how many possessions each reading has written down one by one."""
    trip = models.Possession
    wanted: list[Any] = [trip.intake_id, func.count()]
    asked = columns(*wanted).where(col(trip.intake_id).in_(numbers)).group_by(col(trip.intake_id))
    return defaultdict(int, [(intake, count) for intake, count in session.execute(asked)])


def _seen_in(session: Session, numbers: Sequence[int]) -> _Seen:
    one = models.Sighting
    wanted: list[Any] = [
        one.id,
        one.intake_id,
        one.breakdown,
        one.line,
        one.start,
        one.points,
        one.seen,
        one.possession,
    ]
    asked = columns(*wanted).where(col(one.intake_id).in_(numbers)).order_by(col(one.id))
    found: dict[int, list[_Sight]] = defaultdict(list)
    for row in session.execute(asked):
        found[row[1]].append(_Sight(*row))
    return found


def _charged_in(session: Session, numbers: Sequence[int]) -> Mapping[int, Sequence[str]]:
    """Return the players charged in these readings, by sighting."""
    player, seen = models.SightingPlayer, models.Sighting
    wanted: list[Any] = [player.sighting_id, player.jersey]
    asked = (
        columns(*wanted)
        .join(seen, col(seen.id) == player.sighting_id)
        .where(col(seen.intake_id).in_(numbers))
        .order_by(col(player.sighting_id), col(player.position))
    )
    found: dict[int, list[str]] = defaultdict(list)
    for number, jersey in session.execute(asked):
        found[number].append(jersey)
    return found


def _exposure(row: models.Intake, noted: int) -> int:
    """Return the possessions a reading covers: as told, else as written down one by one."""
    return row.possessions or noted


def _over(
    session: Session, pairs: Sequence[tuple[models.Intake, models.Game]], noted: Mapping[int, int]
) -> _Over:
    waiting = unheard(session)
    over: dict[int, int | None] = {}
    for row, _ in pairs:
        number = number_of(row)
        tally = waiting.get(number)
        silent = tally is not None and tally[0] == tally[1]
        over[number] = None if silent else part_heard(_exposure(row, noted[number]), tally)
    return over


def _counts(row: models.Intake, game: models.Game, over: _Over) -> bool:
    heard = over[number_of(row)]
    return heard is not None and bool(game.possessions or heard)


def _watched(
    game: models.Game, rows: Sequence[models.Intake], found: tuple[_Trips, _Seen, _Over]
) -> WatchedGame:
    trips, seen, over = found
    counts: Counter[str] = Counter()
    known: list[WatchedTrip] = []
    chains: list[tuple[str, ...]] = []
    for row in rows:
        number = number_of(row)
        counts.update(_tally(seen[number]))
        scored, others = _by_trip(trips[number], seen[number])
        known += scored
        chains += others
    return WatchedGame(
        game=str(game.id),
        date=game.date,
        possessions=game.possessions or sum(over[number_of(row)] or 0 for row in rows),
        counts=dict(counts),
        trips=tuple(known),
        chances=dict(game.chances) or None,
        chains=tuple(chains),
    )


def _by_trip(
    trips: Sequence[_Trip], seen: Sequence[_Sight]
) -> tuple[list[WatchedTrip], list[tuple[str, ...]]]:
    """Return the trips whose points are known, from the trip or else from what was seen in it.

    The others, where anything was seen, are returned as chains: what was seen, in the order of the note.
    """
    within: dict[int, list[_Sight]] = defaultdict(list)
    for sighting in sorted(seen, key=_place):
        if sighting.possession is not None:
            within[sighting.possession].append(sighting)
    known: list[WatchedTrip] = []
    chains = []
    for trip in trips:
        inside = within[trip.number]
        told = [one.points for one in inside if one.points is not None]
        points = trip.points if trip.points is not None else max(told, default=None)
        if points is not None:
            known.append(WatchedTrip(points, _tally(inside), inside[0].breakdown if inside else None))
        elif inside:
            chains.append(tuple(name for one in inside for name in [one.breakdown] * one.seen))
    return known, chains


def _place(one: _Sight) -> tuple[bool, int, str, int]:
    """Return where in its note a sighting stands; a line sorted later stands where it was written."""
    return one.line is None, one.line or 0, one.start or "", one.id


def _tally(seen: Iterable[_Sight]) -> dict[str, int]:
    counted: Counter[str] = Counter()
    for sighting in seen:
        counted[sighting.breakdown] += sighting.seen
    return dict(counted)
