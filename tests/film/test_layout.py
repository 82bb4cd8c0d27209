"""How a hand lays out its lines: bare clocks, dictated numbers, times in prose."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.film.layout import laid_out


def test_clocks_without_a_colon() -> None:
    """Where lines begin with bare clocks each gets its colon; a short one is seconds."""
    made = laid_out(["745 12 bb", "718 stop", "602 3 reach", "055 lc 4"])
    assert [one for (one,) in made] == ["7:45 12 bb", "7:18 stop", "6:02 3 reach", "0:55 lc 4"]


def test_dictated_numbers() -> None:
    """Jerseys and possessions said in words are digits, points misheard are points."""
    made = laid_out(
        [
            "possession one twelve beat to points",
            "possession two stop",
            "possession three number four no box out",
        ]
    )
    assert [one.split() for (one,) in made] == [
        ["possession", "1", "12", "beat", "two", "points"],
        ["possession", "2", "stop"],
        ["possession", "3", "#4", "no", "box", "out"],
    ]


def test_prose_is_cut_at_its_times() -> None:
    """A paragraph that tells three moments is three lines, what leads up to a time goes with it."""
    made = laid_out(
        ["At 0:42 12 gets blown by and 33 is late, layup, 2. Then at 1:15 a good stop. 1:50 lc 4, three."]
    )
    assert [one.split()[0] for one in made[0]] == ["0:42", "1:15", "1:50"]


@given(st.lists(st.text(max_size=80), max_size=20))
def test_every_line_is_laid_out(lines: list[str]) -> None:
    """Whatever comes, each line has its readings and nothing raises."""
    assert len(laid_out(lines)) == len(lines)
