"""The season's film boiled down to what the estimates take."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session, col, select

from planner.film.intake import Sighting
from planner.need.estimate import WatchedGame, WatchedTrip
from planner.need.players import PlayerFilm
from planner.store import models
from planner.store.queries.film import intakes
from planner.store.queries.rows import TEAM, number_of
from planner.store.queries.seen import with_players
from planner.store.values import IntakeInfo

_Trips = Mapping[int, Sequence[models.Possession]]
_Seen = Mapping[int, Sequence[models.Sighting]]


def watched_games(session: Session, until: dt.date, *, team: int = TEAM) -> tuple[WatchedGame, ...]:
    """Return the team's own games with film up to a date (included), oldest first.

    Exposure is what the coach set for the game, else the sum over its readings. A reading of which nobody
    said how many possessions it covers is left out (see ``unknown_exposure``). Readings undone and games
    only scouted never count.
    """
    pairs = _live(session, until, team)
    trips, seen = _rows_of(session, [number_of(row) for row, _ in pairs])
    by_game: dict[int, list[models.Intake]] = defaultdict(list)
    games: dict[int, models.Game] = {}
    for row, game in pairs:
        games[number_of(game)] = game
        if _counts(row, game, trips):
            by_game[number_of(game)].append(row)
    watched = (_watched(games[number], rows, trips, seen) for number, rows in by_game.items())
    return tuple(one for one in watched if one.possessions > 0)


def unknown_exposure(session: Session, until: dt.date, *, team: int = TEAM) -> tuple[IntakeInfo, ...]:
    """Return the readings left out until someone says how many possessions they cover."""
    pairs = _live(session, until, team)
    trips, _ = _rows_of(session, [number_of(row) for row, _ in pairs])
    out = {number_of(row) for row, game in pairs if not _counts(row, game, trips)}
    return tuple(one for one in intakes(session, team=team) if one.id in out)


def player_film(session: Session, until: dt.date, *, team: int = TEAM) -> tuple[PlayerFilm, ...]:
    """Return who was charged with what in the team's own games up to a date, oldest first.

    Of a breakdown seen several times with several players, each takes an even part, at least one. Who
    was on the floor is not in film notes and is left empty.
    """
    pairs = _live(session, until, team)
    trips, seen = _rows_of(session, [number_of(row) for row, _ in pairs])
    games: dict[int, _Charges] = {}
    for row, game in pairs:
        made = games.setdefault(number_of(game), _Charges(game))
        made.possessions += _exposure(row, trips)
        for one in with_players(session, seen.get(number_of(row), ())):
            made.charge(one)
    return tuple(one.film() for one in games.values())


@dataclass
class _Charges:
    """The charges of one game, being added up."""

    game: models.Game
    possessions: int = 0
    unnamed: int = 0
    players: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))

    def charge(self, seen: Sighting) -> None:
        for jersey in seen.players:
            self.players[jersey][seen.breakdown] += max(1, seen.count // len(seen.players))
        if not seen.players:
            self.unnamed += seen.count

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


def _rows_of(session: Session, numbers: Sequence[int]) -> tuple[_Trips, _Seen]:
    trips: dict[int, list[models.Possession]] = defaultdict(list)
    seen: dict[int, list[models.Sighting]] = defaultdict(list)
    if numbers:
        asked = select(models.Possession).where(col(models.Possession.intake_id).in_(numbers))
        for trip in session.exec(asked.order_by(col(models.Possession.id))):
            trips[trip.intake_id].append(trip)
        wanted = select(models.Sighting).where(col(models.Sighting.intake_id).in_(numbers))
        for sighting in session.exec(wanted.order_by(col(models.Sighting.id))):
            seen[sighting.intake_id].append(sighting)
    return trips, seen


def _exposure(row: models.Intake, trips: _Trips) -> int:
    """Return the possessions a reading covers: as told, else as written down one by one."""
    return row.possessions or len(trips.get(number_of(row), ()))


def _counts(row: models.Intake, game: models.Game, trips: _Trips) -> bool:
    return bool(game.possessions) or _exposure(row, trips) > 0


def _watched(game: models.Game, rows: Sequence[models.Intake], trips: _Trips, seen: _Seen) -> WatchedGame:
    counts: Counter[str] = Counter()
    known: list[WatchedTrip] = []
    chains: list[tuple[str, ...]] = []
    for row in rows:
        number = number_of(row)
        counts.update(_tally(seen.get(number, ())))
        scored, others = _by_trip(trips.get(number, ()), seen.get(number, ()))
        known += scored
        chains += others
    return WatchedGame(
        game=str(game.id),
        date=game.date,
        possessions=game.possessions or sum(_exposure(row, trips) for row in rows),
        counts=dict(counts),
        trips=tuple(known),
        chances=dict(game.chances) or None,
        chains=tuple(chains),
    )


def _by_trip(
    trips: Sequence[models.Possession], seen: Sequence[models.Sighting]
) -> tuple[list[WatchedTrip], list[tuple[str, ...]]]:
    """Return the trips whose points are known, from the trip or else from what was seen in it.

    The others, where anything was seen, are returned as chains: what was seen, in the order of the note.
    """
    within: dict[int, list[models.Sighting]] = defaultdict(list)
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


def _place(one: models.Sighting) -> tuple[bool, int, str, int]:
    """Return where in its note a sighting stands; a line sorted later stands where it was written."""
    return one.line is None, one.line or 0, one.start or "", number_of(one)


def _tally(seen: Iterable[models.Sighting]) -> dict[str, int]:
    counted: Counter[str] = Counter()
    for sighting in seen:
        counted[sighting.breakdown] += sighting.seen
    return dict(counted)
