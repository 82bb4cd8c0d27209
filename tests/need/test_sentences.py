"""The estimates in plain words."""

from __future__ import annotations

from planner.need.estimate import BreakdownEstimate, PrincipleNeed
from planner.need.needs import assess
from planner.need.sentences import Moved, breakdown_sentence, principle_sentence, trend_sentence
from tests.need import kit

BOX = BreakdownEstimate(
    breakdown="no-box-out",
    count=11,
    rate_per_100=6.08,
    low=3.4,
    high=9.83,
    cost=0.57,
    cost_low=0.2,
    cost_high=0.9,
    film_share=0.7,
    cost_film_share=0.4,
    prior="library",
    overdispersed=False,
    recent=(),
)


def but(**changes: object) -> BreakdownEstimate:
    from dataclasses import replace

    return replace(BOX, **changes)  # type: ignore[arg-type]


def test_breakdown() -> None:
    """A breakdown's sentence gives count, games, rate, interval and cost."""
    assert breakdown_sentence("No box out", BOX, 3) == (
        "No box out: 11 in 3 games, about 6.1 per 100 possessions (3.4 to 9.8), "
        "costing about 0.6 points each."
    )


def test_breakdown_at_the_edges() -> None:
    """None seen, one game, no film, no cost, one point, and games that differ: each reads as English."""
    assert ": none in 1 game, about" in breakdown_sentence("No box out", but(count=0), 1)
    assert ": no film yet, usually about 6.1" in breakdown_sentence("No box out", BOX, 0)
    assert breakdown_sentence("No box out", but(cost=0.01), 3).endswith("costing next to nothing.")
    assert breakdown_sentence("No box out", but(cost=1.02), 3).endswith("costing about 1.0 point each.")
    assert "by more than chance" in breakdown_sentence("No box out", but(overdispersed=True), 3)


def test_principle() -> None:
    """A principle's sentence gives need, interval, share, its chief cause and any factor."""
    need = PrincipleNeed("box-out", 2.94, 1.4, 5.0, 9.0, 0.33, 0.117, emphasis=1.5)
    assert principle_sentence("Box out and rebound", need, "No box out") == (
        "Box out and rebound: about 2.9 points lost per 100 possessions (1.4 to 5.0), 12% of it all, "
        "most through: no box out, 1.5 times by your emphasis."
    )


def test_hostile_titles() -> None:
    """A title with an escape in it prints clean."""
    assert "\x1b" not in breakdown_sentence("No\x1b[31m box", BOX, 2)


def test_trend() -> None:
    """A trend says which way, how much, and by what test."""
    up = trend_sentence(Moved(3, 9.1, 4.0, 0.0042))
    assert up == "Up: 9.1 per 100 in the last 3 games, 4.0 before (exact two-rate test, p 0.004)."
    assert trend_sentence(Moved(1, 2.0, 4.0, 1e-5)).startswith("Down: 2.0 per 100 in the last 1 game, ")


def trend_of(counts: tuple[int, ...]) -> str:
    games = [kit.game(day, {"no-box-out": seen}) for day, seen in enumerate(counts)]
    found = assess(games, kit.small(), kit.LATER)
    return next(one.trend for one in found.breakdowns if one.breakdown == "no-box-out")


def test_only_more_than_noise_is_a_trend() -> None:
    """A clear turn is told; a flicker, a short film, or a wild spread that hides it is not."""
    assert trend_of((10, 9, 11, 10, 2, 1, 2)).startswith("Down: 2.8 per 100 in the last 3 games")
    assert trend_of((4, 5, 3, 6, 5, 4, 6)) == ""
    assert trend_of((10, 1, 1)) == ""
    assert trend_of((0, 22, 1, 20, 3, 1, 2)) == ""
