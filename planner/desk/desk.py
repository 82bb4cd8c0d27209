"""The desk a coach works at: the data folder, the day, the library and the open store."""

from __future__ import annotations

import datetime as dt
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from planner.problem import Refusal
from planner.text import clean_line

if TYPE_CHECKING:
    from sqlmodel import Session

    from planner.drills.library import Library
    from planner.store.engine import Store

Result = TypeVar("Result")

UNDO_HINT = "Undo with: stopsheet undo"


def utc_now() -> dt.datetime:
    """Return the present moment, aware."""
    return dt.datetime.now(dt.UTC)


def data_home(environ: Mapping[str, str]) -> Path:
    """Return the data folder: ``STOPSHEET_HOME``, else the platform's place for a user's data."""
    if chosen := environ.get("STOPSHEET_HOME"):
        return Path(chosen).expanduser().absolute()
    if sys.platform in {"win32", "darwin"}:
        from platformdirs import user_data_path

        return user_data_path("stopsheet", appauthor=False)
    shared = environ.get("XDG_DATA_HOME", "")
    base = Path(shared) if shared and Path(shared).is_absolute() else Path.home() / ".local" / "share"
    return base / "stopsheet"


def cache_home(environ: Mapping[str, str]) -> Path:
    """Return where things may be kept that can be made anew: in ``STOPSHEET_HOME``, else as is usual here."""
    if chosen := environ.get("STOPSHEET_HOME"):
        return Path(chosen).expanduser().absolute() / "cache"
    if sys.platform in {"win32", "darwin"}:
        from platformdirs import user_cache_path

        return user_cache_path("stopsheet", appauthor=False)
    shared = environ.get("XDG_CACHE_HOME", "")
    base = Path(shared) if shared and Path(shared).is_absolute() else Path.home() / ".cache"
    return base / "stopsheet"


@dataclass
class Desk:
    """What every verb needs; tests give a folder, a day and a clock of their own."""

    home: Path
    today: dt.date
    now: Callable[[], dt.datetime] = utc_now
    database: str | None = None
    cache: Path | None = None
    coach: str = ""
    """Who works here, as the journal of a shared store names them; "" where nobody said."""
    daily: bool = False
    """Whether the state before the day's first change is kept as a copy."""

    @cached_property
    def library(self) -> Library:
        """Return vocabulary and drills, the team's own included."""
        from planner.desk.library import load_library

        return load_library(self.home / "drills", self.cache)

    @cached_property
    def store(self) -> Store:
        """Return the open store; it is made on first use.

        Raises:
            Refusal: the database cannot be opened, or is newer than this program.

        """
        from planner.store.engine import open_store

        self._finish_restore()
        return open_store(self._where, create=True)

    @property
    def _where(self) -> Path | str:
        return self.database or self.home

    def _finish_restore(self) -> None:
        """Carry out a restore that a power cut interrupted after it was decided."""
        if (self.home / "restoring").is_dir():
            from planner.desk.bringing_back import finish

            finish(self)

    def has_team(self) -> bool:
        """Return whether a team has been set up here."""
        from planner.store import queries
        from planner.store.engine import store_exists

        self._finish_restore()
        opened = "store" in self.__dict__ and self.store.shared
        if not opened and not store_exists(self._where):
            return False
        with self.store.reading() as session:
            return queries.team(session) is not None

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """Open one unit of work that is kept whole or not at all.

        Raises:
            Refusal: no team has been set up yet.

        """
        self._before_writing()
        with self.store.session() as session:
            yield session

    def work(self, do: Callable[[Session], Result]) -> Result:
        """Do one unit of work, anew where a server broke it off for another coach's sake.

        Raises:
            Refusal: no team has been set up yet.

        """
        self._before_writing()
        return self.store.work(do)

    def _before_writing(self) -> None:
        self.need_team()
        if self.daily and not self.store.shared:
            from planner.desk.copies import save_daily

            # No copy is no reason to keep a coach from working; 'stopsheet backup' says what is the matter.
            with suppress(Refusal, OSError):
                save_daily(self)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Open the store for looking.

        Raises:
            Refusal: no team has been set up yet.

        """
        self.need_team()
        with self.store.reading() as session:
            yield session

    def need_team(self) -> None:
        """Refuse where no team has been set up yet.

        Raises:
            Refusal: there is none.

        """
        if not self.has_team():
            raise Refusal(
                "There is no team here yet; begin with 'stopsheet team new NAME',"
                " or look around with 'stopsheet demo'."
            )

    def note(self, session: Session, verb: str, words: str, payload: Mapping[str, Any]) -> None:
        """Write into the journal what was done, so that it can be undone."""
        from planner.store import queries

        queries.append_journal(session, self.now(), verb, words, payload, coach=self.coach)

    def close(self) -> None:
        """Close the store if it was opened."""
        if "store" in self.__dict__:
            self.store.close()
            del self.__dict__["store"]


def open_desk(environ: Mapping[str, str] | None = None, today: dt.date | None = None) -> Desk:
    """Return the desk of the user's data folder as of today, at the team that is in hand.

    Raises:
        Refusal: ``STOPSHEET_TEAM`` names no team of the folder.

    """
    from planner.desk.teams import home_in_hand

    found = os.environ if environ is None else environ
    home = data_home(found)
    return Desk(
        home if found.get("STOPSHEET_DB") else home_in_hand(home, found),
        today or dt.datetime.now().astimezone().date(),
        database=found.get("STOPSHEET_DB") or None,
        cache=cache_home(found),
        coach=clean_line(found.get("STOPSHEET_COACH", ""), 40),
        daily=True,
    )
