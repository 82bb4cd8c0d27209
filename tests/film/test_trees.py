"""Sums of decision trees, walked all at once."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from sklearn.ensemble import HistGradientBoostingClassifier

from planner.film.learned import learned
from planner.film.trees import Trees
from tools.fit_narration import trees_of

STUMPS = Trees(
    np.array([[0, 0, 0], [1, 0, 0]], dtype=np.int16),
    np.array([[0.5, 0, 0], [2.0, 0, 0]], dtype=np.float32),
    np.array([[1, 1, 2], [1, 1, 2]], dtype=np.int16),
    np.array([[2, 1, 2], [2, 1, 2]], dtype=np.int16),
    np.array([[0, -1, 1], [0, 10, 20]], dtype=np.float32),
    1,
    0.25,
)


@given(st.floats(-3, 3, width=32), st.floats(-3, 3, width=32))
def test_a_row_ends_in_one_leaf_of_every_tree(first: float, second: float) -> None:
    """Up to the limit one goes left, beyond it right; the leaves and the base are added."""
    expected = (-1 if first <= 0.5 else 1) + (10 if second <= 2.0 else 20) + 0.25
    assert STUMPS.odds([[first, second], [0.0, 0.0]]).tolist() == [expected, 9.25]


def test_trees_say_what_the_library_that_fits_them_says() -> None:
    """Trees taken out of scikit-learn's gradient boosting give its own log odds."""
    dice = np.random.default_rng(3)
    rows = dice.normal(size=(400, 6)).astype(np.float32)
    labels = (rows[:, 0] + rows[:, 1] * rows[:, 2] > 0.3).astype(int)
    model = HistGradientBoostingClassifier(max_iter=12, max_leaf_nodes=6, random_state=1).fit(rows, labels)
    found = trees_of(model, 0.5).odds(rows)
    np.testing.assert_allclose(found, model.decision_function(rows) + 0.5, rtol=1e-5, atol=1e-5)


def test_the_shipped_trees_end() -> None:
    """The depth that is kept reaches a leaf of every shipped tree: further steps change nothing."""
    made = learned().trees
    rows = np.random.default_rng(5).normal(scale=4, size=(300, len(learned().signs)))
    assert made.odds(rows).tolist() == made._replace(depth=made.depth + 3).odds(rows).tolist()
    assert made.odds(rows).std() > 0.1
