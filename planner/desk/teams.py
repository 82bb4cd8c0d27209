"""Several teams of one coach: each has a folder of its own, with its database, drills, prints and copies.

The first team lives in the data folder itself, each further one in ``teams/NAME`` inside. Nothing is shared,
so that one team's film can be handed on, undone or restored without touching another's.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.text import clean_line, listed

FOLDER, CHOSEN = "teams", "team-in-hand.txt"
MOST = 30
"""Teams one data folder may hold."""


@dataclass(frozen=True, slots=True)
class TeamHome:
    """One team and where it lives; ``season`` is its first and last day in words, empty where unknown."""

    key: str
    name: str
    level: str
    season: str
    home: Path
    in_hand: bool

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "key": self.key,
            "name": self.name,
            "level": self.level,
            "season": self.season,
            "home": str(self.home),
            "in_hand": self.in_hand,
        }


def key_of(name: str) -> str:
    """Return a team's name as a folder may bear it: small letters, digits, hyphens; '' where none is left."""
    plain = unicodedata.normalize("NFKD", clean_line(name, 80)).casefold()
    kept = "".join(one if one.isalnum() else "-" for one in plain if not unicodedata.combining(one))
    return re.sub(r"-+", "-", kept).strip("-")[:40].strip("-")


def home_in_hand(root: Path, environ: Mapping[str, str]) -> Path:
    """Return the home of the team being worked with: ``STOPSHEET_TEAM``, else the one taken in hand last.

    Raises:
        Refusal: ``STOPSHEET_TEAM`` names no team here.

    """
    asked = environ.get("STOPSHEET_TEAM", "")
    if asked:
        return _home_named(root, asked)
    try:
        key = key_of((root / CHOSEN).read_text("utf-8", "replace")[:200])
    except OSError:
        return root
    home = root / FOLDER / key
    return home if key and home.is_dir() else root


def all_teams(desk: Desk) -> tuple[TeamHome, ...]:
    """Return every team of the data folder, the first one first, the others by name of their folder.

    Raises:
        Refusal: a team's database cannot be opened.

    """
    root = root_of(desk)
    homes = [root, *_further(root)]
    return tuple(made for home in homes if (made := _look(desk, home)) is not None)


def take_in_hand(desk: Desk, name: str) -> Desk:
    """Work with another team from here on, in this and every later run; return its desk.

    Raises:
        Refusal: there is no such team, or the folder cannot be written.

    """
    root = root_of(desk)
    home = _home_named(root, name)
    _keep_choice(root, home)
    return _desk_at(desk, home)


def new_team_beside(desk: Desk, name: str) -> Desk:
    """Make room for a further team and take it in hand; return its desk, at which it is still to be set up.

    Raises:
        Refusal: there is no first team yet, one of that name is there, or the data is in one shared database.

    """
    if desk.database:
        raise Refusal(
            "STOPSHEET_DB names one database for one team; give the further team a database of its own."
        )
    root, key = root_of(desk), key_of(name)
    if not key:
        raise Refusal("A team needs a name with a letter or a digit.")
    known = all_teams(desk)
    if not known:
        raise Refusal("There is no first team yet; set it up with 'stopsheet team new NAME'.")
    if key in {one.key for one in known} or (root / FOLDER / key).exists():
        raise Refusal(f"There is a team {clean_line(name, 80)} already; 'stopsheet team use {key}' takes it.")
    if len(known) >= MOST:
        raise Refusal(f"One data folder holds {MOST} teams; point STOPSHEET_HOME to another folder.")
    home = root / FOLDER / key
    for folder in (root / FOLDER, home):
        folder.mkdir(mode=0o700, exist_ok=True)
    _keep_choice(root, home)
    return _desk_at(desk, home)


def root_of(desk: Desk) -> Path:
    """Return the data folder that holds this desk's team and its sisters."""
    home = desk.home
    return home.parent.parent if home.parent.name == FOLDER and not desk.database else home


def _further(root: Path) -> list[Path]:
    try:
        inside = sorted(one for one in (root / FOLDER).iterdir() if one.is_dir() and not one.is_symlink())
    except OSError:
        return []
    return [one for one in inside if one.name == key_of(one.name)][:MOST]


def _home_named(root: Path, name: str) -> Path:
    key = key_of(name)
    if key and (root / FOLDER / key).is_dir():
        return root / FOLDER / key
    if key and key == _key_at(root):
        return root
    there = [_key_at(root), *(one.name for one in _further(root))]
    known = listed([one for one in there if one])
    hint = f"there is {known}" if known else "there is none yet; begin with 'stopsheet team new NAME'"
    raise Refusal(f"There is no team '{clean_line(name, 40)}' in {root}; {hint}.")


def _key_at(home: Path) -> str:
    import datetime as dt

    found = _look(Desk(home, dt.date.min), home)
    return found.key if found else ""


def _look(desk: Desk, home: Path) -> TeamHome | None:
    from planner.store import queries

    at = desk if home == desk.home else _desk_at(desk, home)
    try:
        if not at.has_team():
            return None
        with at.reading() as session:
            team = queries.team(session)
    finally:
        if at is not desk:
            at.close()
    assert team is not None
    days = [str(one) for one in (team.season_start, team.season_end) if one]
    key = key_of(team.name) if home.parent.name != FOLDER else home.name
    return TeamHome(key, clean_line(team.name, 80), team.level, " to ".join(days), home, home == desk.home)


def _desk_at(desk: Desk, home: Path) -> Desk:
    """Return a desk like this one at another home."""
    return replace(desk, home=home)


def _keep_choice(root: Path, home: Path) -> None:
    note = root / CHOSEN
    if home == root:
        note.unlink(missing_ok=True)
        return
    from planner.paper.files import write_atomically

    write_atomically(note, f"{home.name}\n".encode(), overwrite=True)
