"""The weights learned from example sentences and annotated narrations, and the score of a span of talk.

The file ``learned.npz`` is made by ``tools/fit_narration.py``; its ``made`` entry says how and of what.
A span's features are counted, weighed by how rare they are and brought to length one; so a span's score
is a difference of two running sums, whatever its length.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.film.grams import Grams
from planner.film.grams import about as _about
from planner.film.grams import said as _said
from planner.film.phrases import Speech
from planner.film.trees import Trees

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]

FILE = Path(__file__).with_name("learned.npz")
FAULT, TAKEN_BACK, SHOWN_AGAIN, FIRST_KIND = range(4)
"""Columns of the ``said`` head: a charge of ours, words taken back, a replay, and the first of KINDS."""
KINDS = ("praise", "condition", "teaching", "theirs", "offence", "retraction", "neutral")
"""Ways to name a breakdown that is none of ours now, each with its column of the ``said`` head."""


@dataclass(frozen=True)
class Head:
    """A linear head: feature -> row, weights by row and outcome, rarity by row, and the outcomes' bias."""

    rows: dict[str, int]
    weights: Floats
    rarity: Floats
    bias: Floats

    @cached_property
    def weighed(self) -> Any:
        """Return the weights of rows, each times how rare it is."""
        import numpy as np

        return (self.weights * self.rarity[:, None]).astype(np.float64)

    @cached_property
    def squares(self) -> Any:
        """Return what each row adds to the square of a span's length."""
        import numpy as np

        return self.rarity.astype(np.float64) ** 2

    def spans(self, grams: Grams) -> Spans:
        """Return the running sums of a run of talk."""
        return Spans(self, grams)


class Spans:
    """Scores of all spans of one run of talk."""

    def __init__(self, head: Head, grams: Grams) -> None:
        self.bias = head.bias
        self.single, self.single_size = _running(head, grams.single)
        self.pair, self.pair_size = _running(head, grams.pair)
        self.first = _firsts(grams)

    def scores(self, starts: NDArray[np.intp], ends: NDArray[np.intp]) -> Floats:
        """Return a row of scores for each span; a span without any known feature scores the bias."""
        import numpy as np

        inner = np.minimum(self.first[starts], ends)
        total = self.single[ends] - self.single[starts] + self.pair[ends] - self.pair[inner]
        size = (
            self.single_size[ends] - self.single_size[starts] + self.pair_size[ends] - self.pair_size[inner]
        )
        return np.asarray(total / np.sqrt(np.maximum(size, 1.0))[:, None] + self.bias, dtype=np.float32)


def _running(head: Head, places: Sequence[Sequence[str]]) -> tuple[Any, Any]:
    import numpy as np

    known = head.rows
    rows: list[int] = []
    ends = [0]
    for many in places:
        rows += [known[one] for one in many if one in known]
        ends.append(len(rows))
    sums = np.zeros((len(rows) + 1, head.weights.shape[1]))
    np.cumsum(head.weighed[rows], axis=0, out=sums[1:])
    sizes = np.zeros(len(rows) + 1)
    np.cumsum(head.squares[rows], out=sizes[1:])
    return sums[ends], sizes[ends]


def _firsts(grams: Grams) -> NDArray[np.intp]:
    """Return for each start the place after its first word: no pair of a span ends before there."""
    import numpy as np

    firsts = np.zeros(len(grams.single) + 1, dtype=np.intp)
    firsts[-1] = after = len(grams.single)
    for at in range(len(grams.single) - 1, -1, -1):
        after = at + 1 if grams.single[at] else after
        firsts[at] = after
    return firsts


@dataclass(frozen=True)
class Learned:
    """Everything learned: what talk is about, how it is said, and how signs of both are weighed.

    ``weights`` holds what a sign weighs by itself and what it is on average, to say why one is doubtful.
    """

    breakdowns: tuple[str, ...]
    about: Head
    said: Head
    signs: tuple[str, ...]
    weights: Floats
    trees: Trees
    made: dict[str, Any] = field(default_factory=dict)

    def views(self, words: Sequence[str], speech: Speech) -> tuple[Spans, Spans]:
        """Return the (about, said) spans of a run of talk."""
        return self.about.spans(_about(words, speech)), self.said.spans(_said(words, speech))

    def reasons(self, rows: Floats) -> list[dict[str, float]]:
        """Return what each stance adds to the log odds of each row of signs."""
        stances, sums = self._stances
        parts = ((rows - self.weights[1]) * self.weights[0]) @ sums
        return [dict(zip(stances, row, strict=True)) for row in parts.tolist()]

    @cached_property
    def _stances(self) -> tuple[list[str], Any]:
        """Return the stances, and a matrix that sums signs by stance."""
        import numpy as np

        named = [name.split(" ")[-1].removeprefix(":") for name in self.signs]
        told = [" :" in name or stance in KINDS for name, stance in zip(self.signs, named, strict=True)]
        stances = sorted({stance for stance, one in zip(named, told, strict=True) if one})
        sums = np.array(
            [[one and stance == own for stance in stances] for own, one in zip(named, told, strict=True)]
        )
        return stances, sums.astype(np.float64)


@cache
def learned() -> Learned:
    """Return the shipped weights; read once."""
    return read_learned(FILE)


def read_learned(path: Path) -> Learned:
    """Return the weights of a file."""
    import numpy as np

    with np.load(path, allow_pickle=False) as file:
        made = json.loads(file["made"].tobytes().decode())
        about, said = _head(file, "about"), _head(file, "said")
        weights = file["signs"].astype(np.float32)
        sign, limit, left, right, value = (file[f"trees_{name}"] for name in Trees._fields[:5])
        trees = Trees(sign, limit, left, right, value, made["depth"], made["base"])
        return Learned(tuple(made["breakdowns"]), about, said, tuple(made["signs"]), weights, trees, made)


def _head(file: Mapping[str, Any], key: str) -> Head:
    import numpy as np

    names = file[f"{key}_names"].tobytes().decode().split("\n")
    return Head(
        {name: row for row, name in enumerate(names)},
        file[f"{key}_weights"].astype(np.float32) * file[f"{key}_scale"],
        file[f"{key}_rarity"].astype(np.float32),
        file[f"{key}_bias"].astype(np.float32),
    )
