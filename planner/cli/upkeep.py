"""``stopsheet undo``, ``backup``, ``restore``, ``export`` and ``check``."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from planner.cli.show import say, say_json
from planner.desk import upkeep as desk_upkeep
from planner.desk.desk import open_desk
from planner.desk.undo import undo_last


def undo(_: Namespace) -> int:
    """Take back what was done last."""
    say(undo_last(open_desk()))
    return 0


def backup(arguments: Namespace) -> int:
    """Save a copy of all data."""
    saved = desk_upkeep.back_up(open_desk(), Path(arguments.to) if arguments.to else None)
    say(f"Saved to {saved}; 'stopsheet restore' brings it back.")
    return 0


def restore(arguments: Namespace) -> int:
    """Bring a saved copy back."""
    kept = desk_upkeep.restore(open_desk(), Path(arguments.file))
    say(f"Restored from {arguments.file}.")
    if kept is not None:
        say(f"What was there before is kept as {kept}; 'stopsheet restore' brings that back too.")
    return 0


def export(arguments: Namespace) -> int:
    """Write all data as plain files."""
    to = None if arguments.to == "-" else Path(arguments.to)
    where = desk_upkeep.export(open_desk(), to, anonymous=arguments.anonymous, weeks=arguments.weeks)
    if isinstance(where, Path):
        say(f"Written to {where}.")
    else:
        say_json(where)
    return 0


def check(arguments: Namespace) -> int:
    """Check database, files and library."""
    found = desk_upkeep.check(open_desk())
    if arguments.json:
        say_json(found)
    else:
        for one in found:
            say(f"! {one}")
        if not found:
            say("Database, files and drill library are sound.")
    return 1 if found else 0
