"""The tables of the terminal at 80 columns and wider."""

from __future__ import annotations

import datetime as dt
import re
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.drills.vocabulary import Breakdown, Principle, Vocabulary
from planner.need.estimate import BreakdownEstimate, Needs, PrincipleNeed
from planner.paper.terminal import needs_table, plain_text, plan_table, plan_text, season_table

WORDS = Vocabulary(
    (
        Principle("closeout", "Closeouts and contests", ""),
        Principle("tag", "Tag and rotate", ""),
        Principle("off-ball-screen", "Off-ball screens and cuts", ""),
    ),
    (
        Breakdown("late-closeout", "Late closeout", "closeout", None, "", 1.0, 6, 0.5),
        Breakdown("stuck-on-tag", "Tagged and stayed", "tag", "closeout", "", 0.7, 3, 0.5),
    ),
)
NEEDS = Needs(
    dt.date(2026, 12, 2),
    317,
    5,
    (
        PrincipleNeed("closeout", 4.0, 2.0, 6.0, 9.1, 0.45, 0.31, carry_over_minutes=6),
        PrincipleNeed("tag", 2.8, 1.7, 4.2, 7.0, 0.40, 0.20),
        PrincipleNeed("off-ball-screen", 0.4, 0.1, 1.2, 2.0, 0.2, 0.04),
    ),
    (
        BreakdownEstimate("late-closeout", 27, 9.1, 6, 12, 0.5, 0.3, 0.7, 0.8, 0.5, "library", False, ()),
        BreakdownEstimate("stuck-on-tag", 11, 3.1, 2, 5, 0.5, 0.3, 0.7, 0.8, 0.5, "library", False, ()),
    ),
    ("Two lines were unclear.",),
)


def lines_of(text: str, width: int) -> list[str]:
    lines = text.splitlines()
    wide = [line for line in lines if cell_len(line) > width]
    assert not wide, wide
    return lines


@pytest.mark.parametrize("width", [80, 100, 132])
def test_every_segment_stands_in_the_text(sample: SimpleNamespace, width: int) -> None:
    """Clock, minutes and title open the line of each segment, and no line is wider than asked."""
    plan = sample.sized_plan(12)
    lines = lines_of(plan_text(plan, sample.titles, width), width)
    for one in plan.segments:
        title = sample.titles[one.stations[0].drill] if one.stations else one.title
        opening = f"{clock_text(one.start)} {one.minutes:>4}  {title}"
        assert any(line.startswith(opening) for line in lines), opening
    assert "Thursday 3 December 2026" in lines[0]
    assert any("Blue, half B: 00 7 15 24 30" in line for line in lines)
    assert lines[-1] == "made by stopsheet"


def test_both_drills_of_a_split_floor_are_named_once(sample: SimpleNamespace) -> None:
    """Two drills at once give two titles with their groups."""
    text = plan_text(sample.heavy_plan(1), sample.titles)
    assert text.count("Bump and sprint to the corner") == 1
    assert text.count("Find, hit, hold, go") == 1


def test_the_text_has_no_colour_and_the_table_may(sample: SimpleNamespace) -> None:
    """Plain text holds no escape; the same table can be drawn by any console."""
    plan = sample.sized_plan(6)
    text = plan_text(plan, sample.titles, mark=False)
    assert "\x1b" not in text
    assert text == plain_text(plan_table(plan, sample.titles, 80), 80)


@pytest.mark.parametrize(
    "said", ["[bold]x[/]", "[/nope]", ":smile:", "\x1b[31mred", "a" * 300, "練習計画" * 40]
)
def test_text_is_never_markup(sample: SimpleNamespace, said: str) -> None:
    """Brackets and colons stay as written; long and wide text folds inside 80 columns."""
    segment = Segment(600, 10, "drill", said, (Station(said, said, (said, "7"), said),), {}, said, 5)
    plan = Plan(sample.day, 600, 10, 1.0, 1.0, True, 0.0, (segment,), (), (said,))
    text = plan_text(plan, {said: said})
    lines_of(text, 80)
    if said.startswith(("[", ":")):
        assert said in text
    assert "\x1b" not in text


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=80), st.integers(20, 140))
def test_no_text_makes_a_line_too_wide(sample: SimpleNamespace, said: str, width: int) -> None:
    """Plan, needs and season never pass the width (80 at least), whatever the words."""
    segment = Segment(600, 10, "drill", said, (Station("x", said, (said,), "A"),), {}, said, 5)
    plan = Plan(sample.day, 600, 10, 1.0, 1.0, True, 0.0, (segment,), (), (said,))
    wide = max(width, 80)
    lines_of(plan_text(plan, {"x": said}, width), wide)
    words = Vocabulary(
        (Principle("closeout", said, ""),), (Breakdown("late-closeout", said, "closeout", None, "", 1, 1, 1),)
    )
    lines_of(plain_text(needs_table(NEEDS, words, width), width), wide)
    lines_of(
        plain_text(season_table([(said, {"closeout": 10}, 90)], {"tag": 1}, {"tag": said}, width), width),
        wide,
    )


def test_a_bar_reads_without_colour() -> None:
    """Solid to the low end, thinner to the estimate, thinnest to the high end, in proportion."""
    lines = lines_of(plain_text(needs_table(NEEDS, WORDS, 80)), 80)
    row = next(line for line in lines if line.startswith("Closeouts and contests"))
    assert (row.count("█"), row.count("▓"), row.count("░")) == (6, 6, 6)
    assert "4.0 (2.0–6.0)" in row
    assert row.endswith("9.1   0.45")


def test_a_need_says_in_a_sentence_what_it_is_made_of() -> None:
    """Share, the costliest breakdown with its count, and carry-over stand under the bar."""
    text = plain_text(needs_table(NEEDS, WORDS, 80))
    assert "31 % of all points lost; mostly: late closeout (27 seen); 6 min carried over." in text
    assert "20 % of all points lost; mostly: tagged and stayed (11 seen)." in text
    assert "317 watched in 5 games" in text
    assert "! Two lines were unclear." in text


def test_tables_can_be_drawn_in_ascii(sample: SimpleNamespace) -> None:
    """With ``ascii_only`` everything the program draws itself is ASCII."""
    needs = plain_text(needs_table(NEEDS, WORDS, 80, ascii_only=True))
    assert needs.isascii()
    assert re.search(r"#{6}={6}-{6}", needs)
    assert plan_text(sample.sized_plan(12), sample.titles, ascii_only=True).isascii()
    weeks = [("2026-W48", {"off-ball-screen": 20.0}, 90.0)] * 9
    titles = {"off-ball-screen": "Off-ball screens and cuts"}
    assert plain_text(season_table(weeks, {}, titles, ascii_only=True)).isascii()


def test_an_empty_picture_is_drawn_empty() -> None:
    """No film and no season give tables without rows and without failing."""
    nothing = Needs(dt.date(2026, 12, 2), 0, 0, (), ())
    assert "0 watched in 0 games" in plain_text(needs_table(nothing, WORDS))
    assert "All minutes" in plain_text(season_table([], {}, {}))


def test_a_season_adds_up_and_marks_what_is_taught_too_little() -> None:
    """Columns sum, rows sum, everything else is the rest, and shares stand beside the need."""
    weeks = [("2026-W48", {"closeout": 30.0, "tag": 10.0}, 90.0), ("2026-W49", {"closeout": 50.0}, 95.0)]
    needs = {"closeout": 0.5, "tag": 0.4, "box-out": 0.1}
    lines = lines_of(plain_text(season_table(weeks, needs, {"closeout": "Closeouts", "tag": "Tag"})), 80)

    def row(start: str) -> list[str]:
        return next(line for line in lines if line.startswith(start)).split()

    assert row("Closeouts") == ["Closeouts", "30", "50", "80", "89", "%", "50", "%", "more"]
    assert row("Tag") == ["Tag", "10", "-", "10", "11", "%", "40", "%", "less"]
    assert row("box-out") == ["box-out", "-", "-", "-", "0", "%", "10", "%", "less"]
    assert row("Everything else") == ["Everything", "else", "50", "45", "95"]
    assert row("All minutes") == ["All", "minutes", "90", "95", "185"]
    assert row("Principle")[1:3] == ["W48", "W49"]


def test_weeks_that_do_not_fit_are_counted_and_said() -> None:
    """A long season shows its last weeks; the sum still counts all of them."""
    weeks = [(f"2026-W{n}", {"tag": 10.0}, 60.0) for n in range(30, 50)]
    text = plain_text(season_table(weeks, {"tag": 1.0}, {"tag": "Tag"}))
    assert "W49" in text
    assert "W30" not in text
    assert "15 earlier weeks not shown" in text
    assert re.search(r"Tag .* 200 ", text)
