"""The tables of the terminal at 80 columns and wider."""

from __future__ import annotations

import re
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from planner.build.plan import Plan, Segment, Station
from planner.clock import clock_text
from planner.paper.terminal import plain_text, plan_table, plan_text, season_table


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
    """Plan and season never pass the width (80 at least), whatever the words."""
    segment = Segment(600, 10, "drill", said, (Station("x", said, (said,), "A"),), {}, said, 5)
    plan = Plan(sample.day, 600, 10, 1.0, 1.0, True, 0.0, (segment,), (), (said,))
    wide = max(width, 80)
    lines_of(plan_text(plan, {"x": said}, width), wide)
    lines_of(
        plain_text(season_table([(said, {"closeout": 10}, 90)], {"tag": 1}, {"tag": said}, width), width),
        wide,
    )


def test_tables_can_be_drawn_in_ascii(sample: SimpleNamespace) -> None:
    """With ``ascii_only`` everything the program draws itself is ASCII."""
    assert plan_text(sample.sized_plan(12), sample.titles, ascii_only=True).isascii()
    weeks = [("2026-W48", {"off-ball-screen": 20.0}, 90.0)] * 9
    titles = {"off-ball-screen": "Off-ball screens and cuts"}
    assert plain_text(season_table(weeks, {}, titles, ascii_only=True)).isascii()


def test_an_empty_picture_is_drawn_empty() -> None:
    """No season gives a table without rows and without failing."""
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
