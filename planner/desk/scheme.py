"""How we play and whom we meet: coverages, the next opponent's exposure, and who was on the floor."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.desk.desk import Desk
from planner.desk.team import check_principle, clean_jersey
from planner.desk.words import coverages
from planner.need.coverage import Coverage, left_out
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import GameInfo
from planner.text import clean_line, listed, plural

if TYPE_CHECKING:
    from sqlmodel import Session

EXPOSURE, COVERAGES, FLOOR = "exposure", "coverages", "floor"
"""Settings that hold JSON rather than a number: by game, a list of ids, by game."""
MOST = 5.0
MOST_POSSESSIONS = 200


@dataclass(frozen=True, slots=True)
class Scheme:
    """What of this the estimates were fed: the next game, its factors by principle, what is played.

    ``off`` maps a breakdown that cannot happen to the coverage's title and why.
    """

    game: GameInfo | None
    factors: Mapping[str, float]
    played: tuple[Coverage, ...]
    off: Mapping[str, tuple[str, str]]

    def as_json(self) -> dict[str, Any]:
        """Return the scheme as plain values."""
        game = self.game and {
            "game": self.game.id,
            "date": self.game.date.isoformat(),
            "opponent": self.game.opponent,
            "exposure": dict(self.factors),
        }
        return {
            "next_game": game,
            "coverages": [one.id for one in self.played],
            "left_out": {name: {"coverage": title, "why": why} for name, (title, why) in self.off.items()},
        }


def scheme_on(desk: Desk, session: Session, day: dt.date) -> Scheme:
    """Return the scheme as it stands for the next game on or after a day."""
    game = queries.next_game(session, day)
    by_game = _table(session, EXPOSURE)
    raw = by_game.get(str(game.id), {}) if game else {}
    chosen = set(_names(session))
    played = tuple(one for one in coverages(desk) if one.id in chosen) if chosen else ()
    return Scheme(game, {name: float(factor) for name, factor in raw.items()}, played, left_out(played))


def set_exposure(desk: Desk, principle: str, factor: float, game: int | None = None) -> str:
    """Weigh a principle's need for one game by how much more (or less) that opponent goes at it; 1 clears.

    Raises:
        Refusal: the principle or game is not known, no game is to come, or the factor is out of range.

    """
    check_principle(desk, principle)
    if not (math.isfinite(factor) and 0 <= factor <= MOST):
        raise Refusal(f"An exposure of {factor:g} is out of range; give 0 to {MOST:g}, 1 is neutral.")
    with desk.writing() as session:
        found = _game(session, game, desk.today)
        table = _table(session, EXPOSURE)
        row = {**table.get(str(found.id), {}), principle: factor}
        if factor == 1:
            del row[principle]
        _keep(desk, session, EXPOSURE, _with(table, str(found.id), row), f"exposure {principle} x{factor:g}")
    when = f"{found.date.isoformat()} v {clean_line(found.opponent, 60)}"
    return f"{principle} counts x{factor:g} for {when}."


def set_coverage(desk: Desk, name: str, on: bool) -> str:
    """Say that the team plays a coverage, or no longer does.

    Raises:
        Refusal: there is no such coverage.

    """
    known = {one.id: one for one in coverages(desk)}
    if name not in known:
        raise Refusal(f"'{clean_line(name, 40)}' is no coverage; they are: {', '.join(known)}.")
    with desk.writing() as session:
        played = _names(session)
        if (name in played) is on:
            return f"'{name}' was {'on' if on else 'off'} already."
        wanted = {*played, name} if on else {*played} - {name}
        chosen = [one for one in known if one in wanted]
        _keep(desk, session, COVERAGES, chosen or None, f"coverage {name} {'on' if on else 'off'}")
    was, now = (left_out([known[one] for one in names if one in known]) for names in (played, chosen))
    changes = [
        f"{said}: {listed(names)}"
        for said, names in (
            ("now left out of the needs", [one for one in now if one not in was]),
            ("counted again", [one for one in was if one not in now]),
        )
        if names
    ]
    state = "is played" if on else "is no longer played"
    return (
        f"{known[name].title} {state}; {'; '.join(changes) or 'nothing else is counted or left out for it'}."
    )


def set_floor(desk: Desk, game: int, told: Mapping[str, int]) -> str:
    """Say how many possessions players defended in a game; 0 clears a player.

    Raises:
        Refusal: there is no such game, a jersey is not on the roster, or a number is out of range.

    """
    with desk.writing() as session:
        found = _game(session, game, desk.today)
        roster = {one.jersey for one in queries.players(session)}
        row = dict(_table(session, FLOOR).get(str(found.id), {}))
        for raw, possessions in told.items():
            jersey = clean_jersey(raw)
            if jersey not in roster:
                raise Refusal(f"No player wears {jersey}; 'stopsheet team' shows the roster.")
            if not 0 <= possessions <= MOST_POSSESSIONS:
                raise Refusal(f"{possessions} possessions for {jersey} are out of range; give 0 to 200.")
            row[jersey] = possessions
        row = {jersey: count for jersey, count in row.items() if count}
        table = _with(_table(session, FLOOR), str(found.id), row)
        _keep(desk, session, FLOOR, table, f"line-ups of game {found.id}")
    opponent = clean_line(found.opponent, 60)
    return f"Game {found.id} v {opponent}: possessions defended by {plural(len(row), 'player')}."


def parse_floor(raw: Sequence[str]) -> dict[str, int]:
    """Return jersey -> possessions for texts such as ``7=41``.

    Raises:
        Refusal: a text is not written so.

    """
    told = {}
    for text in raw:
        jersey, _, count = text.partition("=")
        if not (jersey and count.isascii() and count.isdigit() and len(count) <= 3):
            raise Refusal(f"'{clean_line(text, 20)}' does not say who and how many; write it as 7=41.")
        told[jersey] = int(count)
    return told


def floor_of(session: Session) -> dict[str, dict[str, int]]:
    """Return game -> jersey -> possessions defended, as far as it was said."""
    return {
        game: {jersey: int(count) for jersey, count in row.items()}
        for game, row in _table(session, FLOOR).items()
    }


def scheme_overview(session: Session) -> dict[str, Any]:
    """Return everything set here, for showing what was set up."""
    return {
        "coverages": list(_names(session)),
        "exposure": {game: dict(row) for game, row in _table(session, EXPOSURE).items()},
        "line_ups": floor_of(session),
    }


def _game(session: Session, number: int | None, today: dt.date) -> GameInfo:
    found = queries.next_game(session, today) if number is None else queries.game(session, number)
    if found is None:
        raise Refusal(
            f"There is no game {number}; 'stopsheet team' lists them."
            if number is not None
            else "No game is to come; add it with 'stopsheet team game DATE OPPONENT'."
        )
    return found


def _table(session: Session, key: str) -> dict[str, dict[str, Any]]:
    found = queries.setting(session, key)
    return dict(found) if isinstance(found, dict) else {}


def _names(session: Session) -> tuple[str, ...]:
    found = queries.setting(session, COVERAGES)
    return tuple(found) if isinstance(found, list) else ()


def _with(table: Mapping[str, dict[str, Any]], key: str, row: dict[str, Any]) -> dict[str, Any] | None:
    """Return the table with this row, without it where it is empty, None where nothing is left."""
    rest = {name: one for name, one in table.items() if name != key}
    return ({**rest, key: row} if row else rest) or None


def _keep(desk: Desk, session: Session, key: str, value: Any, words: str) -> None:
    if value is None:
        before = queries.remove_setting(session, key)
    else:
        before = queries.set_setting(session, key, value)
    desk.note(session, "scheme", words, {"key": key, "before": before})
