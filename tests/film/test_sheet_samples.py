"""Sheets by ten invented hands against truths written by hand, in two groups.

``build`` was read while the reader was made. ``test`` was not: its floors stand just below what the reader
scores on hands that it has never seen. A sighting is right with its possession, breakdown and players.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import pytest

from planner.film.read import read_note
from planner.film.wording import Lexicon

SHEETS = Path(__file__).resolve().parent.parent / "data" / "film" / "sheets"
Bag = Counter[tuple[int | None, str, tuple[str, ...]]]


@dataclass(frozen=True)
class Score:
    """What of one sheet was read right; ``points`` counts possessions whose points differ."""

    right: int
    read: int
    true: int
    possessions: bool
    points: int

    def __str__(self) -> str:
        return (
            f"precision {self.precision:.3f} recall {self.recall:.3f} (of {self.true})"
            f" possessions {'right' if self.possessions else 'wrong'}, points wrong {self.points}"
        )

    @property
    def precision(self) -> float:
        """Return the share of what was read that is true."""
        return self.right / max(1, self.read)

    @property
    def recall(self) -> float:
        """Return the share of what is true that was read."""
        return self.right / max(1, self.true)


def bag(rows: Iterable[tuple[int | None, str, Iterable[str], int]]) -> Bag:
    """Return sightings as a bag, one that is counted n times n times."""
    made: Bag = Counter()
    for possession, breakdown, players, count in rows:
        made[possession, breakdown, tuple(sorted(players))] += count
    return made


def score(group: str, name: str, lexicon: Lexicon) -> Score:
    file = SHEETS / group / name
    truth = json.loads((SHEETS / group / f"{file.stem}.truth.json").read_text(encoding="utf-8"))
    intake = read_note(file.name, file.read_bytes(), lexicon)
    true = bag(
        (one["possession"], one["breakdown"], one["players"], one.get("count", 1))
        for one in truth["sightings"]
    )
    read = bag((one.possession, one.breakdown, one.players, one.count) for one in intake.sightings)
    points = {str(trip.number): trip.points for trip in intake.trips}
    wrong = sum(points.get(number) != told for number, told in (truth.get("points") or {}).items())
    return Score(
        (true & read).total(),
        read.total(),
        true.total(),
        intake.possessions == truth["possessions"],
        wrong,
    )


@pytest.mark.parametrize("name", ["harbor.txt", "squint.txt", "fence.txt", "grid.csv"])
def test_build_sheets_are_read_whole(lexicon: Lexicon, name: str) -> None:
    """Keys at the top and bottom, players stuck to codes, strokes and a grid: read whole, points too."""
    made = score("build", name, lexicon)
    assert (made.right, made.read, made.points) == (made.true, made.true, 0)
    assert made.possessions


def test_words_stuck_together_are_read_but_for_one(lexicon: Lexicon) -> None:
    """``what@who`` in words without room between is read but for one player."""
    made = score("build", "halfhalf.txt", lexicon)
    assert made.possessions
    assert made.points == 0
    assert made.precision > 0.97
    assert made.recall > 0.97


@pytest.mark.parametrize(
    ("name", "precision", "recall"),
    [
        ("rambler.txt", 0.73, 0.68),
        ("thumbs.txt", 0.86, 0.88),
        ("vidclock.txt", 0.88, 0.85),
        ("byplayer.txt", 0.91, 0.92),
        ("rows.csv", 1.0, 1.0),
    ],
)
def test_hands_never_seen(lexicon: Lexicon, name: str, precision: float, recall: float) -> None:
    """Sheets by hands that the reader was not made on are read at least this well."""
    made = score("test", name, lexicon)
    sys.stdout.write(f"{name}: {made}\n")
    assert made.possessions
    assert made.precision >= precision, str(made)
    assert made.recall >= recall, str(made)


def test_ten_hands_together(lexicon: Lexicon) -> None:
    """Over all ten hands nearly everything is read, and nearly nothing that is not there."""
    scores = [
        score(group, file.name, lexicon)
        for group in ("build", "test")
        for file in sorted((SHEETS / group).iterdir())
        if file.suffix in (".txt", ".csv")
    ]
    assert len(scores) == 10
    assert sum(one.right for one in scores) >= 0.94 * sum(one.read for one in scores)
    assert sum(one.right for one in scores) >= 0.94 * sum(one.true for one in scores)
