"""The demo: an invented season in a folder of its own, from film notes to tomorrow's paper."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

from planner import data
from planner.desk.desk import Desk
from planner.desk.practice import Built, build_plan
from planner.desk.printing import PrintedFile, default_path, print_plan
from planner.desk.seed import plant, read_seed, tomorrow
from planner.paper.files import write_atomically
from planner.problem import Refusal

MARK = "demo-season.txt"
"""The file by which a folder is known as the demo's own."""


@dataclass(frozen=True, slots=True)
class Demo:
    """What the demo made."""

    desk: Desk
    built: Built
    printed: PrintedFile
    text: Path


def run_demo(desk: Desk, folder: Path | None = None) -> Demo:
    """Make the demo season anew, build tomorrow's practice and print it.

    Raises:
        Refusal: the folder holds something that the demo did not make.

    """
    home = folder.expanduser().absolute() if folder else desk.home.parent / f"{desk.home.name}-demo"
    _clear(home)
    own = Desk(home, desk.today, desk.now)
    home.mkdir(parents=True, exist_ok=True, mode=0o700)
    write_atomically(home / MARK, b"The invented demo season of stopsheet; safe to delete.\n", overwrite=True)
    seed = read_seed(data.seeds(), desk.today)
    plant(own, seed)
    built = build_plan(own, tomorrow(seed, desk.today))
    printed = print_plan(own, built.plan, overwrite=True)
    text = default_path(own, built.plan).with_suffix(".txt")
    print_plan(own, built.plan, text, overwrite=True)
    return Demo(own, built, printed, text)


def _clear(home: Path) -> None:
    """Empty an earlier demo's folder; leave anything else alone."""
    if not home.exists():
        return
    if not home.is_dir() or (any(home.iterdir()) and not (home / MARK).is_file()):
        raise Refusal(f"'{home}' holds something else; name another folder with --folder.")
    for one in home.iterdir():
        shutil.rmtree(one) if one.is_dir() and not one.is_symlink() else one.unlink()
