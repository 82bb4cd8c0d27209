"""The learned weights: how spans are scored, and that they belong to the data beside them."""

from __future__ import annotations

import hashlib
import math
import tomllib
from collections import Counter

import numpy as np
import pytest

from planner.data import drill_library
from planner.film.grams import Grams
from planner.film.learned import FILE, KINDS, Head, learned, read_learned
from planner.film.signs import names
from planner.film.wording import Lexicon
from tests.film.conftest import DATA

HEAD = Head(
    {"a": 0, "b": 1, "a_b": 2},
    np.array([[1.0], [2.0], [4.0]], dtype=np.float32),
    np.array([1.0, 1.0, 2.0], dtype=np.float32),
    np.array([0.5], dtype=np.float32),
)


@pytest.mark.parametrize(
    ("start", "end", "score"),
    [
        (0, 1, 1 / 1 + 0.5),
        (0, 2, (1 + 2 + 4 * 2) / math.sqrt(1 + 1 + 4) + 0.5),
        (1, 2, 2 + 0.5),
        (2, 3, 0.5),
    ],
)
def test_scores_of_spans(start: int, end: int, score: float) -> None:
    """A span's score is that of its features brought to length one; a pair counts only inside the span."""
    spans = HEAD.spans(Grams([["a"], ["b"], ["zebra"]], [[], ["a_b"], ["b_zebra"]]))
    found = spans.scores(np.array([start]), np.array([end]))
    assert found[0, 0] == pytest.approx(score)


def test_the_shipped_weights_belong_to_the_shipped_data() -> None:
    """The weights were learned from the sentences and narrations that stand in the repository now."""
    made = hashlib.sha256()
    wording = drill_library() / "wording"
    build = DATA / "narrated" / "build"
    narrations = sorted(path for path in build.iterdir() if path.suffix != ".md")
    sentences = [*sorted(wording.glob("spoken*.toml")), *sorted((DATA / "sentences").glob("*.toml"))]
    for path in (wording / "narration.toml", *sentences, *narrations):
        made.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    assert learned().made["sha256"] == made.hexdigest(), "run: python -m tools.fit_narration"


def test_sentences_for_the_fit_are_well_formed(ids: tuple[str, ...], lexicon: Lexicon) -> None:
    """Every sentence that only the fit reads tells a known breakdown or a known way to name one, once."""
    told = [one for table in ("said", "turned") for many in lexicon.narration[table].values() for one in many]
    kinds = {*KINDS, *lexicon.narration["turned"]}
    for path in sorted((DATA / "sentences").glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        assert set(table) == {"said", "turned"}
        assert set(table["said"]) <= set(ids)
        assert set(table["turned"]) <= kinds
        told += [one for many in table.values() for sentences in many.values() for one in sentences]
    assert len(told) > 10_000
    assert [one for one, times in Counter(told).items() if times > 1] == []


def test_the_shipped_weights_are_whole_and_small(ids: tuple[str, ...], lexicon: Lexicon) -> None:
    """Every breakdown of the vocabulary and every sign has its weights, in at most a megabyte and a half."""
    made = read_learned(FILE)
    assert set(made.breakdowns) == set(ids)
    stances = sorted({one.get("stance", name) for name, one in lexicon.narration["marker"].items()})
    assert list(made.signs) == names(stances, made.breakdowns)
    assert made.weights.shape == (2, len(made.signs))
    assert made.trees.sign.max() < len(made.signs)
    assert FILE.stat().st_size < 1_500_000
