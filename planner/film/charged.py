"""Which of our players a breakdown told over film is charged to.

Clues are weighed: where a player is named, what stands beside him and between him and the telling, what else
is told of him. The weights (``charged.toml``) are made by ``tools/fit_charged.py``.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from planner.film.clues import clues
from planner.film.talk import Talk
from planner.film.telling import Telling

FILE = Path(__file__).with_name("charged.toml")


@cache
def weights() -> dict[str, float]:
    """Return what each clue weighs, as log odds."""
    return {clue: float(weight) for clue, weight in tomllib.loads(FILE.read_text("utf-8"))["clue"].items()}


def charged(talk: Talk, told: Telling) -> tuple[str, ...]:
    """Return the jerseys a telling is charged to: of all named near it and nobody, the likeliest."""
    weigh = weights()
    every = [(sum(weigh.get(clue, 0.0) for clue in found), who) for who, found in clues(talk, told)]
    return max(every, key=lambda one: one[0])[1]
