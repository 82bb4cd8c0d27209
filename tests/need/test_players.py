"""Who was charged with what: drawn in, by jersey, and never a ranking."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.need.players import PlayerFilm, charged_players, goes_first, jersey_order
from tests.need import kit

SMALL = kit.small()
SQUAD = ("21", "7", "00", "0", "12", "4", "33", "15")


def game(
    charged: Mapping[str, int],
    breakdown: str = "no-box-out",
    number: int = 1,
    defended: Mapping[str, int] | None = None,
) -> PlayerFilm:
    seen = {jersey: {breakdown: times} for jersey, times in charged.items()}
    return PlayerFilm(str(number), 60, seen, 0, defended or {})


@given(
    st.dictionaries(st.sampled_from(SQUAD), st.integers(0, 30)),
    st.dictionaries(st.sampled_from(SQUAD), st.integers(0, 60)),
)
def test_everybody_stands_there_by_jersey(charged: dict[str, int], defended: dict[str, int]) -> None:
    """Whatever was seen, the whole squad is listed by number, and those who go first too."""
    film = [game(charged, defended=defended)]
    found = charged_players(film, SQUAD, SMALL)
    assert [one.jersey for one in found.lines] == ["0", "00", "4", "7", "12", "15", "21", "33"]
    first = goes_first(film, SQUAD, SMALL, "box-out")
    assert list(first) == sorted(first, key=jersey_order)
    assert len(first) <= len(SQUAD) // 2


def test_small_numbers_are_drawn_in() -> None:
    """Twelve in 60 is told as less than 20 per 100, none as more than 0, and each inside its interval."""
    found = charged_players([game({"7": 12, "12": 2, "4": 3, "21": 1})], SQUAD, SMALL)
    by_jersey = {one.jersey: one for one in found.lines}
    assert found.per_100 == pytest.approx(100 * 18 / (8 * 60))
    seven, none = by_jersey["7"], by_jersey["0"]
    assert seven.per_100 is not None
    assert none.per_100 is not None
    assert found.per_100 < seven.per_100 < 20
    assert 0 < none.per_100 < found.per_100
    for one in found.lines:
        assert one.low is not None and one.high is not None and one.per_100 is not None  # noqa: PT018
        assert one.low < one.per_100 < one.high


def test_who_goes_first() -> None:
    """Those likely above the team's rate of the principle's own breakdowns, and nobody for another."""
    film = [game({"7": 12, "21": 9, "12": 1, "4": 1}), game({"33": 20}, "no-talk", 2)]
    assert goes_first(film, SQUAD, SMALL, "box-out") == ("7", "21")
    assert goes_first(film, SQUAD, SMALL, "talk") == ("33",)
    assert goes_first(film, SQUAD, SMALL, "closeout") == ()
    assert goes_first(film, SQUAD, SMALL, "talk", off={"no-talk"}) == ()
    lines = {one.jersey: one.first_in for one in charged_players(film, SQUAD, SMALL).lines}
    assert (lines["7"], lines["33"], lines["0"]) == (("box-out",), ("talk",), ())


def test_chance_tells_nobody_apart() -> None:
    """Counts that differ no more than by luck, or too few of them, put nobody first."""
    assert goes_first([game(dict.fromkeys(SQUAD, 5) | {"7": 7})], SQUAD, SMALL, "box-out") == ()
    assert goes_first([game({"7": 4})], SQUAD, SMALL, "box-out") == ()
    assert goes_first([], SQUAD, SMALL, "box-out") == ()


def test_line_ups_turn_counts_into_rates() -> None:
    """With possessions known, a third of the time makes the same few charges weigh more."""
    floor = {"7": 20, "12": 60, "4": 60, "0": 60, "21": 60}
    film = [game({"7": 8, "12": 5, "4": 2, "0": 2, "21": 2}, defended=floor)]
    found = charged_players(film, SQUAD, SMALL)
    by_jersey = {one.jersey: one for one in found.lines}
    assert found.known
    assert by_jersey["7"].defended == 20
    assert by_jersey["7"].per_100 > by_jersey["12"].per_100  # type: ignore[operator]
    assert goes_first(film, SQUAD, SMALL, "box-out") == ("7",)
    assert not any("on the floor:" in one for one in found.cautions)


def test_who_was_not_on_the_floor_has_no_rate() -> None:
    """A game counts for a player only where his possessions are known; unknown games drop out whole."""
    film = [game({"7": 8, "33": 9}, defended={"7": 40, "12": 50}), game({"33": 9}, number=2)]
    found = charged_players(film, SQUAD, SMALL)
    by_jersey = {one.jersey: one for one in found.lines}
    assert (by_jersey["33"].count, by_jersey["33"].defended, by_jersey["33"].per_100) == (0, 0, None)
    assert found.per_100 == pytest.approx(100 * 8 / 90)
    assert any("1 of 2 games" in one for one in found.cautions)


def test_cautions() -> None:
    """Without line-ups this is said; so are breakdowns that name nobody and jerseys off the roster."""
    film = [PlayerFilm("1", 60, {"99": {"no-talk": 2}, "7": {"no-talk": 1}}, 5)]
    said = " ".join(charged_players(film, SQUAD, SMALL).cautions)
    assert "Nobody wrote down who was on the floor" in said
    assert "5 breakdowns on film name nobody" in said
    assert "left out: 99" in said
    assert "not who is better" in said
    assert charged_players([], SQUAD, SMALL).cautions == ("No film yet.",)


def test_switched_off_counts_for_nobody() -> None:
    """What the team does not teach is charged to no player."""
    found = charged_players([game({"7": 12})], SQUAD, SMALL, {"no-box-out"})
    assert sum(one.count for one in found.lines) == 0
    assert found.as_json()["players"][0]["per_100"] is None
