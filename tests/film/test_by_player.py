"""Sheets that count by players."""

from __future__ import annotations

from planner.film.intake import Intake
from planner.film.read import read_note
from planner.film.wording import Lexicon


def read(lexicon: Lexicon, *lines: str) -> Intake:
    return read_note("notes.txt", "\n".join(lines).encode(), lexicon)


def counts(intake: Intake) -> list[tuple[str, tuple[str, ...], int]]:
    return [(one.breakdown, one.players, one.count) for one in intake.sightings]


def test_a_line_for_each_player(lexicon: Lexicon) -> None:
    """``#21: bo 3, lc 2`` counts for 21, whatever mark stands between."""
    made = read(
        lexicon,
        "50 possessions",
        "#21: bo 3, lc 2",
        "4 - beat 1on1 5, reach",
        "30: no talk |||",
        "team: quiet 2",
    )
    assert counts(made) == [
        ("no-box-out", ("21",), 3),
        ("late-closeout", ("21",), 2),
        ("blown-by", ("4",), 5),
        ("reach-foul", ("4",), 1),
        ("no-talk", ("30",), 3),
        ("no-talk", (), 2),
    ]
    assert made.possessions == 50
    assert made.trips == ()


def test_a_block_for_each_player(lexicon: Lexicon) -> None:
    """A player's number alone heads the counts below it; a heading in words ends him."""
    made = read(lexicon, "#21 (sr)", "bo 3", "lc x2", "", "#4", "reaching 2", "", "whole team", "no talk 6")
    assert counts(made) == [
        ("no-box-out", ("21",), 3),
        ("late-closeout", ("21",), 2),
        ("reach-foul", ("4",), 2),
        ("no-talk", (), 6),
    ]


def test_a_line_for_each_breakdown(lexicon: Lexicon) -> None:
    """``bo: 21 x3, 4`` counts for each player named."""
    made = read(lexicon, "no box out: 21 x3, 4", "late closeout: 4 (2), 8")
    assert counts(made) == [
        ("no-box-out", ("21",), 3),
        ("no-box-out", ("4",), 1),
        ("late-closeout", ("4",), 2),
        ("late-closeout", ("8",), 1),
    ]


def test_possessions_are_not_players(lexicon: Lexicon) -> None:
    """Numbers that run up, or come again, are possessions and players of possessions."""
    running = read(lexicon, "1 lc 4, 3 pts", "2 stop", "3 bo 33, 2 pts", "4 bo 12, 2 pts", "5 stop")
    assert [one.possession for one in running.sightings] == [1, 3, 4]
    again = read(lexicon, "#21 no box out", "#4 late closeout", "#21 no box out", "#21 reach", "#4 no talk")
    assert len(again.trips) == 5


def test_strangers_are_asked_about(lexicon: Lexicon) -> None:
    """A player who is not on the roster is asked about; what he did is counted."""
    made = read_note("notes.txt", b"#21: bo 3, lc 2\n#99: bo 2, lc 1\n", lexicon, {"21", "4"})
    assert {one.players for one in made.sightings} == {("21",), ()}
    assert len(made.unclear) == 1


def test_players_by_quarters(lexicon: Lexicon) -> None:
    """A player may head counts in every quarter; a breakdown written twice counts twice."""
    made = read(
        lexicon,
        *("Q1", "21: no box out, no box out, late closeout", "4: blow by, blow by", ""),
        *("Q2", "21: no box out", "15: no tag, no tag", ""),
    )
    assert made.trips == ()
    assert [(one.breakdown, one.players) for one in made.sightings] == [
        *[("no-box-out", ("21",))] * 2,
        ("late-closeout", ("21",)),
        *[("blown-by", ("4",))] * 2,
        ("no-box-out", ("21",)),
        *[("no-tag", ("15",))] * 2,
    ]


def test_dots_lead_to_a_count(lexicon: Lexicon) -> None:
    """Behind dots stands one count, whatever is remarked after it; a correction holds."""
    made = read(
        lexicon,
        "No. 4 - Una",
        "  no box out ............ 5 (five!)",
        "  late closeouts ........ 2, both in the first half",
        "  no talk ............... 1 -> correct to 3 (found more)",
        "No. 9 - Ada",
        "  ball watching ......... twice",
        "  sealed ................ 0",
        "No. 4 and No. 9 as a pair",
        "  missed switch ......... 2",
        "",
        "All box outs missed: 5",
    )
    assert counts(made) == [
        ("no-box-out", ("4",), 5),
        ("late-closeout", ("4",), 2),
        ("no-talk", ("4",), 3),
        ("ball-watching", ("9",), 2),
        ("missed-switch", ("4", "9"), 2),
    ]


def test_headings_of_players_under_marks(lexicon: Lexicon) -> None:
    """``### #7 Big Una (bench)`` heads the counts of 7; a heading that names nobody ends them."""
    made = read(
        lexicon,
        "### #7 Big Una (bench)",
        "- no box out x3",
        "### #12 Ada",
        "- late closeout II",
        "- GOOD: best voice we have, three steals",
        "### Nobody in particular",
        "- no talk x4",
        "## Totals",
        "no box out 3, late closeout 2",
    )
    assert counts(made) == [("no-box-out", ("7",), 3), ("late-closeout", ("12",), 2), ("no-talk", (), 4)]
