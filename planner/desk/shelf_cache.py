"""What was read from drill files, kept as JSON: TOML takes ten times as long to read.

The cache is a convenience. It is keyed by what the files hold and by the program's version, private to its
owner, and ignored where it cannot be read or does not fit.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner import __version__
from planner.drills.card import Drill, Fault, Minutes, Scoring
from planner.drills.library import Shelf
from planner.drills.vocabulary import Breakdown, Principle, Stage, Vocabulary
from planner.problem import Problem, Refusal

if TYPE_CHECKING:
    from planner.desk.library import Text

FORM = 1
"""Counts changes of the cache's own form."""

Kept = tuple[Vocabulary, list[Problem], Shelf]


def key_of(files: Iterable[Text]) -> str:
    """Return the key of these files as they lie, for this version of the program."""
    digest = hashlib.sha256(f"{__version__} {FORM}".encode())
    for one in files:
        digest.update(f"\0{one.name}\0{len(one.raw)}\0".encode("utf-8", "surrogateescape"))
        digest.update(one.raw)
    return digest.hexdigest()


def fetch(folder: Path | None, name: str, key: str) -> Kept | None:
    """Return what was kept under this key; None where there is none or it cannot be used."""
    if folder is None:
        return None
    try:
        table = json.loads((folder / f"{name}.json").read_bytes())
        if table["key"] != key:
            return None
        return _unpacked(table)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def keep(folder: Path | None, name: str, key: str, what: Kept) -> None:
    """Keep what was read; where that is not possible nothing is kept and nobody is told.

    Only the cache folder itself is made: looking at drills does not set up a data folder.
    """
    if folder is None:
        return
    from planner.paper.files import write_atomically

    try:
        data = json.dumps({"key": key, **_packed(what)}, separators=(",", ":")).encode()
        folder.mkdir(exist_ok=True, mode=0o700)
        write_atomically(folder / f"{name}.json", data, overwrite=True)
    except (OSError, ValueError, TypeError, RecursionError, Refusal):
        return


def _packed(what: Kept) -> dict[str, Any]:
    vocabulary, faults, shelf = what
    return {
        "principles": [asdict(one) for one in vocabulary.principles],
        "breakdowns": [asdict(one) for one in vocabulary.breakdowns],
        "faults": [asdict(one) for one in faults],
        "drills": [asdict(one) for one in shelf.drills.values()],
        "rows": {one: list(rows) for one, rows in shelf.rows.items()},
        "problems": [asdict(one) for one in shelf.problems],
    }


def _unpacked(table: Mapping[str, Any]) -> Kept:
    vocabulary = Vocabulary(
        tuple(Principle(**one) for one in table["principles"]),
        tuple(Breakdown(**one) for one in table["breakdowns"]),
    )
    drills = [_drill(one) for one in table["drills"]]
    rows = {one: tuple(found) for one, found in table["rows"].items()}
    problems = tuple(Problem(**one) for one in table["problems"])
    shelf = Shelf({one.id: one for one in drills}, rows, problems)
    return vocabulary, [Problem(**one) for one in table["faults"]], shelf


def _drill(one: dict[str, Any]) -> Drill:
    scoring = one["scoring"]
    lists = ("equipment", "cues", "easier", "harder", "cautions")
    return Drill(
        **{
            **one,
            **{key: tuple(one[key]) for key in lists},
            "stage": Stage(one["stage"]) if one["stage"] else None,
            "minutes": Minutes(**one["minutes"]),
            "faults": tuple(Fault(**fault) for fault in one["faults"]),
            "scoring": Scoring(**scoring) if scoring else None,
        }
    )
