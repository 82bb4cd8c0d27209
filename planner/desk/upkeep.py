"""Keeping the data safe: copies, bringing them back, plain export, a look at its health."""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from planner.desk import copies
from planner.desk.desk import Desk
from planner.desk.own_data import leftovers, own_data
from planner.problem import Refusal
from planner.text import clean_line, plural


def back_up(desk: Desk, folder: Path | None = None) -> Path:
    """Save a copy of the database and the team's own files as one zip; works while the app is open."""
    with desk.reading():
        pass
    return copies.save_copy(desk, folder or copies.backups(desk), copies.stamped("stopsheet", desk.now()))


def restore(desk: Desk, source: Path) -> Path | None:
    """Verify a copy or an export and put it in place; returns where the replaced data are kept.

    Raises:
        Refusal: it is none, damaged, or of a newer program; what stood still stands.

    """
    from planner.desk.bringing_back import bring_back
    from planner.desk.exporting import DATA
    from planner.store.engine import database_path

    database_path(desk.database or desk.home)
    shown = clean_line(str(source), 120)
    try:
        there = source.is_file() or (source / DATA).is_file()
        folder = source.is_dir()
    except OSError as fault:
        raise Refusal(f"'{shown}' cannot be read: {fault.strerror or 'unreadable'}.") from None
    if not there:
        kind = "a folder" if folder else "not there"
        raise Refusal(f"'{shown}' is {kind}; name a file that 'backup' made.")
    return bring_back(desk, source)


def export(desk: Desk, to: Path | None, *, anonymous: bool = False, weeks: int = 0) -> Path | dict[str, Any]:
    """Return all data as plain values, or write them to a ``.json`` or ``.zip`` file or a new folder.

    ``anonymous`` leaves out every name and text and moves the dates by ``weeks``.

    Raises:
        Refusal: there is nothing to write, or it cannot be written there.

    """
    from planner.desk import exporting

    with desk.reading():
        pass
    if weeks and not anonymous:
        raise Refusal("Dates are moved in an anonymous export alone; add --anonymous.")
    found = exporting.everything(desk)
    if anonymous:
        from planner.desk.anonymous import without_names

        found = without_names(desk, found, weeks)
    return found.as_json(alone=True) if to is None else exporting.write(desk, found, to)


def check(desk: Desk) -> list[str]:
    """Return what is wrong with database, files and drill library; empty when all is sound.

    What interrupted writing left behind an hour or more ago is cleared away on the way.
    """
    from planner.store.soundness import faults_in

    found = [str(one) for one in desk.library.problems]
    if desk.has_team() and not desk.store.shared:
        found += faults_in(copies.backup_path(desk))
        found += _files(desk)
        found += _open_to_others(desk)
    _clear(desk)
    return found


def _files(desk: Desk) -> Iterator[str]:
    """Look through the files beside the database: can each be read, and does what it is about exist."""
    from planner.desk.floor_file import running
    from planner.desk.watching import open_live
    from planner.store import queries

    try:
        own_data(desk.home)
        run = running(desk)
    except Refusal as refusal:
        yield str(refusal)
        return
    with desk.reading() as session:
        games = {one.id for one in queries.games(session)}
        if run is not None and queries.practice(session, run.practice) is None:
            yield f"the practice that is running ({run.date.isoformat()}) is not in the database"
    for path in sorted((desk.home / "live").glob("game-*.keys")):
        number = path.stem.removeprefix("game-")
        if not number.isdecimal() or int(number) not in games:
            yield f"'{clean_line(path.name, 60)}' is entered for a game that is not in the database"
            continue
        with contextlib.suppress(Refusal):
            yield from open_live(desk, int(number)).problems


def _open_to_others(desk: Desk) -> Iterator[str]:
    """Tell of the first few files that other users of this machine could read."""
    if os.name == "nt" or desk.home.stat().st_mode & 0o077 == 0:
        return
    seen = [one for one in sorted(desk.home.rglob("*")) if _is_open(one)]
    if seen:
        more = f" and {plural(len(seen) - 1, 'more file')}" if len(seen) > 1 else ""
        shown = clean_line(str(seen[0]), 200)
        yield f"'{shown}'{more} can be read by others here; chmod 700 '{desk.home}' closes the folder"


def _is_open(path: Path) -> bool:
    kind = path.lstat().st_mode
    return stat.S_ISREG(kind) and bool(kind & 0o077)


def _clear(desk: Desk) -> None:
    for one in leftovers(desk.home, desk.now()):
        if one.is_dir() and not one.is_symlink():
            shutil.rmtree(one, ignore_errors=True)
        else:
            with contextlib.suppress(OSError):
                one.unlink()
