"""Taking back and changing what was set up: gym times, fixed blocks, games, settings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

from planner.build.brief import Rules
from planner.desk.desk import Desk
from planner.desk.practice import DEFAULT_MINUTES, DEFAULT_START, DEFAULT_WAITING
from planner.desk.team import SETTINGS, TEXT_SETTINGS, checked_game
from planner.problem import Refusal
from planner.store import queries
from planner.store.backup import KEPT, USUALLY_KEPT
from planner.store.values import FixedRule, GameInfo, GymRule
from planner.text import clean_line

if TYPE_CHECKING:
    from sqlmodel import Session


def remove_gym_rule(desk: Desk, number: int) -> str:
    """Take a gym time away.

    Raises:
        Refusal: there is none of that number.

    """
    with desk.writing() as session:
        gone = queries.remove_gym_rule(session, number)
        desk.note(session, "gym-gone", f"gym time {number} removed", {"before": _plain(gone)})
    return f"Gym time {number} is gone."


def remove_fixed(desk: Desk, number: int) -> str:
    """Take a fixed block out of every practice.

    Raises:
        Refusal: there is none of that number.

    """
    with desk.writing() as session:
        gone = queries.remove_fixed_rule(session, number)
        words = f"fixed block {clean_line(gone.title, 60)} removed"
        desk.note(session, "fixed-gone", words, {"before": _plain(gone)})
    return f"Fixed block {number}, {clean_line(gone.title, 60)}, is gone."


def remove_game(desk: Desk, number: int) -> str:
    """Take a game out of the calendar.

    Raises:
        Refusal: there is none of that number, or film belongs to it.

    """
    with desk.writing() as session:
        if any(one.undone for one in queries.intakes(session, game=number, undone=None)):
            raise Refusal(
                f"Game {number} has a film note that was taken back; it stays, so that the note can"
                " come back."
            )
        gone = queries.remove_game(session, number)
        desk.note(session, "game-gone", f"game {number} removed", {"before": _plain(gone)})
    return f"Game {number} v {clean_line(gone.opponent, 60)} is out of the calendar."


def change_game(desk: Desk, number: int, date: dt.date, opponent: str, venue: str = "") -> str:
    """Change a game's day, opponent and venue; its film stays with it.

    Raises:
        Refusal: there is none of that number, or a word cannot be used.

    """
    name, where = checked_game(opponent, venue)
    with desk.writing() as session:
        found = queries.game(session, number)
        if found is None:
            raise Refusal(f"There is no game {number}; 'stopsheet team' lists them.")
        made = replace(found, date=date, opponent=name, venue=where)
        before = queries.save_game(session, made)
        desk.note(session, "game-changed", f"game {number} changed", {"before": _plain(before)})
    return f"Game {number} is now {date.isoformat()} v {name}{f', {venue}' if venue else ''}."


def reset_setting(desk: Desk, key: str) -> str:
    """Put a house rule or planning weight back to what is usual.

    Raises:
        Refusal: there is no such setting.

    """
    if key not in SETTINGS and key not in TEXT_SETTINGS:
        raise Refusal(f"'{clean_line(key, 40)}' is no setting; 'stopsheet team' lists what is set.")
    with desk.writing() as session:
        before = queries.remove_setting(session, key)
        if before is None:
            return f"{key} was as usual already."
        desk.note(session, "setting", f"{key} as usual", {"key": key, "before": before})
    return f"{key} is as usual again."


def usual_settings() -> Mapping[str, float | str | None]:
    """Return what holds where nothing was set; None where that depends on the machine or is nothing."""
    from planner.need.settings import NeedSettings
    from planner.season.progress import LEVEL

    rules = Rules()
    return {
        "start": DEFAULT_START,
        "minutes": DEFAULT_MINUTES,
        "coaches": 2,
        "warm-up": 10,
        "cool-down": 5,
        "water-every": rules.water_every,
        "water-minutes": rules.water_minutes,
        "set-up-minutes": rules.set_up_minutes,
        "rotation-minutes": rules.rotation_minutes,
        "waiting": DEFAULT_WAITING,
        "load-ceiling": 0,
        "r": rules.r,
        "tau": rules.tau,
        "half-life": 14,
        "film-half-life": NeedSettings().half_life_games,
        "pass-level": LEVEL,
        "score-half-life": 0,
        KEPT: USUALLY_KEPT,
        "court": TEXT_SETTINGS["court"][0][0],
    }


# ---- undo ------------------------------------------------------------------------------------------------


def undo_gym(session: Session, payload: Mapping[str, Any]) -> None:
    """Bring a gym time back under its number."""
    row = payload["before"]
    rule = GymRule(**{**row, "date": _date(row["date"]), "first": _date(row["first"])})
    queries.add_gym_rule(session, rule, number=rule.id)


def undo_fixed(session: Session, payload: Mapping[str, Any]) -> None:
    """Bring a fixed block back under its number."""
    rule = FixedRule(**payload["before"])
    queries.add_fixed_rule(session, rule, number=rule.id)


def undo_game_gone(session: Session, payload: Mapping[str, Any]) -> None:
    """Bring a game back under its number."""
    one = _game(payload["before"])
    queries.add_game(
        session,
        one.date,
        one.opponent,
        venue=one.venue,
        possessions=one.possessions,
        scouted=one.scouted,
        chances=one.chances,
        number=one.id,
    )


def undo_game_change(session: Session, payload: Mapping[str, Any]) -> None:
    """Let a game be as it was."""
    queries.save_game(session, _game(payload["before"]))


def _game(row: Mapping[str, Any]) -> GameInfo:
    return GameInfo(**{**row, "date": dt.date.fromisoformat(row["date"])})


def _date(text: str | None) -> dt.date | None:
    return dt.date.fromisoformat(text) if text else None


def _plain(value: Any) -> dict[str, Any]:
    return {key: one.isoformat() if isinstance(one, dt.date) else one for key, one in asdict(value).items()}
