"""Lines that say who played."""

from __future__ import annotations

from planner.film.squad_lines import named, read_players


def test_names_and_numbers_in_a_line() -> None:
    """A line of numbers and names gives the names of the sheet, and is no possession."""
    found = read_players(["Rotation: 1 Bex, 4 Ona, 7 Lil, 40 Win", "7:40 Bex beat"])
    assert found.lines == {1}
    assert found.names == {"Bex": "1", "Ona": "4", "Lil": "7", "Win": "40"}
    assert named("Win's girl, Ona (4) helps, they win", found.names) == "#40 girl, #4 helps, they win"


def test_numbers_alone() -> None:
    """A list of jerseys under a word such as roster is no possession."""
    assert read_players(["we had 3 5 10 12 14 21", "2 bo 21"]).lines == {1}


def test_possessions_are_no_squad() -> None:
    """Lines of notes name nobody."""
    found = read_players(["1 Stop", "2 Miss", "3 Good", "4 Clean", "bo 3 4 5"])
    assert (found.lines, found.names) == (set(), {})


def test_nicknames_a_line_each() -> None:
    """Nicknames explained one a line are the names of the sheet, with and without an article."""
    found = read_players(
        ["  Biscuit is 4 (small)", "  the Duke is 9", "Rail is 12, because he is thin", "Biscuit late"]
    )
    assert found.lines == {1, 2, 3}
    assert named("Biscuit late, the Duke and Rail's man", found.names) == "#4 late, the #9 and #12 man"
    assert read_players(["Sealed: 3", "Backdoor - 2", "Reach is bad"]).names == {}
