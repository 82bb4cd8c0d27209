"""Rates drawn towards their mean, against Efron and Morris's baseball and a published worked example."""

from __future__ import annotations

import pytest

from planner.need.shrink import shrink

# Batting of 18 players, 1970: average over the first 45 at-bats, and over the rest of the season. Efron and
# Morris, J. Am. Stat. Assoc. 70, 1975; Scientific American 236(5), 1977 (read as pscl::EfronMorris).
AVERAGES = (
    *(0.400, 0.378, 0.356, 0.333, 0.311, 0.311, 0.289, 0.267, 0.244),
    *(0.244, 0.222, 0.222, 0.222, 0.222, 0.222, 0.200, 0.178, 0.156),
)
LATER = (
    *(0.346, 0.298, 0.276, 0.222, 0.273, 0.270, 0.263, 0.210, 0.269),
    *(0.230, 0.264, 0.256, 0.303, 0.264, 0.226, 0.285, 0.316, 0.200),
)

# Homicides 1979 to 1984 and person-years in 78 counties around St. Louis: columns HC7984 and PO7984 of the
# file stl_hom.csv that the documentation of PySAL's Empirical_Bayes smoother works with (read).
EVENTS = (
    *(4, 19, 3, 2, 2, 28, 61, 3, 7, 3, 4, 0, 1, 12, 0, 2, 6, 6, 3, 4, 0, 2, 9, 2, 23, 5, 2, 2, 0, 2, 10, 4),
    *(95, 8, 31, 0, 407, 5, 10, 1238, 3, 14, 0, 2, 18, 369, 5, 0, 3, 0, 40, 9, 7, 1, 3, 2, 8, 5, 11, 12),
    *(8, 10, 2, 8, 7, 25, 6, 19, 6, 2, 2, 6, 9, 0, 1, 13, 3, 4),
)
AT_RISK = (
    *(189087, 425580, 69649, 88540, 33697, 774843, 1056438, 172182, 224033, 113497, 218510, 87628, 36354),
    *(316661, 53222, 141872, 103469, 193449, 295848, 99013, 34772, 65947, 155266, 123387, 612258, 135365),
    *(133297, 186877, 68404, 68779, 192789, 96686, 1480530, 92864, 905683, 93388, 5863876, 109086, 265200),
    *(2658090, 199528, 347829, 79838, 72381, 432159, 1605518, 110883, 48352, 121762, 92348, 891502, 225007),
    *(113880, 46260, 108510, 55620, 213680, 131792, 109953, 108864, 205880, 260154, 90841, 255875, 253540),
    *(372227, 100389, 345641, 87410, 66694, 64680, 127071, 107508, 43056, 61456, 353841, 47507, 68218),
)
# As printed in that documentation (read).
PRINTED = (
    *(2.36718950e-05, 4.54539167e-05, 4.78114019e-05, 2.76907146e-05, 6.58989323e-05),
    *(3.66494122e-05, 5.79952721e-05, 2.03064590e-05, 3.31152999e-05, 3.02748380e-05),
)


def baseball() -> tuple[float, list[float]]:
    """Return grand mean and the averages drawn in, chance variance m (1 - m) / 45 at the grand mean."""
    mean = sum(AVERAGES) / 18
    found = shrink([45 * one for one in AVERAGES], [45.0] * 18, unit_variance=mean * (1 - mean))
    return found.mean, list(found.rates)


def test_baseball_factor() -> None:
    """The factor 1 - 15 s2 / S is .212 (printed; 0.212391 computed) around a mean of .265."""
    mean, drawn = baseball()
    assert mean == pytest.approx(0.265389, abs=5e-7)
    for before, after in zip(AVERAGES, drawn, strict=True):
        assert (after - mean) / (before - mean) == pytest.approx(0.212391, abs=5e-7)


def test_baseball_players() -> None:
    """The first man's .400 becomes .294, the last man's .156 becomes .242 (printed)."""
    _, drawn = baseball()
    assert (round(drawn[0], 3), round(drawn[-1], 3)) == (0.294, 0.242)


def test_baseball_foretells_better() -> None:
    """Drawn in, the averages miss the season by 0.0213 instead of 0.0754, 3.5 times less (from memory)."""
    _, drawn = baseball()
    raw, shrunk = (
        sum((guess - true) ** 2 for guess, true in zip(guesses, LATER, strict=True))
        for guesses in (AVERAGES, drawn)
    )
    assert (raw, shrunk) == (pytest.approx(0.07537, abs=2e-4), pytest.approx(0.02131, abs=2e-4))
    assert raw / shrunk == pytest.approx(3.5, abs=0.1)


def test_counts_over_unequal_exposures() -> None:
    """With nothing lost to the mean it is Marshall's estimator: ten rates as printed by PySAL."""
    assert (len(EVENTS), sum(EVENTS), sum(AT_RISK)) == (78, 2668, 26063770)
    found = shrink(EVENTS, AT_RISK, lost=0)
    assert found.rates[:10] == pytest.approx(PRINTED, rel=5e-9)
