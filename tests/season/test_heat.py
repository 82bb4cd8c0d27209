from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner import data
from planner.problem import Refusal
from planner.season.heat import FILE, find_table, parse_reading, read_tables, water_rule

TABLES, PROBLEMS = read_tables((data.drill_library() / FILE).read_text("utf-8"))


@pytest.mark.parametrize(
    ("reading", "rest", "longest", "stop"),
    [
        (81.9, 9, None, False),
        (82.0, 12, None, False),
        (86.9, 12, None, False),
        (86.95, 16, 120, False),  # printed for no band: the stricter one
        (87.0, 16, 120, False),
        (89.95, 20, 60, False),
        (92.0, 20, 60, False),
        (92.05, None, None, True),
        (92.1, None, None, True),
    ],
)
def test_missouri_s_bands(reading: float, rest: int | None, longest: int | None, stop: bool) -> None:
    """Rest and longest session as at mshsaa.org/cmspages/wbgt.aspx (read); gaps take the next band."""
    band = find_table(TABLES, "missouri-schools").band(reading)
    assert (band.rest, band.longest, band.stop) == (rest, longest, stop)


def test_the_position_stand_s_bands() -> None:
    """82.0, 86.0, 90.0 end its bands: J Athl Train 51(8) table 3, after ACSM 2007 (read)."""
    used, new = find_table(TABLES, "acsm-acclimated"), find_table(TABLES, "acsm-not-acclimated")
    assert [used.band(one).stop for one in (81.9, 86.0, 90.0, 90.1)] == [False, False, False, True]
    assert [new.band(one).stop for one in (81.9, 86.0, 86.05, 90.1)] == [False, False, True, True]


def test_the_older_table_for_children_stops_at_85() -> None:
    """It cancels all above 85 (pediatrics.aappublications.org, table 1: read); its edition is named old."""
    table = find_table(TABLES, "children-older-table")
    assert table.band(84.0).stop is False
    assert table.band(84.5).stop is True
    assert "older" in table.year


@given(st.floats(40, 130), st.floats(40, 130))
def test_hotter_is_never_milder(one: float, other: float) -> None:
    """Every table has a band for every reading, and a hotter one never stands before a cooler one."""
    low, high = sorted((one, other))
    for table in TABLES:
        assert table.bands.index(table.band(low)) <= table.bands.index(table.band(high))


def test_the_tables_ship_whole() -> None:
    """Each names region, source and year, and reads without a problem."""
    assert PROBLEMS == []
    assert len(TABLES) >= 4
    assert all(one.region and one.source and one.year for one in TABLES)


@pytest.mark.parametrize(
    ("text", "fahrenheit"),
    [("88.1", 88.1), ("88.1F", 88.1), ("88,1 °f", 88.1), ("31.2C", 88.16), ("31", 87.8), (" 30 c ", 86.0)],
)
def test_readings_are_read(text: str, fahrenheit: float) -> None:
    """Fahrenheit, Celsius, and a bare number too low for Fahrenheit."""
    assert parse_reading(text) == pytest.approx(fahrenheit)


@pytest.mark.parametrize("text", ["", "hot", "88.1K", "300", "1", "-5", "nan", "88.1.1", "\x1b[31m"])
def test_what_is_no_reading_is_refused(text: str) -> None:
    """Words, other units and temperatures of no gym are refused in a sentence."""
    with pytest.raises(Refusal):
        parse_reading(text)


def test_breaks_become_a_rule_for_plans() -> None:
    """Four breaks of four minutes leave eleven between them; a stop has no rule."""
    table = find_table(TABLES, "missouri-schools")
    assert water_rule(table.band(88.1)) == (11, 4)
    assert water_rule(table.band(95)) is None


def test_an_unknown_table_is_refused() -> None:
    """A name that is none lists those that are."""
    with pytest.raises(Refusal, match="missouri-schools"):
        find_table(TABLES, "atlantis")


@pytest.mark.parametrize(
    "bands",
    [
        "",
        "[[table.band]]\nsays='a'\nto=80\n",
        "[[table.band]]\nsays='a'\nto=90\n[[table.band]]\nsays='b'\nto=80\n[[table.band]]\nsays='c'\n",
        "[[table.band]]\nsays='a'\n[[table.band]]\nsays='b'\n",
    ],
)
def test_bands_that_do_not_rise_to_an_open_end_are_a_problem(bands: str) -> None:
    """No bands, a closed end, falling bands or two open ones are told, not used."""
    head = "[[table]]\nid='x'\ntitle='x'\nregion='r'\nunit='F'\nsource='s'\nyear='y'\n"
    tables, problems = read_tables(head + bands)
    assert tables == ()
    assert len(problems) == 1
