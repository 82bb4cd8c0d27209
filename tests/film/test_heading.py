"""What a sheet says of its game."""

from __future__ import annotations

import pytest

from planner.film.heading import Said, read_heading


def said(*lines: str, preamble: bool = True) -> Said:
    told = Said()
    for number, line in enumerate(lines, 1):
        read_heading(line, number, told, preamble=preamble)
    return told


def test_labelled_lines() -> None:
    """Labelled lines give date, opponent, venue and possessions, with the name as it was written."""
    told = said("Date: 2026-11-20", "Opponent: Harbour Point", "Venue: Away", "Possessions: 58")
    assert (told.date, told.opponent, told.venue, told.watched) == (
        "2026-11-20",
        "Harbour Point",
        "away",
        (58, 4),
    )
    assert not told.problems


@pytest.mark.parametrize(
    ("line", "opponent", "date", "venue"),
    [
        ("vs Millbrook Valley 5 Dec 2026 (home)", "Millbrook Valley", "2026-12-05", "home"),
        ("@ Harbour Point, Nov 20, 2026", "Harbour Point", "2026-11-20", "away"),
        ("Film vs. Eastgate - 16 January 2027", "Eastgate", "2027-01-16", None),
        ("Cedar Row / away / 2026-12-12", None, "2026-12-12", "away"),
        ("Opp - Stonebridge", "Stonebridge", None, None),
        ("Date: 20/11/2026", None, "2026-11-20", None),
        ("Date: 11/20/26", None, "2026-11-20", None),
    ],
)
def test_titles(line: str, opponent: str | None, date: str | None, venue: str | None) -> None:
    """Titles and labels in several hands give what they say and no more."""
    told = said(line)
    assert (told.opponent, told.date, told.venue) == (opponent, date, venue)


@pytest.mark.parametrize("line", ["Date: 3/4/2026", "Date: 2026-02-30", "Date: last Friday"])
def test_dates_that_cannot_be_read_are_problems(line: str) -> None:
    """A date that is ambiguous, impossible or no date is a problem and is never guessed."""
    told = said(line)
    assert told.date is None
    assert len(told.problems) == 1


@pytest.mark.parametrize(
    "line", ["58 poss", "possessions: 58", "58 possessions watched", "Poss - 58", "Def possessions = 58"]
)
def test_possessions(line: str) -> None:
    """Possessions watched are read in their usual forms, before and after the notes."""
    for preamble in (True, False):
        told = said(line, preamble=preamble)
        assert told.watched == (58, 1)


def test_possessions_are_bounded_and_first_said_counts() -> None:
    """An impossible number of possessions is not used; of two that differ the first is, and it is said."""
    assert said("possessions: 5000").watched is None
    told = said("possessions: 58", "60 poss")
    assert told.watched == (58, 1)
    assert len(told.problems) == 1


def test_notes_are_no_headings() -> None:
    """After the first possession only labels count: a note against a player is no opponent."""
    assert not read_heading("against 11 late closeout", 9, Said(), preamble=False)
