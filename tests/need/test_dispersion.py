"""How much wider an interval gets where games differ by more than chance."""

from __future__ import annotations

import numpy as np
import pytest

from planner.need.dispersion import dispersion, widening


def test_widening_is_the_index() -> None:
    """A column that swings beyond chance is widened by its index, the others not at all."""
    counts = np.array([[0, 5, 0], [15, 6, 0], [0, 4, 0], [15, 5, 0], [0, 6, 1]], dtype=float)
    factor, flagged = widening(counts, np.full((5, 3), 60.0))
    assert flagged.tolist() == [True, False, False]
    assert factor.tolist() == pytest.approx([dispersion(counts[:, 0]).index, 1.0, 1.0])
    assert factor[0] > 10


def test_exposure_explains_counts() -> None:
    """Twice the possessions and twice the count is no swing."""
    assert dispersion([4, 8, 16], [40, 80, 160]).index == pytest.approx(0.0, abs=1e-12)


def test_too_little_to_tell() -> None:
    """Three games, or hardly a sighting a game, are never flagged; one game has index 1."""
    few = np.array([[0.0], [20.0], [0.0]])
    rare = np.array([[0.0], [0.0], [0.0], [3.0], [0.0]])
    assert not widening(few, np.full((3, 1), 60.0))[1].any()
    assert not widening(rare, np.full((5, 1), 60.0))[1].any()
    assert (dispersion([7]).index, dispersion([7]).p) == (1.0, 1.0)
