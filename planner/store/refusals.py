"""What the database says when it will not, in a coach's words."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

from planner.problem import Refusal
from planner.store.server import sentence, sqlstate

_RULE = re.compile(r"(CHECK|NOT NULL|UNIQUE) constraint failed: (.*)")
_RULES = {
    "ck_player_jersey": "a jersey must be 1 to 12 characters",
    "ck_team_name": "a team needs a name",
    "ck_team_season": "the season must end after it starts",
    "ck_game_venue": "a venue is home, away or neutral",
    "ck_game_possessions": "possessions cannot be fewer than none",
    "ck_intake_possessions": "possessions cannot be fewer than none",
    "ck_possession_points": "points cannot be fewer than none",
    "ck_sighting_points": "points cannot be fewer than none",
    "ck_gym_window_when": "a gym time needs a weekday, a date or a rule, and only one of them",
    "ck_gym_window_hours": "a gym time must end after it starts",
    "ck_gym_window_halves": "a gym has 0, 1 or 2 half courts",
    "ck_fixed_block_minutes": "a fixed block must last at least a minute",
    "ck_fixed_block_at": "a fixed block stands first, last, or some minutes after the start",
    "ck_practice_rating": "a practice is rated from 0 to 10",
    "ck_practice_minutes": "a practice must last at least a minute",
    "ck_segment_seconds": "a segment must last some time",
    "ck_segment_effort": "effort is rated from 0 to 10",
    "ck_drill_result_within": "there cannot be more stops than tries",
    "ck_emphasis_factor": "an emphasis cannot be below 0",
}


_KINDS = {"23514": "CHECK", "23505": "UNIQUE", "23502": "NOT NULL", "23503": "FOREIGN KEY"}
"""PostgreSQL's SQLSTATEs of broken rules."""


def in_words(error: BaseException, path: Path | str) -> Refusal:
    """Return the refusal for what the database raised while working on ``path`` (a file, or a server)."""
    cause = getattr(error, "orig", None) or error
    said = str(cause)
    if isinstance(path, str):
        return Refusal(_of_server(cause, path))
    if isinstance(cause, sqlite3.IntegrityError):
        return Refusal(f"Nothing was stored: {_broken_rule(said)}.")
    if isinstance(cause, sqlite3.DatabaseError):
        return Refusal(_sentence(said.lower(), path))
    return Refusal(f"{path} could not be used ({said}).")


def _of_server(cause: BaseException, place: str) -> str:
    kind = _KINDS.get(sqlstate(cause))
    if kind is None:
        return sentence(cause, place)
    diag = getattr(cause, "diag", None)
    where = getattr(diag, "constraint_name", None) or getattr(diag, "column_name", None) or ""
    if kind == "FOREIGN KEY":
        return f"Nothing was stored: {_broken_rule('FOREIGN KEY')}."
    return f"Nothing was stored: {_broken_rule(f'{kind} constraint failed: {where}')}."


def _broken_rule(said: str) -> str:
    if "FOREIGN KEY" in said:
        return "it belongs to something that is not there, or something else still belongs to it"
    found = _RULE.search(said)
    if found is None:
        return said
    kind, where = found.groups()
    if kind == "CHECK":
        return _RULES.get(where, f"a value is outside its limits ({where})")
    if kind == "UNIQUE":
        return f"that is already there ({where})"
    return f"a value is missing ({where})"


def _sentence(said: str, path: Path) -> str:
    if "locked" in said or "busy" in said:
        return f"{path} is in use by another stopsheet; try again when it has finished."
    if "not a database" in said:
        return f"{path} is not a stopsheet database; move it away, or restore a backup."
    if "malformed" in said or "corrupt" in said:
        return f"{path} is damaged; restore the newest backup with 'stopsheet restore'."
    if "full" in said:
        return f"The disk that holds {path} is full; nothing was stored."
    if "readonly" in said or "read-only" in said:
        return f"{path} cannot be written to; look at the permissions of the file and its folder."
    if "unable to open" in said:
        return f"{path} cannot be opened; look at the permissions of the file and its folder."
    return f"{path} could not be used ({said})."
