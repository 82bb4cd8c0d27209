"""Bringing a copy back so that a power cut on the way leaves the old state or the new, never half of each.

What is to come is put together and verified in a folder of its own, then that folder gets the name
``restoring``: from there on the restore is decided, and whoever opens the data folder next carries it out to
the end, however often it is cut short.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from planner.desk import copies
from planner.desk.own_data import put_own_data
from planner.paper.files import write_atomically
from planner.problem import Refusal
from planner.store import backup
from planner.store.engine import make_private_file
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.desk.desk import Desk

READY = "restoring"
_PREPARING, _OVER = "restoring.new.part", "restoring.old.part"
_LOCK = "restoring.lock"


def bring_back(desk: Desk, source: Path) -> Path | None:
    """Verify a copy or an export, keep what stands, and put it in place; return where the old is kept.

    Raises:
        Refusal: it is not sound, not ours, of a newer program, or something cannot be read or written; what
            stood still stands.

    """
    shown = f"'{clean_line(str(source), 120)}'"
    desk.close()
    path = copies.backup_path(desk)
    with backup.in_words_for(source):
        if path.exists() and source.is_file() and path.samefile(source):
            raise Refusal(f"{shown} is the store itself; name a backup.")
    with backup.in_words_for(desk.home):
        desk.home.mkdir(mode=0o700, parents=True, exist_ok=True)
    preparing = desk.home / _PREPARING
    with _alone(desk.home):
        try:
            _prepare(source, preparing, shown)
            kept = _keep(desk, path)
            with backup.in_words_for(desk.home):
                preparing.replace(desk.home / READY)
        finally:
            shutil.rmtree(preparing, ignore_errors=True)
        _carry_out(desk.home, path)
    return kept


def finish(desk: Desk) -> None:
    """Carry out a restore that was decided and cut short.

    Raises:
        Refusal: it still cannot be; it is tried again at the next start.

    """
    with _alone(desk.home):
        if (desk.home / READY).is_dir():
            _carry_out(desk.home, copies.backup_path(desk))


def _carry_out(home: Path, path: Path) -> None:
    ready, over = home / READY, home / _OVER
    backup.take_over(ready / copies.DATABASE, path)
    own = ready / copies.OWN
    with backup.in_words_for(home):
        if own.is_dir():
            put_own_data(home, _files(own))
        shutil.rmtree(over, ignore_errors=True)
        ready.replace(over)
    shutil.rmtree(over, ignore_errors=True)


def _files(folder: Path) -> dict[str, bytes]:
    return {
        one.relative_to(folder).as_posix(): one.read_bytes()
        for one in sorted(folder.rglob("*"))
        if one.is_file()
    }


def _keep(desk: Desk, path: Path) -> Path | None:
    if not path.is_file() or path.stat().st_size == 0:
        return None
    damaged = backup.keep_damaged(path, desk.now())
    if damaged is not None:
        return damaged
    folder = copies.backups(desk)
    kept = copies.save_copy(desk, folder, copies.stamped(copies.BEFORE_RESTORE, desk.now()))
    backup.rotate(folder, copies.BEFORE_RESTORE, backup.copies_kept(path))
    return kept


def _prepare(source: Path, folder: Path, shown: str) -> None:
    """Put together what is to come, and verify it; ``own`` stays away where the source has no such files."""
    from planner.desk import exporting

    with backup.in_words_for(folder):
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(mode=0o700)
    target = folder / copies.DATABASE
    own: dict[str, bytes] | None
    if exporting.is_export(source):
        own = exporting.read_into(source, target, shown)
    elif _starts(source, b"PK"):
        form, members = copies.unzipped(source, shown)
        if form != copies.FORMAT or copies.DATABASE not in members:
            raise Refusal(f"{shown} cannot be restored: it is of a newer stopsheet; update this program.")
        own = copies.own_members(members, shown)
        write_atomically(target, members[copies.DATABASE], overwrite=True)
    else:
        own = None
        backup.check_restorable(source, shown)
        backup.take_over(source, target)
    backup.check_restorable(target, shown)
    if own is not None:
        with backup.in_words_for(folder):
            (folder / copies.OWN).mkdir(mode=0o700)
        put_own_data(folder / copies.OWN, own)


def _starts(path: Path, with_: bytes) -> bool:
    with backup.in_words_for(path), path.open("rb") as file:
        return file.read(len(with_)) == with_


@contextmanager
def _alone(home: Path) -> Iterator[None]:
    """Keep other programs out of a restore; a lock of SQLite's goes with the program that holds it."""
    lock = home / _LOCK
    with backup.in_words_for(lock):
        make_private_file(lock)
        connection = backup.open_file(lock, "rw")
    with closing(connection):
        with backup.in_words_for(lock):
            connection.execute("BEGIN EXCLUSIVE")
        yield
