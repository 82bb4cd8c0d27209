"""From watched games to the need of every principle, in points per 100 defensive possessions.

Need of a principle = sum over its breakdowns of share x rate x cost, x emphasis x exposure. Intervals come
from joint draws of rates and costs with a fixed seed, so that the same film gives the same numbers.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from planner.drills.vocabulary import Vocabulary
from planner.need.costs import Costs, estimate_costs, tally
from planner.need.estimate import BreakdownEstimate, Needs, PrincipleNeed, WatchedGame
from planner.need.film import Film, gather
from planner.need.followed import followed
from planner.need.rates import Rates, estimate_rates
from planner.need.sentences import Moved, breakdown_sentence, principle_sentence, trend_sentence
from planner.need.settings import TAIL, Z90, NeedSettings
from planner.need.trend import trend
from planner.text import listed, plural

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Picture:
    """Film with the rates and costs read off it."""

    film: Film
    rates: Rates
    costs: Costs


def assess(
    games: Sequence[WatchedGame],
    vocabulary: Vocabulary,
    as_of: dt.date,
    settings: NeedSettings | None = None,
) -> Needs:
    """Return what the defence needs as of a date; later games are not looked at.

    Every principle is listed, also one whose breakdowns are all switched off (need 0).
    """
    settings = settings or NeedSettings()
    picture = look(games, vocabulary, as_of, settings)
    breakdowns = _breakdowns(picture, vocabulary, settings)
    principles = _principles(picture, vocabulary, settings)
    return Needs(
        as_of=as_of,
        possessions=picture.film.possessions,
        games=len(picture.film.games),
        principles=tuple(sorted(principles, key=lambda one: -one.points_per_100)),
        breakdowns=tuple(sorted(breakdowns, key=lambda one: -one.points_per_100)),
        notes=_notes(picture, vocabulary, settings),
        blame=settings.blame,
        followed=followed(picture.film.games, settings.off),
    )


def look(
    games: Sequence[WatchedGame], vocabulary: Vocabulary, as_of: dt.date, settings: NeedSettings
) -> Picture:
    """Return film, rates and costs."""
    film = gather(games, vocabulary, as_of, settings)
    costs = estimate_costs(tally(film, settings), vocabulary, settings)
    return Picture(film, estimate_rates(film, vocabulary, settings), costs)


def principle_shares(vocabulary: Vocabulary, off: frozenset[str]) -> NDArray[Any]:
    """Return breakdowns x principles; a switched-off breakdown's row is 0."""
    import numpy as np

    at = {one.id: column for column, one in enumerate(vocabulary.principles)}
    shares = np.zeros((len(vocabulary.breakdowns), len(at)))
    for row, one in enumerate(vocabulary.breakdowns):
        if one.id not in off:
            for principle, share in one.shares.items():
                shares[row, at[principle]] = share
    return shares


def interval(
    rates: Rates, costs: Costs, shares: NDArray[Any], settings: NeedSettings
) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return 90 % limits per principle, points per 100 possessions, before emphasis and exposure."""
    import numpy as np

    dice = np.random.default_rng(settings.seed)
    drawn_costs = (
        dice.standard_normal((settings.draws, len(costs.mean))) @ np.linalg.cholesky(costs.covariance).T
    )
    drawn_costs = np.maximum(costs.mean[1:] + drawn_costs[:, 1:], 0.0)
    drawn_rates = dice.standard_gamma(rates.spread_shape, (settings.draws, len(rates.mean)))
    lost = 100.0 * (drawn_rates / rates.spread_weight * drawn_costs) @ shares
    low, high = np.quantile(lost, (TAIL, 1.0 - TAIL), axis=0)
    return low, high


def _breakdowns(picture: Picture, vocabulary: Vocabulary, settings: NeedSettings) -> list[BreakdownEstimate]:
    film, rates, costs = picture.film, picture.rates, picture.costs
    low, high = rates.limits()
    cost_low, cost_high = costs.limits()
    found = []
    for at, one in enumerate(vocabulary.breakdowns):
        if one.id in settings.off:
            continue
        made = BreakdownEstimate(
            breakdown=one.id,
            count=int(film.counts[:, at].sum()),
            rate_per_100=100.0 * float(rates.mean[at]),
            low=100.0 * float(low[at]),
            high=100.0 * float(high[at]),
            cost=float(costs.reported[at]),
            cost_low=float(cost_low[at]),
            cost_high=float(cost_high[at]),
            film_share=float(rates.film_share[at]),
            cost_film_share=float(costs.film_share[at + 1]),
            prior=rates.prior,
            overdispersed=bool(rates.overdispersed[at]),
            recent=_recent(film, at, settings.recent_games),
        )
        said = breakdown_sentence(one.title, made, len(film.games))
        found.append(replace(made, sentence=said, trend=_trend(film, at)))
    return found


def _recent(film: Film, at: int, last: int) -> tuple[float, ...]:
    pairs = zip(film.counts[-last:, at], film.exposure[-last:, at], strict=True)
    return tuple(100.0 * float(count) / float(over) for count, over in pairs if over > 0)


def _trend(film: Film, at: int) -> str:
    return _moved(film.counts[:, at], film.exposure[:, at])


def _moved(counts: NDArray[Any], exposure: NDArray[Any]) -> str:
    found = trend(counts, exposure)
    if found is None:
        return ""
    last, test = found
    return trend_sentence(Moved(last, 100.0 * test.first, 100.0 * test.second, test.p))


def _seen_lately(film: Film, shares: NDArray[Any], last: int) -> list[tuple[float, ...]]:
    """Return per principle the share-weighted rate per 100 in each of the last games, oldest first."""
    import numpy as np

    counts, over = film.counts[-last:], film.exposure[-last:]
    rates = np.where(over > 0, counts / np.where(over > 0, over, 1.0), 0.0)
    return [tuple(float(one) for one in column) for column in (100.0 * rates @ shares).T]


def _all_that_feed(film: Film, shares: NDArray[Any], at: int) -> str:
    """Return how all breakdowns of a principle together have moved, possessions being the exposure."""
    import numpy as np

    possessions = np.array([one.possessions for one in film.games], dtype=float)
    return _moved(film.counts @ (shares[:, at] > 0), possessions)


def _principles(picture: Picture, vocabulary: Vocabulary, settings: NeedSettings) -> list[PrincipleNeed]:
    shares = principle_shares(vocabulary, settings.off)
    rates, costs = picture.rates.mean, picture.costs.reported
    low, high = interval(picture.rates, picture.costs, shares, settings)
    lost = 100.0 * (rates * costs)[:, None] * shares
    seen = 100.0 * rates @ shares
    told = picture.rates.film_share @ lost
    told_costs = picture.costs.film_share[1:] @ lost
    lately = _seen_lately(picture.film, shares, settings.recent_games)
    found = []
    for at, one in enumerate(vocabulary.principles):
        emphasis, exposure = settings.emphasis.get(one.id, 1.0), settings.exposure.get(one.id, 1.0)
        need = float(lost[:, at].sum())
        found.append(
            PrincipleNeed(
                principle=one.id,
                points_per_100=need * emphasis * exposure,
                low=min(float(low[at]), need) * emphasis * exposure,
                high=max(float(high[at]), need) * emphasis * exposure,
                rate_per_100=float(seen[at]),
                cost=need / float(seen[at]) if seen[at] > 0 else 0.0,
                share=0.0,
                emphasis=emphasis,
                exposure=exposure,
                carry_over_minutes=settings.carried.get(one.id, 0.0),
                film_share=float(told[at]) / need if need > 0 else 0.0,
                cost_film_share=float(told_costs[at]) / need if need > 0 else 0.0,
                recent=lately[at],
                trend=_all_that_feed(picture.film, shares, at),
            )
        )
    return _said(found, lost, shares, vocabulary)


def _said(
    found: list[PrincipleNeed], lost: NDArray[Any], shares: NDArray[Any], vocabulary: Vocabulary
) -> list[PrincipleNeed]:
    """Add each principle's share of the whole and its sentence."""
    total = sum(one.points_per_100 for one in found)
    said = []
    for at, (need, principle) in enumerate(zip(found, vocabulary.principles, strict=True)):
        most = vocabulary.breakdowns[int(lost[:, at].argmax())].title if shares[:, at].any() else None
        shared = replace(need, share=need.points_per_100 / total if total > 0 else 0.0)
        said.append(replace(shared, sentence=principle_sentence(principle.title, shared, most)))
    return said


def _notes(picture: Picture, vocabulary: Vocabulary, settings: NeedSettings) -> tuple[str, ...]:
    film, costs = picture.film, picture.costs
    notes = list(film.notes)
    trips = sum(len(one.trips) for one in film.games)
    if trips:
        base, half = float(costs.mean[0]), Z90 * float(costs.sd[0])
        notes.append(
            f"A clean possession still gives about {base:.2f} points ({max(base - half, 0.0):.2f} to "
            f"{base + half:.2f}), from {plural(trips, 'possession')} with points."
        )
    elif film.games:
        notes.append("No points were noted by possession: the costs are the library's usual ones.")
    below = [
        one.title
        for one, mean in zip(vocabulary.breakdowns, costs.mean[1:], strict=True)
        if mean < 0 and one.id not in settings.off
    ]
    if below:
        notes.append(f"No cost shows on film, so 0 is used: {listed(below)}.")
    known = set(vocabulary.principle_by_id)
    strange = sorted((set(settings.emphasis) | set(settings.exposure)) - known)
    if strange:
        notes.append(f"Emphasis or exposure is set for an unknown principle: {listed(strange)}.")
    return tuple(notes)
