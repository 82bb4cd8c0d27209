"""Keeping the data safe: copies, bringing them back, plain export, a look at its health."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.store import backup as copies
from planner.text import clean_line


def back_up(desk: Desk, folder: Path | None = None) -> Path:
    """Save a copy of the database; works while the app is open."""
    with desk.reading():
        pass
    return copies.back_up(desk.store, folder or desk.store.backups, desk.now())


def restore(desk: Desk, source: Path) -> Path | None:
    """Verify a copy and put it in place; returns where the replaced data are kept."""
    from planner.store.engine import database_path

    database_path(desk.database or desk.home)
    shown = clean_line(str(source), 120)
    try:
        there = source.is_file()
    except OSError as fault:
        raise Refusal(f"'{shown}' cannot be read: {fault.strerror or 'unreadable'}.") from None
    if not there:
        kind = "a folder" if source.is_dir() else "not there"
        raise Refusal(f"'{shown}' is {kind}; name a file that 'backup' made.")
    desk.close()
    return copies.restore(source, desk.database or desk.home, desk.now())


def export(desk: Desk, to: Path | None) -> Path | dict[str, Any]:
    """Return all data as plain values, or write them as JSON to a file."""
    with desk.reading():
        pass
    everything = copies.dump(desk.store)
    if to is None:
        return everything
    from planner.paper.files import MADE_BY, write_atomically

    text = json.dumps({"made": MADE_BY, "tables": everything}, indent=1, ensure_ascii=False)
    return write_atomically(to, f"{text}\n".encode(), False)


def check(desk: Desk) -> list[str]:
    """Return what is wrong with the database and the drill library; empty when both are sound."""
    found = [str(one) for one in desk.library.problems]
    if desk.has_team() and not desk.store.shared:
        found += copies.verify(desk.store.path).problems
    return found
