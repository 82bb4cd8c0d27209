"""The file of the running practice: written whole at every change, read at every look.

``floor/running.json`` in the data folder holds the plan as it was begun and everything that happened since,
with the moments of the wall clock. A crash or a closed lid therefore stops nothing: what is shown always
follows from the file and the present moment.
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from planner.desk.desk import Desk
from planner.desk.watching import sync_folder
from planner.paper.files import write_atomically
from planner.problem import Refusal
from planner.season import floor
from planner.season.floor import Event, Run, Stretch
from planner.text import clean_line

FORMAT = "stopsheet floor 1"
_MOST_BYTES = 4_000_000


@dataclass(frozen=True, slots=True)
class Running:
    """A practice that was begun: whose plan it is, and everything that happened.

    ``minutes`` is the plan's length; ``zone`` the zone in which clock times are shown.
    """

    practice: int
    date: dt.date
    start: int
    minutes: int
    zone: str
    stretches: tuple[Stretch, ...]
    end: int
    events: tuple[Event, ...]

    def run(self, now: int) -> Run:
        """Return where the practice stands at a moment, in milliseconds since 1970."""
        return floor.advance(floor.run_of(self.stretches, self.end, self.events), now)

    @property
    def began(self) -> dt.datetime:
        """Return when it began, in the team's zone."""
        return self.local(self.events[0].at)

    def local(self, moment: int) -> dt.datetime:
        """Return a moment in the team's zone."""
        return dt.datetime.fromtimestamp(moment / floor.SECOND, ZoneInfo(self.zone))

    def clock(self, moment: int) -> str:
        """Return a moment as ``"18:42"``."""
        return f"{self.local(moment):%H:%M}"


def now_of(desk: Desk) -> int:
    """Return the present moment in milliseconds since 1970."""
    return round(desk.now().timestamp() * floor.SECOND)


def running(desk: Desk) -> Running | None:
    """Return the practice that was begun and not logged yet, None where there is none.

    Raises:
        Refusal: the file cannot be read.

    """
    return _read(path_of(desk))


def must_run(desk: Desk) -> Running:
    """Return the practice that was begun.

    Raises:
        Refusal: there is none.

    """
    found = running(desk)
    if found is None:
        raise Refusal("No practice is running; begin one first (stopsheet floor start).")
    return found


def path_of(desk: Desk) -> Path:
    """Return where the running practice lies."""
    return desk.home / "floor" / "running.json"


def logged_path(desk: Desk) -> Path:
    """Return where the run logged last is kept, in case its log is undone."""
    return desk.home / "floor" / "logged.json"


def write(desk: Desk, state: Running) -> None:
    """Write the practice whole; it is on the disk when this returns.

    Raises:
        Refusal: it cannot be written; what was there before still is.

    """
    path = path_of(desk)
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as fault:
        raise Refusal(f"'{path.parent}' cannot be made ({fault.strerror or 'no reason given'}).") from None
    packed = {
        "format": FORMAT,
        "practice": state.practice,
        "date": state.date.isoformat(),
        "start": state.start,
        "minutes": state.minutes,
        "zone": state.zone,
        "end": state.end,
        "stretches": [floor.pack_stretch(one) for one in state.stretches],
        "events": [[one.kind, one.at, one.value] for one in state.events],
    }
    write_atomically(path, json.dumps(packed, ensure_ascii=False).encode(), True)
    sync_folder(path.parent)


def read_json(path: Path) -> dict[str, Any] | None:
    """Return what a file of this kind holds, None where there is no file.

    Raises:
        Refusal: it is something else.

    """
    try:
        if not path.exists():
            return None
        small = path.stat().st_size <= _MOST_BYTES
        found = json.loads(path.read_text("utf-8")) if small else None
    except (OSError, ValueError, RecursionError):
        found = None
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        shown = clean_line(str(path), 200)
        raise Refusal(f"'{shown}' is no practice of this program; move it away to begin anew.")
    return found


def _read(path: Path) -> Running | None:
    packed = read_json(path)
    if packed is None:
        return None
    try:
        made = Running(
            practice=int(packed["practice"]),
            date=dt.date.fromisoformat(packed["date"]),
            start=int(packed["start"]),
            minutes=int(packed["minutes"]),
            zone=str(packed["zone"]),
            stretches=tuple(floor.unpack_stretch(one) for one in packed["stretches"]),
            end=int(packed["end"]),
            events=tuple(Event(kind, int(at), value) for kind, at, value in packed["events"]),
        )
        made.run(made.events[-1].at)
        ZoneInfo(made.zone)
    except (KeyError, TypeError, ValueError, IndexError, OSError):
        shown = clean_line(str(path), 200)
        raise Refusal(f"'{shown}' is damaged; move it away to begin anew.") from None
    return made
