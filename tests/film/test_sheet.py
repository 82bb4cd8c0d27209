"""Whole sheets: possessions, continuing lines, doubles, totals, rosters."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from planner.film.intake import Intake

Read = Callable[..., Intake]


def seen(intake: Intake) -> list[tuple[int | None, str, tuple[str, ...]]]:
    return [(one.possession, one.breakdown, one.players) for one in intake.sightings]


CANONICAL = """Date: 2026-11-20
Opponent: Harbour Point
Venue: away
Possessions: 58
# period clock points breakdowns
Q1 8:42 2 no-box-out 21, ball-watching 4
Q1 8:20 0 stop
Q1 7:55 3 late-closeout #12
"""


def test_canonical_form(read: Read) -> None:
    """The canonical sheet is read whole: heading, possessions, points, players, lines."""
    intake = read(CANONICAL)
    assert (intake.heading.date, intake.heading.opponent, intake.heading.venue) == (
        "2026-11-20",
        "Harbour Point",
        "away",
    )
    assert intake.possessions == 58
    assert [(t.number, t.period, t.clock, t.points, t.line) for t in intake.trips] == [
        (1, "Q1", "08:42", 2, 6),
        (2, "Q1", "08:20", 0, 7),
        (3, "Q1", "07:55", 3, 8),
    ]
    assert [(s.possession, s.breakdown, s.players, s.points, s.line, s.sure) for s in intake.sightings] == [
        (1, "no-box-out", ("21",), 2, 6, 1.0),
        (1, "ball-watching", ("4",), 2, 6, 1.0),
        (3, "late-closeout", ("12",), 3, 8, 1.0),
    ]
    assert intake.sightings[0].text == "Q1 8:42 2 no-box-out 21, ball-watching 4"
    assert intake.unclear == ()
    assert intake.problems == ()


@pytest.mark.parametrize("notes", ["stop", "clean", "good", "-", "", "0", "no pts", "good D"])
def test_clean_possessions_count(read: Read, notes: str) -> None:
    """A possession without a breakdown is a possession."""
    intake = read(f"Q1 8:42 2 bo 21\nQ1 8:20 {notes}\nQ1 8:00 2 bo 21")
    assert len(intake.trips) == intake.possessions == 3
    assert [one[0] for one in seen(intake)] == [1, 3]
    assert intake.unclear == ()


@pytest.mark.parametrize(
    "more",
    [
        "  late-closeout 4",
        "\tlate-closeout 4",
        "... late-closeout 4",
        "& late-closeout 4",
        "then late-closeout 4",
        "also late-closeout 4",
    ],
)
def test_continuing_lines(read: Read, more: str) -> None:
    """An indented line, or one that starts with dots, &, then or also, belongs to the possession before."""
    intake = read(f"Q1 8:42 2 no-box-out 21\n{more}\nQ1 8:20 0 stop")
    assert seen(intake) == [(1, "no-box-out", ("21",)), (1, "late-closeout", ("4",))]
    assert [one.points for one in intake.sightings] == [2, 2]
    assert intake.sightings[1].line == 2


def test_points_on_a_later_line(read: Read) -> None:
    """Points on a continuing line are the points of the whole possession."""
    intake = read("Q1 8:42 no-box-out 21\n  late-closeout 4 +3\nQ1 8:20 stop")
    assert [one.points for one in intake.sightings] == [3, 3]


def test_blocks(read: Read) -> None:
    """Blocks parted by blank lines, with the clock on the first line, are one possession each."""
    intake = read("Q1 8:42\nbo 21\nbw 4\n+2\n\nQ1 8:20\nstop\n\nQ1 8:00 +3\nlc 4")
    assert [(t.clock, t.points) for t in intake.trips] == [("08:42", 2), ("08:20", 0), ("08:00", 3)]
    assert [one[0] for one in seen(intake)] == [1, 1, 3]


def test_one_line_a_breakdown_with_the_clock_repeated(read: Read) -> None:
    """Lines that repeat period and clock but not their words tell of one possession."""
    intake = read("Q1 8:42 2 no-box-out 21\nQ1 8:42 2 late-closeout 4\nQ1 8:20 0 stop")
    assert len(intake.trips) == 2
    assert [one[0] for one in seen(intake)] == [1, 1]


def test_period_headings(read: Read) -> None:
    """A heading holds for the lines below it."""
    intake = read("Q1\n8:42 2 bo 21\n2nd half\n8:42 2 bo 21\nOT\n3:10 0 stop")
    assert [t.period for t in intake.trips] == ["Q1", "H2", "OT"]


def test_a_line_pasted_twice_counts_once(read: Read) -> None:
    """Same words at the same period and clock count once, wherever they stand, and it is pointed out."""
    lines = "Q1 8:42 2 bo 21\n  lc 4\nQ1 8:20 0 stop\n"
    intake = read(lines + lines)
    assert len(intake.trips) == 2
    assert len(intake.sightings) == 2
    assert intake.problems == (
        "line 4: the same as line 1; counted once",
        "line 6: the same as line 3; counted once",
    )


def test_lines_without_a_clock_are_not_doubles(read: Read) -> None:
    """Two stops in a row are two possessions when nothing tells them apart."""
    assert len(read("stop\nstop\n+2 bo 21").trips) == 3


@pytest.mark.parametrize(
    ("bad", "why"),
    [
        ("Q1 13:30 2 bo 21", "13:30"),
        ("Q1 8:75 2 bo 21", "8:75"),
        ("Q7 8:30 2 bo 21", "no such period"),
    ],
)
def test_a_bad_line_loses_only_itself(read: Read, bad: str, why: str) -> None:
    """A line that cannot be goes to unclear with its reason; its neighbours are read as without it."""
    good = ["Q1 8:42 2 bo 21", "Q1 8:20 0 stop", "Q1 8:00 3 lc 4"]
    intake = read("\n".join([good[0], bad, *good[1:]]))
    alone = read("\n".join(good))
    assert seen(intake) == seen(alone)
    assert len(intake.trips) == 3
    assert [(one.line, one.text) for one in intake.unclear] == [(2, bad)]
    assert why in intake.unclear[0].why


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("Q1 8:30 -2 bo 21", "-2 points"),
        ("Q1 8:30 7 no-box-out 21", "7 points"),
        ("Q1 8:30 +2 bo 21, scored 3", "said twice"),
    ],
)
def test_points_that_cannot_be_lose_only_themselves(read: Read, line: str, why: str) -> None:
    """A possession with a clock was played whatever its points say: it counts, its points are asked about."""
    intake = read(f"Q1 8:42 2 bo 21\n{line}\nQ1 8:00 3 lc 4")
    assert [trip.points for trip in intake.trips] == [2, None, 3]
    assert [one[0:2] for one in seen(intake)] == [(1, "no-box-out"), (2, "no-box-out"), (3, "late-closeout")]
    assert [one.line for one in intake.unclear] == [2]
    assert why in intake.unclear[0].why


def test_what_goes_on_a_lost_line_is_lost_with_it(read: Read) -> None:
    """A continuing line below a line that could not be read charges nobody else's possession."""
    intake = read("Q1 8:42 2 bo 21\nQ1 13:30 2 lc 4\n  no tag 33\nQ1 8:20 0 stop")
    assert seen(intake) == [(1, "no-box-out", ("21",))]
    assert [one.line for one in intake.unclear] == [2, 3]


@pytest.mark.parametrize(
    "line", ["Q1 8:30 2 dat closeuot 4", "Q1 8:30 2 they ran a set", "Q1 8:30 2 box out 21", "Q1 8:30 2 qx 4"]
)
def test_unread_notes_are_kept(read: Read, line: str) -> None:
    """A possession whose notes cannot be read is counted with its points, and the line is kept as unclear."""
    intake = read(f"Q1 8:42 2 bo 21\n{line}\nQ1 8:20 0 stop")
    assert [t.points for t in intake.trips] == [2, 2, 0]
    assert [one.line for one in intake.unclear] == [2]


def test_a_line_that_opens_a_possession_is_not_asked_about(read: Read) -> None:
    """What they ran, with the notes below it, leaves nothing to sort; with a player in it, it does."""
    intake = read(
        "Q1 8:42 box set for the wing\n  bo 21, 2 pts\nQ1 8:10 flex, 9 somewhere\n  bo 4, 2 pts\nQ1 7:50 stop"
    )
    assert seen(intake) == [(1, "no-box-out", ("21",)), (2, "no-box-out", ("4",))]
    assert {one.line for one in intake.unclear} == {3}


def test_stray_players(read: Read) -> None:
    """A player off the roster is pointed out and kept as unclear; the breakdown is counted without him."""
    intake = read("Q1 8:42 2 bo 77 & 21", roster={"21", "0"})
    assert seen(intake) == [(1, "no-box-out", ("21",))]
    assert intake.problems == ("line 1: no player 77 on the roster",)
    assert "no player 77 on the roster" in intake.unclear[0].why
    assert seen(read("Q1 8:42 2 bo 00", roster={"0"})) == [(1, "no-box-out", ())]


def test_possessions_watched(read: Read) -> None:
    """More possessions told than written are used, fewer are a problem."""
    assert read("possessions: 58\nQ1 8:42 2 bo 21").possessions == 58
    intake = read("possessions: 1\nQ1 8:42 2 bo 21\nQ1 8:20 0 stop")
    assert intake.possessions == 2
    assert len(intake.problems) == 1


@pytest.mark.parametrize("totals", ["Totals: bo 2, lc 1", "TOTAL\nbo 2\nlc 1", "\nbo 2\nlc 1"])
def test_own_totals(read: Read, totals: str) -> None:
    """The coach's own totals are not counted, and only what differs is pointed out."""
    sheet = "Q1 8:42 2 bo 21\nQ1 8:20 3 lc 4\nQ1 8:00 0 stop\n"
    intake = read(sheet + totals)
    assert len(intake.sightings) == 2
    assert len(intake.trips) == 3
    assert [problem.split(": ", 1)[1] for problem in intake.problems] == [
        "the total says 2 no-box-out, the sheet has 1"
    ]


def test_counted_sheet(read: Read) -> None:
    """A sheet that only counts gives counts and no possessions written down."""
    intake = read("possessions 58\nno box out 7\nlate closeout: 4\nbw ||||| ||\nno talk 0\nzz zone: 3\n")
    assert [(s.breakdown, s.count, s.possession) for s in intake.sightings] == [
        ("no-box-out", 7, None),
        ("late-closeout", 4, None),
        ("ball-watching", 7, None),
    ]
    assert (intake.possessions, intake.trips) == (58, ())
    assert [one.line for one in intake.unclear] == [6]


def test_comments_remarks_and_legends(read: Read) -> None:
    """Comments and remarks are let be, a jersey at the start is no comment, a legend wins over our words."""
    intake = read(
        "# bo 21\n// bo 21\nNote: bo 21\nbo = late help\n"
        "Q1 8:42 2 bo 21 // and lc 4\n#4 lc +3\n# 12 no tag +2"
    )
    assert seen(intake) == [(1, "late-help", ("21",)), (2, "late-closeout", ("4",)), (3, "no-tag", ("12",))]


def test_a_remark_in_a_clocked_sheet_is_asked_about(read: Read) -> None:
    """A long line without clock, points and player below clocked ones is asked about, not counted."""
    sheet = "Q1 8:42 2 bo 21\nQ1 8:20 3 lc 4\nQ1 8:00 0 stop\n\n"
    intake = read(sheet + "We were late on closeouts all night long and nobody cared about it")
    assert len(intake.trips) == 3
    assert [one.line for one in intake.unclear] == [5]


def test_stop_with_points_is_pointed_out(read: Read) -> None:
    """A stop with points is counted by its points and pointed out."""
    intake = read("Q1 8:42 2 stop")
    assert intake.trips[0].points == 2
    assert "says stop and 2 points" in intake.problems[0]


def test_typing_errors_are_less_sure(read: Read) -> None:
    """A misspelt breakdown is counted with less sureness."""
    (one,) = read("Q1 8:42 2 late clsoeout 4").sightings
    assert (one.breakdown, one.players) == ("late-closeout", ("4",))
    assert one.sure < 1.0


def test_film_times(read: Read) -> None:
    """A film time is kept as the start of its sightings."""
    (one,) = read("0:12:40 2 bo 21").sightings
    assert one.start == "00:12:40.000"


def test_numbering_that_restarts(read: Read) -> None:
    """Possessions are counted on where their numbers begin again; a line pasted twice is counted once."""
    text = (
        "1h\n1) 0 bo 4\n2) +2 lc 9\n3) 0\n4) 0\n5) 0\n6) 0\n\n2h\n1) 0 bo 4\n2) +3\n2) +3\n3) +2 no tag 4\n"
    )
    intake = read(text)
    assert intake.possessions == 9
    assert seen(intake) == [
        (1, "no-box-out", ("4",)),
        (2, "late-closeout", ("9",)),
        (7, "no-box-out", ("4",)),
        (9, "no-tag", ("4",)),
    ]
    assert [trip.points for trip in intake.trips] == [0, 2, 0, 0, 0, 0, 0, 3, 2]


def test_paragraphs(read: Read) -> None:
    """Paragraphs of several lines with no clock are one possession each when one line of each ends it."""
    text = "\n\n".join(
        [
            "bo 4\nlayup, 2",
            "late closeout 9\n3 pts",
            "stop",
            "no tag 12\nand no talk\n2 pts",
            "they missed",
            "bo 9\n2 pts",
        ]
    )
    intake = read(text)
    assert [trip.points for trip in intake.trips] == [2, 3, 0, 2, 0, 2]
    assert [(one.possession, one.breakdown) for one in intake.sightings] == [
        (1, "no-box-out"),
        (2, "late-closeout"),
        (4, "no-tag"),
        (4, "no-talk"),
        (6, "no-box-out"),
    ]


def test_clocks_in_words_and_asides_on_headings(read: Read) -> None:
    """``19m35`` is a clock and ``H1 (we go left)`` a period."""
    intake = read(
        "H1  (we go left)\n1. 19m35 [3] bo 6\n2. 18m45 [2] clean\nH2 (other way)\n1. 19m03 [0] stop\n"
    )
    assert [(trip.period, trip.clock, trip.points) for trip in intake.trips] == [
        ("H1", "19:35", 3),
        ("H1", "18:45", 2),
        ("H2", "19:03", 0),
    ]


def test_replays_and_titles_are_no_possessions(read: Read) -> None:
    """A replay is not counted again, nor a title whose number could be points."""
    text = "sat v Millbrook game 2\n0:42  2  bo 10\n1:15  0  stop\n1:58  0  replay of 0:42\n2:40  3  lc 7\n"
    intake = read(text)
    assert [trip.points for trip in intake.trips] == [2, 0, 3]
    intake = read("sat am vs millbrook, notes 2\nbo 10, 2\nstop 0\nlc 7, 3\nno tag 12, 2\nstop\nbo 12, 2\n")
    assert intake.possessions == 6


def test_praise_and_opponents_are_not_charged(read: Read) -> None:
    """Players only praised, and the other team's numbers, are charged with nothing."""
    text = (
        "Q1\n8:00 2 great help by 40, no box out 12\n7:40 2 no box out 12, their #23 scores\n"
        "7:20 2 good rotation by 9 but no box out 12\n7:00 2 40 didn't get a body on 55\n6:40 0 stop\n"
    )
    assert [one.players for one in read(text).sightings] == [("12",), ("12",), ("12",), ("40",)]


def test_strokes_beside_praise(read: Read) -> None:
    """Strokes under a word of praise are no breakdowns."""
    counted = "no box out ||||/ ||\nlate to shooters |||"
    text = f"50 poss\n\n{counted}\n\nthe good stuff\ndeflections ||||\ngood closeouts |||\n"
    assert [(one.breakdown, one.count) for one in read(text).sightings] == [
        ("no-box-out", 7),
        ("late-closeout", 3),
    ]


def test_a_bullet_whose_notes_stand_below(read: Read) -> None:
    """A bullet that only names the action is a possession, the bullets set below it are its notes."""
    rows = [
        "- 12 beat off the dribble 2 pts",
        "- high screen:",
        "  - 5 dies on the screen",
        "  - no talk 3 pts",
    ]
    intake = read("\n".join([*rows, "- 30 no box out 2 pts", "- they walk 0 pts"]))
    assert [one.points for one in intake.trips] == [2, 3, 2, 0]
    assert seen(intake) == [
        (1, "blown-by", ("12",)),
        (2, "died-on-screen", ("5",)),
        (2, "no-talk", ()),
        (3, "no-box-out", ("30",)),
    ]


def test_a_list_that_goes_on_with_and(read: Read) -> None:
    """A bullet that begins with ``and`` and has points of its own is the next possession."""
    intake = read("- 12 beat 2 pts\n- and 30 no box out 2 pts\n- stop\n- and then stop\n")
    assert len(intake.trips) == 4


def test_who_it_was_is_said_later(read: Read) -> None:
    """A line that only says who it was puts the charge right and is no possession."""
    intake = read("4 beat 2 pts\n12 reach foul 0 pts\n30 no box out 2 pts\noh and the reach was 15 not 12")
    assert len(intake.trips) == 3
    assert seen(intake)[1] == (2, "reach-foul", ("15",))


def test_a_long_line_pasted_twice(read: Read) -> None:
    """A long line without clock or number that stands there twice is one possession, a short one two."""
    line = "30 stands next to her girl and does not box out = 2"
    assert len(read(f"12 beat = 2\n{line}\n{line}\nstop = 0").trips) == 3
    assert len(read("12 beat = 2\n12 beat = 2\nstop = 0").trips) == 3


@pytest.mark.parametrize("title", ["## Tomorrow", "TO DO", "Next practice:", "## Totals (mine)"])
def test_below_the_last_title(read: Read, title: str) -> None:
    """Below a title of totals or of what to do nothing is counted."""
    rows = "\n".join(["- 12 beat 2 pts", "- 30 no box out 2 pts", "- stop 0 pts"])
    intake = read(f"{rows}\n\n{title}\n\n- no box out 30\n- late closeout drill 4\n")
    assert len(intake.trips) == len(intake.sightings) + 1 == 3


@pytest.mark.parametrize(
    "last",
    ["That's 44 given away, 30 no box out twice.", "tmrw no box out drill", "My sum is two no box outs"],
)
def test_a_last_line_sums_up(read: Read, last: str) -> None:
    """A last line that sums up or looks ahead is no possession."""
    assert len(read(f"12 beat 2 pts\n30 no box out 2 pts\nstop\n{last}").trips) == 3


def test_pluses_beside_dashes(read: Read) -> None:
    """Where good trips have a plus and bad ones a dash, a plus opens a possession."""
    rows = ["- 12 beat for 2", "+ five voices, they walk, 0", "- 30 no box out for 2", "- 4 sealed for 2"]
    intake = read("\n".join(["`+` = good, `-` = bad for us", "", *rows, *rows, "+ a stop, 0", "---"]))
    assert [one.points for one in intake.trips] == [2, 0, 2, 2, 2, 0, 2, 2, 0]
