"""The estimates in plain sentences."""

from __future__ import annotations

from dataclasses import dataclass

from planner.need.estimate import BreakdownEstimate, PrincipleNeed
from planner.text import clean_line, plural


@dataclass(frozen=True, slots=True)
class Moved:
    """A rate that moved: per 100 possessions in the last games and before them."""

    last: int
    now: float
    before: float
    p: float


def breakdown_sentence(title: str, one: BreakdownEstimate, games: int) -> str:
    """Return e.g. ``No box out: 11 in 3 games, about 6.1 per 100 possessions (3.4 to 9.8), costing ...``."""
    if games:
        seen = f"{one.count or 'none'} in {plural(games, 'game')}, about"
    else:
        seen = "no film yet, usually about"
    rate = f"{one.rate_per_100:.1f} per 100 possessions ({one.low:.1f} to {one.high:.1f})"
    wobble = ", changing from game to game by more than chance" if one.overdispersed else ""
    return f"{clean_line(title)}: {seen} {rate}{wobble}, {_cost(one.cost)}."


def principle_sentence(title: str, one: PrincipleNeed, most: str | None) -> str:
    """Return e.g. ``Box out: about 2.9 points lost per 100 possessions (1.4 to 5.0), 12 % of it all ...``."""
    title = clean_line(title)
    if most is None:
        return f"{title}: nothing that is switched on counts for it."
    lost = f"about {one.points_per_100:.1f} points lost per 100 possessions ({one.low:.1f} to {one.high:.1f})"
    factors = ""
    if one.emphasis != 1.0:
        factors += f", {one.emphasis:g} times by your emphasis"
    if one.exposure != 1.0:
        factors += f", {one.exposure:g} times by the next opponent"
    return f"{title}: {lost}, {one.share:.0%} of it all, most through: {clean_line(most).lower()}{factors}."


def trend_sentence(moved: Moved) -> str:
    """Return e.g. ``Up: 9.1 per 100 in the last 3 games, 4.0 before (exact two-rate test, p 0.01).``."""
    way = "Up" if moved.now > moved.before else "Down"
    chance = "p under 0.001" if moved.p < 0.001 else f"p {moved.p:.3f}"
    last = f"in the last {plural(moved.last, 'game')}"
    return (
        f"{way}: {moved.now:.1f} per 100 {last}, {moved.before:.1f} before (exact two-rate test, {chance})."
    )


def _cost(cost: float) -> str:
    if cost < 0.05:
        return "costing next to nothing"
    points = f"{cost:.1f}"
    return f"costing about {points} {'point' if points == '1.0' else 'points'} each"
