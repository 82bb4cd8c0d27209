"""The team, its roster and its games."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import cast

from sqlmodel import Session, col, delete, func, select

from planner.problem import Refusal
from planner.store import models
from planner.store.queries.rows import TEAM, must_get, number_of, stored
from planner.store.values import GameInfo, PlayerInfo, TeamInfo, Venue


def team(session: Session, *, team: int = TEAM) -> TeamInfo | None:
    """Return the team, or None before it is set up."""
    row = session.get(models.Team, team)
    return None if row is None else TeamInfo(row.name, row.season_start, row.season_end, row.level, row.id)


def save_team(session: Session, info: TeamInfo, *, team: int = TEAM) -> TeamInfo | None:
    """Set the team up or change it, and return what stood before."""
    row = session.get(models.Team, team)
    before = None
    if row is None:
        row = models.Team(id=team, name=info.name)
    else:
        before = TeamInfo(row.name, row.season_start, row.season_end, row.level, row.id)
    row.name, row.level = info.name, info.level
    row.season_start, row.season_end = info.season_start, info.season_end
    stored(session, row)
    return before


def players(session: Session, *, active: bool | None = None, team: int = TEAM) -> tuple[PlayerInfo, ...]:
    """Return the roster by number: 0, 00, 4, 10, then jerseys that are no numbers."""
    asked = select(models.Player).where(models.Player.team_id == team)
    if active is not None:
        asked = asked.where(models.Player.active == active)
    return tuple(sorted((_player(row) for row in session.exec(asked)), key=_by_number))


def save_player(session: Session, info: PlayerInfo, *, team: int = TEAM) -> PlayerInfo | None:
    """Store a player under the jersey, and return who wore it before."""
    row = _wearing(session, info.jersey, team)
    before = None if row is None else _player(row)
    row = row or models.Player(team_id=team, jersey=info.jersey)
    row.name, row.position, row.active = info.name, info.position, info.active
    stored(session, row)
    return before


def remove_player(session: Session, jersey: str, *, team: int = TEAM) -> PlayerInfo | None:
    """Take a jersey off the roster, and return who wore it; what film charged to the jersey stays."""
    row = _wearing(session, jersey, team)
    if row is None:
        return None
    before = _player(row)
    session.delete(row)
    session.flush()
    return before


def add_game(  # noqa: PLR0913  one column each
    session: Session,
    date: dt.date,
    opponent: str,
    *,
    venue: str = "",
    possessions: int | None = None,
    scouted: bool = False,
    chances: Mapping[str, int] | None = None,
    number: int | None = None,
    team: int = TEAM,
) -> int:
    """Store a game and return its number (``number`` where it had one before)."""
    row = models.Game(
        id=number,
        team_id=team,
        date=date,
        opponent=opponent,
        venue=venue,
        possessions=possessions,
        scouted=scouted,
        chances=dict(chances or {}),
    )
    return stored(session, row)


def save_game(session: Session, info: GameInfo) -> GameInfo:
    """Change a game, and return what stood before.

    Raises:
        Refusal: there is no such game.

    """
    row = must_get(session, models.Game, info.id, "game")
    before = _game(row, _films(session, info.id))
    row.date, row.opponent, row.venue = info.date, info.opponent, info.venue
    row.possessions, row.scouted, row.chances = info.possessions, info.scouted, dict(info.chances)
    stored(session, row)
    return before


def game(session: Session, game_id: int) -> GameInfo | None:
    """Return one game, or None."""
    row = session.get(models.Game, game_id)
    return None if row is None else _game(row, _films(session, game_id))


def games(
    session: Session,
    *,
    since: dt.date | None = None,
    until: dt.date | None = None,
    scouted: bool | None = None,
    team: int = TEAM,
) -> tuple[GameInfo, ...]:
    """Return the games from ``since`` to ``until`` (both included), oldest first."""
    live = (
        select(models.Intake.game_id, func.count())
        .where(col(models.Intake.undone).is_(False))
        .group_by(col(models.Intake.game_id))
    )
    films = dict(session.exec(live).all())
    asked = select(models.Game).where(models.Game.team_id == team)
    if since is not None:
        asked = asked.where(models.Game.date >= since)
    if until is not None:
        asked = asked.where(models.Game.date <= until)
    if scouted is not None:
        asked = asked.where(models.Game.scouted == scouted)
    rows = session.exec(asked.order_by(col(models.Game.date), col(models.Game.id)))
    return tuple(_game(row, films.get(number_of(row), 0)) for row in rows)


def find_games(
    session: Session,
    *,
    date: dt.date | None = None,
    opponent: str | None = None,
    scouted: bool | None = False,
    team: int = TEAM,
) -> tuple[GameInfo, ...]:
    """Return the games on a date, or against an opponent (without regard to case), oldest first."""
    found = games(session, since=date, until=date, scouted=scouted, team=team)
    if opponent is None:
        return found
    return tuple(one for one in found if one.opponent.casefold() == opponent.casefold())


def next_game(session: Session, on_or_after: dt.date, *, team: int = TEAM) -> GameInfo | None:
    """Return the team's own next game on or after a date, or None."""
    asked = (
        select(models.Game)
        .where(models.Game.team_id == team, models.Game.date >= on_or_after)
        .where(col(models.Game.scouted).is_(False))
        .order_by(col(models.Game.date), col(models.Game.id))
    )
    row = session.exec(asked).first()
    return None if row is None else _game(row, _films(session, number_of(row)))


def remove_game(session: Session, game_id: int) -> GameInfo:
    """Take a game away, and return it; readings of it that were undone go with it.

    Raises:
        Refusal: there is no such game, or film that counts belongs to it.

    """
    row = must_get(session, models.Game, game_id, "game")
    before = _game(row, _films(session, game_id))
    if before.films:
        raise Refusal(
            f"The game of {before.date} against {before.opponent or 'an opponent without a name'} has film; "
            "undo the film first."
        )
    notes = session.exec(select(models.Intake.film_note_id).where(models.Intake.game_id == game_id)).all()
    session.exec(delete(models.Intake).where(col(models.Intake.game_id) == game_id))
    still_read = select(models.Intake.film_note_id)
    session.exec(
        delete(models.FilmNote)
        .where(col(models.FilmNote.id).in_(notes))
        .where(col(models.FilmNote.id).not_in(still_read))
    )
    session.delete(row)
    session.flush()
    return before


def _wearing(session: Session, jersey: str, team: int) -> models.Player | None:
    asked = select(models.Player).where(models.Player.team_id == team, models.Player.jersey == jersey)
    return session.exec(asked).one_or_none()


def _player(row: models.Player) -> PlayerInfo:
    return PlayerInfo(row.jersey, row.name, row.position, row.active)


def _by_number(player: PlayerInfo) -> tuple[int, int, str]:
    jersey = player.jersey
    if jersey.isascii() and jersey.isdigit():
        return int(jersey), len(jersey), jersey
    return 10**12, 0, jersey


def _films(session: Session, game_id: int) -> int:
    asked = select(func.count()).where(models.Intake.game_id == game_id, col(models.Intake.undone).is_(False))
    return session.exec(asked).one()


def _game(row: models.Game, films: int) -> GameInfo:
    return GameInfo(
        id=number_of(row),
        date=row.date,
        opponent=row.opponent,
        venue=cast(Venue, row.venue),
        possessions=row.possessions,
        scouted=row.scouted,
        chances=dict(row.chances),
        films=films,
    )
