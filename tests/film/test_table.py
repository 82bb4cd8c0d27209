"""Tables of film, whatever their layout: counts, players, points and possessions come out exactly."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film.intake import Intake
from planner.film.read import read_note
from planner.film.table_columns import Columns, told_columns
from planner.film.wording import Lexicon
from planner.problem import Refusal

ROSTER = frozenset({"0", "4", "12", "21", "33"})
SAID = {
    "no-box-out": ("no box out", "No box-out", "didn't box out"),
    "late-closeout": ("late closeout", "Late closeout"),
    "ball-watching": ("ball watching",),
    "slow-back": ("slow back",),
}
HEADERS = {
    "period": ("Period", "Qtr", "QUARTER", "Q"),
    "clock": ("Clock", "Time left", "game clock", "Time"),
    "points": ("Points", "Pts", "Pts allowed", "points against"),
    "breakdown": ("Breakdown", "Mistake", "What went wrong", "Defensive error", "ERRORS"),
    "player": ("Player", "Who", "Jersey", "Player #", "Defender"),
    "count": ("Count", "Times", "n", "How many"),
    "possession": ("Possession", "Poss", "Poss. #", "#"),
}
Read = Callable[..., Intake]
Note = Callable[[str, bytes], Intake]
DELIMITERS = (",", ";", "\t", "|")


@dataclass(frozen=True)
class Trip:
    period: int
    clock: str
    points: int
    seen: tuple[tuple[str, str], ...]


@st.composite
def games(draw: st.DrawFn) -> list[Trip]:
    trips = []
    for period in (1, 2):
        clocks = sorted(draw(st.sets(st.integers(5, 470), min_size=2, max_size=8)), reverse=True)
        for seconds in clocks:
            seen = draw(
                st.lists(
                    st.tuples(st.sampled_from(sorted(SAID)), st.sampled_from(sorted(ROSTER))), max_size=2
                )
            )
            unique = tuple(dict.fromkeys(seen))
            trips.append(Trip(period, f"{seconds // 60}:{seconds % 60:02d}", draw(st.integers(0, 3)), unique))
    return trips


def write(rows: Sequence[Sequence[str]], delimiter: str) -> bytes:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue().encode()


def counts(intake: Intake) -> Counter[tuple[str, tuple[str, ...]]]:
    seen: Counter[tuple[str, tuple[str, ...]]] = Counter()
    for one in intake.sightings:
        seen[one.breakdown, one.players] += one.count
    return seen


def truth(trips: Sequence[Trip]) -> Counter[tuple[str, tuple[str, ...]]]:
    return Counter((name, (player,)) for trip in trips for name, player in trip.seen)


@pytest.fixture(scope="module")
def note(lexicon: Lexicon) -> Callable[[str, bytes], Intake]:
    """Return a reader with the roster (a lexicon itself is slow to print when a property fails)."""

    def reader(name: str, data: bytes) -> Intake:
        return read_note(name, data, lexicon, ROSTER)

    return reader


@settings(max_examples=120, deadline=None)
@given(st.data(), games(), st.sampled_from(DELIMITERS), st.sampled_from(["utf-8", "utf-16", "cp1252"]))
def test_rows_of_events(note: Note, data: st.DataObject, trips: list[Trip], mark: str, code: str) -> None:
    """A row per event, clean possessions blank, columns in any order and wording: everything is exact."""
    trips = [*trips, Trip(2, "0:01", 0, ())]
    order = data.draw(st.permutations(["period", "clock", "points", "breakdown", "player"]))
    header = [data.draw(st.sampled_from(HEADERS[one])) for one in order]
    rows = [header]
    for trip in trips:
        for name, player in trip.seen or (("", ""),):
            said = (
                data.draw(st.sampled_from(SAID[name]))
                if name
                else data.draw(st.sampled_from(["", "-", "clean"]))
            )
            cells = {
                "period": str(trip.period),
                "clock": trip.clock,
                "points": str(trip.points),
                "breakdown": said,
            }
            rows.append([{**cells, "player": player}[one] for one in order])
    intake = note("film.csv", write(rows, mark).decode().encode(code))
    assert counts(intake) == truth(trips)
    assert intake.possessions == len(trips)
    assert [trip.points for trip in intake.trips] == [trip.points for trip in trips]
    assert (intake.unclear, intake.problems, intake.kind) == ((), (), "table")


@settings(max_examples=80, deadline=None)
@given(st.data(), games(), st.sampled_from(DELIMITERS), st.booleans())
def test_columns_of_counts(
    note: Note, data: st.DataObject, trips: list[Trip], mark: str, ticks: bool
) -> None:
    """A column per breakdown, a row per possession, with numbers or ticks: everything is exact."""
    names = data.draw(st.permutations(sorted(SAID)))
    header = [data.draw(st.sampled_from(HEADERS["possession"])), "Pts", *(SAID[one][0] for one in names)]
    rows = [header]
    for number, trip in enumerate(trips, 1):
        seen = Counter(name for name, _ in trip.seen)
        cells = ["x" * seen[one] if ticks else str(seen[one] or "") for one in names]
        rows.append([str(number), str(trip.points), *cells])
    rows.append(["Total", "", *(str(sum(n == one for t in trips for n, _ in t.seen)) for one in names)])
    intake = note("film.csv", write(rows, mark))
    seen = Counter(name for trip in trips for name, _ in trip.seen)
    assert Counter({name: n for (name, _), n in counts(intake).items()}) == seen
    assert (intake.possessions, intake.unclear) == (len(trips), ())
    assert intake.problems in ((), ("no possession and no count was found",))


@settings(max_examples=80, deadline=None)
@given(st.data(), games(), st.sampled_from(DELIMITERS))
def test_rows_of_players(note: Note, data: st.DataObject, trips: list[Trip], mark: str) -> None:
    """A row per player and a column per breakdown, totals and all: counts and players are exact."""
    seen = truth(trips)
    names = data.draw(st.permutations(sorted(SAID)))
    rows = [[data.draw(st.sampled_from(HEADERS["player"])), *(SAID[one][0] for one in names), "Total"]]
    for player in data.draw(st.permutations(sorted(ROSTER))):
        of = [seen[one, (player,)] for one in names]
        rows.append([f"#{player}", *map(str, of), str(sum(of))])
    rows.append(["TOTALS", *(str(sum(seen[one, (p,)] for p in ROSTER)) for one in names), str(seen.total())])
    intake = note("film.csv", write(rows, mark))
    assert counts(intake) == seen
    assert (intake.possessions, intake.trips, intake.unclear) == (None, (), ())


@settings(max_examples=60, deadline=None)
@given(st.data(), games(), st.sampled_from(DELIMITERS))
def test_counts_of_a_game(note: Note, data: st.DataObject, trips: list[Trip], mark: str) -> None:
    """A row per breakdown with a count, possessions told above: counts and possessions are exact."""
    seen = Counter(name for trip in trips for name, _ in trip.seen)
    rows = [["Date", "2026-11-20"], ["Opponent", "Harbour Point"], ["Possessions", str(len(trips))], []]
    rows.append([data.draw(st.sampled_from(HEADERS[one])) for one in ("breakdown", "count")])
    rows += [[SAID[one][0], str(seen[one])] for one in sorted(SAID)]
    rows.append(["Total", str(seen.total())])
    intake = note("film.csv", write(rows, mark))
    assert Counter({one.breakdown: one.count for one in intake.sightings}) == +seen
    assert intake.possessions == len(trips)
    assert (intake.heading.date, intake.heading.opponent) == ("2026-11-20", "Harbour Point")


@pytest.fixture
def table(lexicon: Lexicon) -> Read:
    """Return a reader of table text."""

    def reader(text: str, name: str = "film.csv", **more: object) -> Intake:
        return read_note(name, text.encode(), lexicon, more.pop("roster", None), **more)  # type: ignore[arg-type]

    return reader


def test_matrix_of_players(table: Read) -> None:
    """Breakdowns down the side and players along the top: each number is that player's, totals are not."""
    intake = table("Mistake,#4,12,#21,Total\nno box out,2,,1,3\nlate closeout,0,1,,1\nTotal,2,1,1,4\n")
    assert counts(intake) == {
        ("no-box-out", ("4",)): 2,
        ("no-box-out", ("21",)): 1,
        ("late-closeout", ("12",)): 1,
    }


def test_quarters_along_the_top(table: Read) -> None:
    """Columns for quarters are added up, their total is not."""
    intake = table("Breakdown;Q1;Q2;Q3;Q4;Total\nno box out;1;2;0;3;6\nball watching;;1;;;1\n")
    assert sum(one.count for one in intake.sightings if one.breakdown == "no-box-out") == 6
    assert sum(one.count for one in intake.sightings if one.breakdown == "ball-watching") == 1


def test_jerseys_as_ticks(table: Read) -> None:
    """Numbers under a breakdown that no possession could count to are the jerseys of those charged."""
    intake = table("Poss,No box out,Ball watching\n1,21,\n2,,4; 12\n3,,\n")
    assert counts(intake) == {("no-box-out", ("21",)): 1, ("ball-watching", ("4", "12")): 1}
    assert intake.possessions == 3


def test_several_breakdowns_in_a_row(table: Read) -> None:
    """Pairs of breakdown and player columns, and several in one cell, are each charged to their own."""
    text = "Q,Clock,Error 1,Player 1,Error 2,Player 2\n1,8:42,no box out,21,late closeout,4\n1,8:20,,,,\n"
    assert counts(table(text)) == {("no-box-out", ("21",)): 1, ("late-closeout", ("4",)): 1}
    text = 'Clock,Breakdowns\n8:42,"no box out 21, late closeout 4"\n8:20,"ball watching\n12"\n8:00,\n'
    seen = {("no-box-out", ("21",)): 1, ("late-closeout", ("4",)): 1, ("ball-watching", ("12",)): 1}
    assert counts(table(text)) == seen


def test_decimal_commas_and_titles(table: Read) -> None:
    """A title above the header, decimal commas, merged period cells and 8:42:00 are read."""
    intake = table(
        "Film v Elm Creek, 2026-11-20, away\n\nQuarter;Clock;Pts;Mistake;Player;Times\n"
        "1;8:42:00;2,0;no box out;21,0;1,0\n;8:20:00;0,0;;;\n2;7:00:00;3,0;late closeout;4;2,0\n"
    )
    assert [(t.period, t.clock, t.points) for t in intake.trips] == [
        ("Q1", "08:42", 2),
        ("Q1", "08:20", 0),
        ("Q2", "07:00", 3),
    ]
    assert counts(intake) == {("no-box-out", ("21",)): 1, ("late-closeout", ("4",)): 2}
    assert (intake.heading.date, intake.heading.opponent, intake.heading.venue) == (
        "2026-11-20",
        "Elm Creek",
        "away",
    )


def test_film_times(table: Read) -> None:
    """Start and end in the film are told from the game clock and given as hours, minutes, seconds."""
    intake = table("Start,End,Tag,Who\n0:01:02,0:01:10.5,no box out,21\n1:03:02,1:03:10,late closeout,4\n")
    assert [(one.start, one.end) for one in intake.sightings] == [
        ("00:01:02.000", "00:01:10.500"),
        ("01:03:02.000", "01:03:10.000"),
    ]
    assert intake.possessions is None
    assert table("Time,Mistake\n8:42,no box out\n8:20,clean\n").trips[0].clock == "08:42"
    assert (
        table("Time,Mistake\n8:42,no box out\n19:20,clean\n31:10,no tag\n").sightings[0].start
        == "00:08:42.000"
    )


def test_events_alone_tell_no_possessions(table: Read) -> None:
    """Events without clean possessions, points or numbers do not say how many possessions were watched."""
    intake = table("Clock,Mistake,Player\n8:42,no box out,21\n8:20,no box out,21\n8:20,ball watching,4\n")
    assert (intake.possessions, intake.trips) == (None, ())
    assert [one.possession for one in intake.sightings] == [None, None, None]


def test_numbered_possessions(table: Read) -> None:
    """Rows with one number are one possession; gaps are pointed out; numbers may start anew."""
    intake = table("Poss,Pts,Mistake,Player\n1,2,no box out,21\n1,2,late closeout,4\n2,0,,\n5,3,no tag,4\n")
    assert [one.possession for one in intake.sightings] == [1, 1, 3]
    assert intake.possessions == 3
    assert any("numbered up to 5" in one for one in intake.problems)
    again = table("Q,Poss,Mistake\n1,1,no box out\n1,2,\n2,1,late closeout\n2,2,\n")
    assert (again.possessions, [one.possession for one in again.sightings]) == (4, [1, 3])


def test_pasted_twice(table: Read) -> None:
    """A row with a clock that is pasted again counts once; equal rows without a clock are two events."""
    row = "Q1,8:42,no box out,21\n"
    intake = table(f"Period,Clock,Mistake,Player\n{row}{row}Q1,8:20,,\n")
    assert (counts(intake).total(), intake.possessions) == (1, 2)
    assert intake.problems == ("line 3: the same as line 2; counted once",)
    assert counts(table("Mistake,Player\nno box out,21\nno box out,21\n")).total() == 2


def test_totals(table: Read) -> None:
    """Totals, subtotals, averages and a last row of sums never count; totals that differ are pointed out."""
    head = "Player,No box out,Ball watching\n4,2,1\n12,1,0\n"
    for last in ("Total,3,1", "Team total,3,1", ",3,1", "Average,1.5,0.5", "Q1 total,3,1"):
        assert counts(table(f"{head}{last}\n")).total() == 4
    assert any(
        "the total says 4 no-box-out, the table has 3" in one for one in table(f"{head}Total,4,1\n").problems
    )


def test_what_cannot_be_read_waits_with_its_line(table: Read) -> None:
    """Unknown wording, counts, clocks, points and players wait with their lines; the rest counts."""
    intake = table(
        "Period,Clock,Pts,Mistake,Player,Times\nQ1,8:42,2,zonk,21,\nQ1,13:99,2,no box out,21,\n"
        "Q1,8:00,9,no box out,21,\nQ1,7:50,2,no box out,99,\nQ1,7:40,2,no box out,21,many\n"
        'Q1,7:30,-2,no box out,Nobody Known,\nQ1,7:20,2,"late closeout 4, zonk big guy",,\n',
        roster=ROSTER,
    )
    assert {one.line: one.why.split(";")[0] for one in intake.unclear} == {
        2: "'zonk' is no breakdown we know",
        3: "the clock cannot show 13:99 in Q1",
        4: "9 points on one possession cannot be",
        5: "no player 99 on the roster",
        6: "'many' is no count",
        7: "-2 points on one possession cannot be",
        8: "'zonk big guy' is no breakdown we know",
    }
    assert [one.line for one in intake.sightings] == [3, 4, 5, 7, 8]
    assert sum("Nobody Known".casefold() in one.why for one in intake.unclear) == 1
    assert intake.unclear[0].text == "zonk #21"


def test_names_are_jerseys(lexicon: Lexicon) -> None:
    """Names of the roster stand for jerseys, in a column and in a cell."""
    text = b"Clock,Mistake,Who\n8:42,no box out,Odell\n8:20,late closeout Rook,\n8:00,,\n7:40,no tag,21 Odell"
    intake = read_note("f.csv", text, lexicon, ROSTER, names={"odell": "21", "rook": "4"})
    assert [one.players for one in intake.sightings] == [("21",), ("4",), ("21",)]
    sheet = read_note(
        "f.txt",
        b"Q1 8:42 2 Odell no box out, late closeout Rook\n",
        lexicon,
        ROSTER,
        names={"odell": "21", "rook": "4"},
    )
    assert counts(sheet) == {("no-box-out", ("21",)): 1, ("late-closeout", ("4",)): 1}


def test_columns_told(lexicon: Lexicon) -> None:
    """How columns were read is said in words; a correction holds, and again for the same header."""
    text = b"When,Blah,Zed\n8:42,no box out,21\n8:20,,\n"
    intake = read_note("f.csv", text, lexicon, ROSTER)
    assert "column 'Blah' read as breakdown" in intake.columns
    assert "column 'Zed' not read" in intake.columns
    told = told_columns(["Zed=player", "when = ignore"], lexicon)
    for columns in (Columns(told), Columns(known={intake.header: told})):
        again = read_note("f.csv", text, lexicon, ROSTER, columns=columns)
        assert again.sightings[0].players == ("21",)
        assert again.trips == ()
    counted = read_note(
        "f.csv",
        b"Who,A,B\n4,2,1\n",
        lexicon,
        columns=Columns(told_columns(["A=no-box-out", "B=no-tag"], lexicon)),
    )
    assert counts(counted) == {("no-box-out", ("4",)): 2, ("no-tag", ("4",)): 1}
    with pytest.raises(Refusal, match="meaning of a column"):
        told_columns(["Zed=nonsense"], lexicon)
    with pytest.raises(Refusal, match="Header=breakdown"):
        told_columns(["Zed"], lexicon)


def test_several_games_are_refused(table: Read) -> None:
    """A table of several games is refused with the line where the second begins."""
    with pytest.raises(Refusal, match=r"line 3.*more than one game"):
        table("Opponent,No box out,Ball watching\nElm,7,4\nOak,3,2\n")


def test_second_table(table: Read) -> None:
    """A summary under the table is not counted on top of it."""
    intake = table("Clock,Mistake\n8:42,no box out\n8:20,\n\nMistake,Count\nno box out,1\n")
    assert counts(intake).total() == 1
    assert any("second table" in one for one in intake.problems)


def test_sheets_stay_sheets(table: Read) -> None:
    """Typed notes with commas, and a comment that lists columns, are no table."""
    text = (
        "# period clock, points, breakdowns\nQ1 8:42, 2, no box out 21, ball watching 4\nQ1 8:20, 0, stop\n"
    )
    assert table(text, "notes.txt").kind == "sheet"
    assert table("late closeout 4, no box out 21\nstop\n", "notes.txt").kind == "sheet"
    assert table("Clock,Pts,Mistake\n8:42,2,no box out\n8:20,0,\n", "notes.txt").kind == "table"


def test_without_header(table: Read) -> None:
    """Without a header rows are lines of a sheet; words and numbers in two columns are counts."""
    intake = table("Q1,8:42,2,no box out,21\nQ1,8:20,0,stop,\n")
    assert (intake.possessions, counts(intake)) == (2, {("no-box-out", ("21",)): 1})
    assert counts(table("no box out,7\nlate closeout,4\n")) == {
        ("no-box-out", ()): 7,
        ("late-closeout", ()): 4,
    }


CELLS = (
    *(
        "",
        "0",
        "2",
        "21",
        "-3",
        "9",
        "x",
        "|||",
        "no box out",
        "zonk",
        "8:42",
        "99:99",
        "Q1",
        "Total",
        "Mistake",
    ),
    *(
        "Player",
        "Pts",
        "No box out",
        "#",
        "Clock",
        '"',
        "=cmd",
        "Possessions",
        "2,0",
        "clean",
        "Date",
        "2026-13-45",
    ),
)


@settings(max_examples=250, deadline=None)
@given(st.lists(st.lists(st.sampled_from(CELLS), max_size=6), max_size=9), st.sampled_from(DELIMITERS))
def test_any_cells(note: Note, rows: list[list[str]], mark: str) -> None:
    """Any heap of cells gives a sound reading, the same each time, or a refusal."""
    head = ["Clock", "Pts", "Mistake", "Player", "Ball watching"]
    data = "\n".join(mark.join(row) for row in [head, *rows]).encode()
    try:
        intake = note("x.csv", data)
    except Refusal:
        return
    assert intake == note("x.csv", data)
    assert [trip.number for trip in intake.trips] == list(range(1, len(intake.trips) + 1))
    assert all(trip.points is None or 0 <= trip.points <= 5 for trip in intake.trips)
    for one in intake.sightings:
        assert 1 <= one.count <= 300
        assert set(one.players) <= ROSTER
        assert one.possession is None or intake.trips[one.possession - 1].points == one.points
    assert all(one.why and one.line for one in intake.unclear)


def test_a_second_mistake_and_its_player(table: Read) -> None:
    """Columns of a second mistake and of its player are known by what they hold; a remark puts one right."""
    text = (
        "Price;Half;Left;Fault A;A on;Fault B;B on;Remark\n"
        "2;1;9:40;beat off the dribble;12;no help at the rim;30;\n"
        "0;1;9:10;;;;;solid\n"
        "3;1;8:40;late closeout;4;;;A on should be 14, not 4\n"
        "2;1;8:02;no box out;30;no box out;12;\n"
        "2;1;7:30;ball watching;5+12;;;\n"
        "9;;;faults in all: 6;;;;my count\n"
    )
    made = table(text.replace("Price", "Cost"))
    assert made.possessions == 5
    assert [(one.possession, one.breakdown, one.players) for one in made.sightings] == [
        (1, "blown-by", ("12",)),
        (1, "late-help", ("30",)),
        (3, "late-closeout", ("14",)),
        (4, "no-box-out", ("30",)),
        (4, "no-box-out", ("12",)),
        (5, "ball-watching", ("5", "12")),
    ]


def test_a_row_that_explains_codes(table: Read) -> None:
    """Where the row below the header says what its codes mean, it is the header; sums are no row."""
    text = (
        "Shirt,AA,BB,CC,DD,SUM\n(means),no box out,late closeout,ball watching,steals - GOOD,all\n"
        "4,2,,1,3,3\n9,,1,,,1\nALL,2,1,1,3,4\n"
    )
    made = table(text)
    assert counts(made) == {
        ("no-box-out", ("4",)): 2,
        ("ball-watching", ("4",)): 1,
        ("late-closeout", ("9",)): 1,
    }


def test_the_column_that_numbers_possessions(table: Read) -> None:
    """Of two columns that run up, pages and possessions, the one with more numbers counts possessions."""
    rows = [
        *("1,1,00:40,12,beat off the dribble,2", "1,2,01:10,30,no box out,2", "1,3,01:50,4,late closeout,3"),
        *("2,4,02:20,12,ball watching,0", "2,5,03:01,24,back cut,", "2,5,03:02,8 not 24,row above,2"),
        *("2,6,03:40,30,sealed,2", ",,,,sums,", ",,,30,no box out,"),
    ]
    made = table("\n".join(["Pg,Go,Tape,Who,What went wrong,Price", *rows]))
    assert made.possessions == 6
    assert [(one.possession, one.breakdown, one.players) for one in made.sightings][4:] == [
        (5, "back-cut", ("8",)),
        (6, "sealed", ("30",)),
    ]
