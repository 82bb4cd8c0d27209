"""``stopsheet drills new``, ``copy``, ``edit``, ``remove`` and ``restore``: the team's own drills."""

from __future__ import annotations

import os
from argparse import Namespace

from planner.cli.show import say
from planner.desk import own_drills
from planner.desk.desk import open_desk
from planner.drills.vocabulary import Stage
from planner.text import plural


def new(arguments: Namespace) -> int:
    """Begin a drill of the team's own."""
    stage = Stage(arguments.stage) if arguments.stage else None
    path = own_drills.new_drill(open_desk(), arguments.drill, arguments.title, arguments.principle, stage)
    say(f"Begun: {path}")
    say(f"It is left out until it is complete; fill it in with 'stopsheet drills edit {path.stem}'.")
    return _undo(path.stem)


def copy(arguments: Namespace) -> int:
    """Make a drill the team's own."""
    path = own_drills.copy_drill(open_desk(), arguments.drill, arguments.new)
    say(f"Copied to {path}")
    if path.stem == arguments.drill:
        say("For your team it now stands for the shipped drill, even when the library is updated.")
    say(f"Change it with 'stopsheet drills edit {path.stem}'.")
    return _undo(path.stem)


def _undo(drill: str) -> int:
    say(f"Undo with: stopsheet drills remove {drill}")
    return 0


def edit(arguments: Namespace) -> int:
    """Open a drill in the editor and say what is wrong with it afterwards."""
    done = own_drills.edit_drill(open_desk(), arguments.drill, os.environ)
    if not done.changed:
        say("Nothing was changed.")
    elif done.copied:
        say(f"Copied from the library and changed: {done.path}")
        _undo(done.path.stem)
    else:
        say(f"Changed: {done.path}")
        say(f"Undo with: stopsheet drills restore {done.path.stem}")
    for one in done.problems:
        say(f"! {one}")
    if done.problems:
        say(f"{plural(len(done.problems), 'thing')} to put right; until then the file is left alone.")
    return 1 if done.problems else 0


def remove(arguments: Namespace) -> int:
    """Move a drill of the team's own to the trash folder."""
    say(own_drills.remove_drill(open_desk(), arguments.drill))
    say(f"Undo with: stopsheet drills restore {arguments.drill}")
    return 0


def restore(arguments: Namespace) -> int:
    """Bring a drill back from the trash folder."""
    say(own_drills.restore_drill(open_desk(), arguments.drill))
    return 0
