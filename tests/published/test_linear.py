"""The linear model behind the costs, against certified least squares."""

from __future__ import annotations

import numpy as np
import pytest

from planner.need.costs import Tally, posterior

# NIST Statistical Reference Datasets, linear least squares, "Norris": ozone readings, y over x. Pairs and
# certified values from memory; the values hold only if every pair is right.
NORRIS = (
    *((0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5)),
    *((668.5, 666.3), (998.5, 996.3), (449.1, 448.6), (778.9, 777.0), (559.2, 558.2), (0.3, 0.4)),
    *((0.1, 0.6), (778.1, 775.5), (668.8, 666.9), (339.3, 338.0), (448.9, 447.5), (10.8, 11.6)),
    *((557.7, 556.0), (228.3, 228.1), (998.0, 995.8), (888.8, 887.6), (119.6, 120.2), (0.3, 0.3)),
    *((0.6, 0.3), (557.6, 556.8), (339.3, 339.1), (888.0, 887.2), (998.5, 999.0), (778.9, 779.0)),
    *((10.2, 11.1), (117.6, 118.3), (228.9, 229.2), (668.4, 669.1), (449.2, 448.9), (0.2, 0.5)),
)
INTERCEPT, SLOPE, RESIDUAL_SD = -0.262323073774029, 1.00211681802045, 0.884796396144373
INTERCEPT_SD, SLOPE_SD = 0.232818234301152, 0.429796848199937e-3


def norris() -> tuple[np.ndarray, np.ndarray, Tally]:
    y, x = (np.array(column) for column in zip(*NORRIS, strict=True))
    design = np.column_stack([np.ones_like(x), x])
    return design, y, Tally(design.T @ design, design.T @ y, float(y @ y), float(len(y)))


def test_certified_line() -> None:
    """With a prior that says nothing, mean and standard deviations are the certified ones."""
    design, y, sums = norris()
    mean, covariance = posterior(sums, np.zeros(2), np.full(2, 1e6), RESIDUAL_SD**2)
    assert mean == pytest.approx([INTERCEPT, SLOPE], rel=1e-7)
    assert np.sqrt(np.diag(covariance)) == pytest.approx([INTERCEPT_SD, SLOPE_SD], rel=1e-7)
    residual = y - design @ mean
    assert float(residual @ residual) / 34 == pytest.approx(RESIDUAL_SD**2, rel=1e-7)


def test_a_prior_is_data_seen_before() -> None:
    """A normal prior gives what least squares gives when it is written as two more weighted rows."""
    design, y, sums = norris()
    before, sd, noise = np.array([0.5, 0.9]), np.array([0.1, 0.01]), 0.8
    mean, covariance = posterior(sums, before, sd, noise)
    rows = np.vstack([design / np.sqrt(noise), np.diag(1 / sd)])
    wanted = np.linalg.lstsq(rows, np.concatenate([y / np.sqrt(noise), before / sd]), rcond=None)[0]
    assert mean == pytest.approx(wanted, rel=1e-9)
    assert covariance == pytest.approx(np.linalg.inv(rows.T @ rows), rel=1e-9)
