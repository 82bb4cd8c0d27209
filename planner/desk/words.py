"""The words of the trade without the drill cards: what most verbs need, and far quicker to read."""

from __future__ import annotations

from planner import data
from planner.desk.desk import Desk
from planner.drills.vocabulary import Vocabulary
from planner.need.coverage import FILE, Coverage, read_coverages


def vocabulary(desk: Desk) -> Vocabulary:
    """Return principles and breakdowns; the whole library's where it is open already."""
    if "library" in desk.__dict__:
        return desk.library.vocabulary
    from planner.drills.library import read_vocabulary

    root = data.drill_library()
    texts = [(root / name).read_text("utf-8") for name in ("principles.toml", "breakdowns.toml")]
    return read_vocabulary(*texts)[0]


def coverages(desk: Desk) -> tuple[Coverage, ...]:
    """Return the coverages a team can choose from."""
    return read_coverages((data.drill_library() / FILE).read_text("utf-8"), vocabulary(desk))[0]
