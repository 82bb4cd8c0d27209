"""Film entered while watching: every key is on the disk before it is shown.

The keys of a game lie one a line in ``live/game-3.keys`` of the data folder, each written and synced before
it is acknowledged; taking one back is a line too. Finishing writes them as a typed sheet and adds that as any
other film note, so that a game can be entered in several sittings.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from planner.desk.desk import Desk
from planner.desk.film import Added, Reading, add_files, read_files
from planner.desk.words import vocabulary
from planner.film import entry as pad
from planner.film.entry import Entry, Keys
from planner.film.intake import Heading
from planner.paper.files import write_atomically
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import GameInfo

FORMAT = "stopsheet keys 1"
_MOST_BYTES = 2_000_000


@dataclass(frozen=True, slots=True)
class Sitting:
    """An entry that is open: its game, and what is entered so far."""

    game: GameInfo
    entry: Entry


class Live:
    """The entry of one game, open for keys.

    One window enters a game at a time: another that writes meanwhile is noticed and refused.
    """

    def __init__(self, desk: Desk, game: GameInfo, begun: dt.datetime) -> None:
        self.desk = desk
        self.game = game
        self.begun = begun
        self.path = _path(desk, game.id)
        self.keys = Keys(frozenset(vocabulary(desk).breakdown_by_id))
        self.problems: list[str] = []
        self._good = 0
        self._size = 0

    @property
    def entry(self) -> Entry:
        """Return what is entered now."""
        return self.keys.entry

    def load(self) -> None:
        """Read the keys that are on the disk; a last line that was cut short was never acknowledged."""
        raw = _read(self.path)
        if raw is None:
            return
        whole, _, _ = raw.rpartition(b"\n")
        self._size, self._good = len(raw), len(whole) + 1 if whole else 0
        for number, line in enumerate(whole.decode("utf-8", "replace").split("\n"), 1):
            if not line or line == FORMAT or line.startswith("game "):
                continue
            if line.startswith("begun "):
                self.begun = _moment(line.removeprefix("begun "), self.begun)
                continue
            try:
                self.keys.take(line)
            except Refusal as refusal:
                self.problems.append(f"{self.path.name}, line {number}: {refusal}")

    def press(self, key: str) -> Entry:
        """Take one key (or ``undo``): written and synced first, then it counts.

        Raises:
            Refusal: the key cannot be meant here, another window enters this game, or the disk refuses; then
                nothing has changed.

        """
        return self.press_all([key])

    def press_all(self, keys: Sequence[str]) -> Entry:
        """Take several keys, all of them or none.

        Raises:
            Refusal: as for ``press``.

        """
        if not keys:
            return self.entry
        made = self.keys.copy()
        for key in keys:
            made.take(key)
        self._append("".join(f"{key}\n" for key in keys).encode())
        self.keys = made
        return self.entry

    def _append(self, line: bytes) -> None:
        try:
            fresh = not self.path.exists()
            if fresh:
                self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
                self._good = self._size = 0
                line = self._head() + line
            where = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600)
            try:
                self._write(where, line)
            finally:
                os.close(where)
            if fresh:
                sync_folder(self.path.parent)
        except OSError as fault:
            why = fault.strerror or "no reason given"
            raise Refusal(f"The key was not saved ({why}); nothing has changed. Mend that first.") from None

    def _write(self, where: int, line: bytes) -> None:
        if os.fstat(where).st_size != self._size:
            raise Refusal("This game is being entered in another window too; leave here and come back in.")
        if self._size != self._good:
            os.ftruncate(where, self._good)
        os.lseek(where, self._good, os.SEEK_SET)
        try:
            _write_whole(where, line)
            os.fsync(where)
        except OSError:
            os.ftruncate(where, self._good)
            self._size = self._good
            raise
        self._good += len(line)
        self._size = self._good

    def _head(self) -> bytes:
        return f"{FORMAT}\ngame {self.game.id}\nbegun {self.begun.isoformat(timespec='seconds')}\n".encode()

    def sheet(self) -> bytes:
        """Return the typed sheet of what is entered."""
        heading = Heading(self.game.date.isoformat(), self.game.opponent, self.game.venue or None)
        begun = self.begun.isoformat(timespec="seconds")
        return pad.sheet_of(self.entry, heading, begun).encode()


def open_live(desk: Desk, game: int) -> Live:
    """Return the entry of a game as far as it got; one whose film note was taken back is open again.

    Raises:
        Refusal: there is no such game, or it is still ahead.

    """
    with desk.reading() as session:
        info = queries.game(session, game)
    if info is None:
        raise Refusal(f"There is no game {game}; 'stopsheet team' lists them.")
    if info.date > desk.today:
        raise Refusal(f"The game v {info.opponent} is on {info.date.isoformat()}, still ahead; no film yet.")
    live = Live(desk, info, desk.now())
    if not live.path.exists():
        _bring_back(desk, live)
    live.load()
    return live


def sittings(desk: Desk) -> Mapping[int, Sitting]:
    """Return the entries that were begun and not finished, by game."""
    folder = desk.home / "live"
    if not folder.is_dir():
        return {}
    names = [one.stem.removeprefix("game-") for one in folder.glob("game-*.keys")]
    with desk.reading() as session:
        undone = queries.intakes(session, undone=True)
    names += [str(one.game) for one in undone if one.file.startswith("live entry")]
    found: dict[int, Sitting] = {}
    for number in sorted({int(one) for one in names if one.isdecimal()}):
        try:
            live = open_live(desk, number)
        except Refusal:
            continue
        if live.keys.pressed:
            found[number] = Sitting(live.game, live.entry)
    return found


def preview(desk: Desk, live: Live) -> Reading:
    """Return how the sheet of an entry reads; nothing is added.

    Raises:
        Refusal: nothing has been entered.

    """
    path = _written_sheet(live)
    try:
        batch = read_files(desk, [path])
    finally:
        path.unlink(missing_ok=True)
    if batch.refused:
        raise Refusal(batch.refused[0].why)
    return batch.readings[0]


def finish(desk: Desk, live: Live) -> Added:
    """Add what was entered as a film note of its game, and put the keys aside.

    Raises:
        Refusal: nothing has been entered, or it cannot be stored; the entry stays open.

    """
    path = _written_sheet(live)
    try:
        batch = add_files(desk, [path], live.game.id)
    finally:
        path.unlink(missing_ok=True)
    if batch.refused:
        raise Refusal(batch.refused[0].why)
    _put_aside(live, "added")
    return batch.added[0]


def drop(live: Live) -> Path:
    """Put an entry aside without adding it; its keys are kept in ``live/dropped``.

    Raises:
        Refusal: nothing has been entered.

    """
    if not live.path.exists():
        raise Refusal("Nothing has been entered for this game.")
    target = _put_aside(live, "dropped")
    with live.desk.writing() as session:
        payload = {"game": live.game.id, "file": target.name}
        live.desk.note(session, "entry-dropped", f"putting aside the entry of game {live.game.id}", payload)
    return target


def take_up_again(desk: Desk, payload: Mapping[str, Any]) -> None:
    """Open an entry again that was put aside.

    Raises:
        Refusal: the game has been entered anew, or the keys are no longer there.

    """
    path = _path(desk, payload["game"])
    kept = path.parent / "dropped" / payload["file"]
    if path.exists():
        raise Refusal(f"Game {payload['game']} has been entered anew; put that aside or finish it first.")
    if not kept.is_file():
        raise Refusal(f"'{kept}' is no longer there; nothing changed.")
    kept.replace(path)
    sync_folder(path.parent)


def _written_sheet(live: Live) -> Path:
    if not live.entry.trips:
        raise Refusal("Nothing has been entered yet; there is nothing to add.")
    if live.entry.hanging:
        raise Refusal(f"The last possession does not say {live.entry.hanging}; say it, or take the key back.")
    path = live.path.with_name(f"live entry game {live.game.id}.txt")
    live.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    return write_atomically(path, live.sheet(), True)


def _put_aside(live: Live, where: str) -> Path:
    folder = live.path.parent / where
    folder.mkdir(exist_ok=True, mode=0o700)
    stamp = live.begun.astimezone(dt.UTC).strftime("%Y%m%dT%H%M%SZ")
    target = folder / f"game-{live.game.id}-{stamp}.keys"
    number = 2
    while target.exists():
        target = folder / f"game-{live.game.id}-{stamp}-{number}.keys"
        number += 1
    live.path.replace(target)
    sync_folder(live.path.parent)
    return target


def _bring_back(desk: Desk, live: Live) -> None:
    """Open the newest finished entry of the game again when its film note has been taken back."""
    import hashlib

    folder = live.path.parent / "added"
    kept = sorted(folder.glob(f"game-{live.game.id}-*.keys")) if folder.is_dir() else []
    if not kept:
        return
    last = Live(desk, live.game, live.begun)
    last.path = kept[-1]
    last.load()
    if not last.entry.trips:
        return
    digest = hashlib.sha256(last.sheet()).hexdigest()
    with desk.reading() as session:
        still_in = queries.known_intake(session, digest) is not None
        was_in = any(one.digest == digest for one in queries.intakes(session, undone=True))
    if was_in and not still_in:
        kept[-1].replace(live.path)


def _write_whole(where: int, data: bytes) -> None:
    while data:
        data = data[os.write(where, data) :]


def _path(desk: Desk, game: int) -> Path:
    return desk.home / "live" / f"game-{game}.keys"


def _read(path: Path) -> bytes | None:
    try:
        if not path.exists():
            return None
        if path.stat().st_size > _MOST_BYTES:
            raise Refusal(f"'{path.name}' in the folder 'live' is too large to be an entry; move it away.")
        return path.read_bytes()
    except OSError as fault:
        raise Refusal(f"'{path}' cannot be read ({fault.strerror or 'no reason given'}).") from None


def _moment(text: str, otherwise: dt.datetime) -> dt.datetime:
    try:
        found = dt.datetime.fromisoformat(text)
    except ValueError:
        return otherwise
    return found if found.tzinfo is not None else otherwise


def sync_folder(folder: Path) -> None:
    """Make a new name in a folder last; where folders cannot be synced the system does it in its own time."""
    if os.name == "nt":
        return
    where = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(where)
    finally:
        os.close(where)
