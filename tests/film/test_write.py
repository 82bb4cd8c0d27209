"""Written sheets read back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film.intake import Heading, Intake, Possession, Sighting
from planner.film.write import write_sheet
from planner.problem import Refusal

Read = Callable[..., Intake]
PERIODS = ("Q1", "Q2", "Q3", "Q4", "OT", "OT2")
JERSEYS = st.one_of(st.sampled_from(["0", "00"]), st.integers(1, 99).map(str))
CLOCKS = st.one_of(
    st.none(), st.tuples(st.integers(0, 4), st.integers(0, 59)).map(lambda t: f"{t[0]:02d}:{t[1]:02d}")
)
NAMES = st.sampled_from(["Harbour Point", "St. Ana's", "Élan Nord", "Millbrook"])


def kept(intake: Intake) -> tuple[Any, ...]:
    trips = [(t.number, t.period, t.clock, t.points) for t in intake.trips]
    seen = [(s.breakdown, s.players, s.count, s.points, s.possession, s.start) for s in intake.sightings]
    return intake.possessions, intake.heading, trips, seen


@st.composite
def intakes(draw: st.DrawFn, breakdowns: tuple[str, ...]) -> Intake:
    size = draw(st.integers(1, 8))
    periods = sorted(
        draw(st.lists(st.sampled_from(PERIODS), min_size=size, max_size=size)), key=PERIODS.index
    )
    trips, seen = [], []
    for number, period in enumerate(periods, 1):
        points = draw(st.one_of(st.none(), st.integers(0, 5)))
        trips.append(Possession(number, period, draw(CLOCKS), points))
        for breakdown in draw(st.lists(st.sampled_from(breakdowns), max_size=3)):
            players = tuple(draw(st.lists(JERSEYS, max_size=3, unique=True)))
            count = draw(st.sampled_from([1, 1, 1, 2, 3]))
            seen.append(Sighting(breakdown, players=players, points=points, count=count, possession=number))
    heading = Heading(
        draw(st.sampled_from([None, "2026-11-20"])),
        draw(st.none() | NAMES),
        draw(st.sampled_from([None, "home", "away"])),
    )
    possessions = size + draw(st.integers(0, 3))
    return Intake("x", "sheet", "", possessions, tuple(trips), tuple(seen), (), (), heading)


@settings(max_examples=200, deadline=None)
@given(data=st.data())
def test_written_sheets_read_back_equal(read: Read, ids: tuple[str, ...], data: st.DataObject) -> None:
    """Whatever possessions are written, the same possessions and sightings are read, without a question."""
    intake = data.draw(intakes(ids))
    text = write_sheet(intake)
    back = read(text)
    assert kept(back) == kept(intake), text
    assert (back.unclear, back.problems) == ((), ()), text


@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_written_counts_read_back_equal(read: Read, ids: tuple[str, ...], data: st.DataObject) -> None:
    """Whatever is counted is read back as counted."""
    counts = data.draw(st.dictionaries(st.sampled_from(ids), st.integers(1, 40), min_size=1, max_size=8))
    seen = tuple(Sighting(breakdown, count=count) for breakdown, count in counts.items())
    intake = Intake("x", "sheet", "", data.draw(st.sampled_from([None, 58])), (), seen, (), ())
    assert kept(read(write_sheet(intake))) == kept(intake)


def test_canonical_lines() -> None:
    """The written form is the canonical one."""
    intake = Intake(
        *("x", "sheet", "", 58),
        (Possession(1, "Q1", "08:42", 2), Possession(2, "Q1", "08:20", 0)),
        (
            Sighting("no-box-out", players=("21",), possession=1),
            Sighting("ball-watching", players=("4",), possession=1),
        ),
        *((), (), Heading("2026-11-20", "Harbour Point", "away")),
    )
    assert write_sheet(intake) == (
        "Date: 2026-11-20\nOpponent: Harbour Point\nVenue: away\nPossessions: 58\n"
        "# period clock points breakdowns\nQ1 8:42 2 no-box-out 21, ball-watching 4\nQ1 8:20 0 stop\n"
    )


def test_a_mixed_note_is_refused() -> None:
    """A note that both counts and writes possessions is no one sheet."""
    with pytest.raises(Refusal, match="both counts and writes"):
        write_sheet(Intake("x", "sheet", "", None, (Possession(1),), (Sighting("no-tag", count=3),), (), ()))
