"""How near a team lies to the usual numbers, told by its own film.

The library's rates and costs are believed with a certain firmness before any film. A team whose thirty-odd
breakdowns all lie near the usual ones deserves a firmer belief, since what still differs is then mostly
chance. Firmness is doubled as often as the film makes likelier; each doubling must double the likelihood to
be taken, so that a belief grows firm on evidence alone. It is never made looser than the settings say.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from numpy.typing import NDArray

FIRMER = (1.0, 2.0, 4.0, 8.0, 16.0)
"""By how much the variance of the belief may be divided."""


def rate_firmness(
    shape: NDArray[Any], weight: NDArray[Any], counts: NDArray[Any], exposures: NDArray[Any]
) -> float:
    """Return the factor of ``FIRMER`` for gamma beliefs, one per breakdown, from all film together.

    Counts over exposures are negative binomial under Gamma(k shape, k weight); the k of the largest marginal
    likelihood over k wins (ties go to the smallest).
    """
    import numpy as np
    from scipy.special import gammaln, xlogy

    told = []
    for factor in FIRMER:
        firm, heavy = shape * factor, weight * factor
        terms = gammaln(firm + counts) - gammaln(firm) - firm * np.log1p(exposures / heavy)
        told.append(float((terms + xlogy(counts, exposures / (heavy + exposures))).sum()) - np.log(factor))
    return FIRMER[int(np.argmax(told))]


def cost_firmness(
    gram: NDArray[Any], moment: NDArray[Any], before: NDArray[Any], sd: NDArray[Any], noise: float
) -> float:
    """Return the factor of ``FIRMER`` for the normal beliefs about costs (entry 0, the base, stays as it is).

    ``gram`` and ``moment`` are X'X and X'y of the possessions with points. The marginal likelihood of y is
    normal about X before; the factor of the largest one over the factor wins (ties go to the smallest).
    """
    import numpy as np

    told = []
    for factor in FIRMER:
        wide = np.concatenate([sd[:1], sd[1:] / np.sqrt(factor)])
        inner = np.eye(len(wide)) + wide[:, None] * gram * wide[None, :] / noise
        pull = wide * (moment - gram @ before) / noise
        fit = float(pull @ np.linalg.solve(inner, pull))
        told.append(0.5 * (fit - float(np.linalg.slogdet(inner)[1])) - np.log(factor))
    return FIRMER[int(np.argmax(told))]
