"""A film note at the desk: added once, taken back whole, harmless whatever it holds."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.film import add_files, film_list, film_sheet, read_files, undo_film
from planner.desk.film_proposals import YES, Which, answer, proposals
from planner.desk.film_sorting import sort_line, unclear_lines
from planner.desk.needs import assess_needs
from planner.desk.team import games
from planner.film.bounds import MOST_BYTES
from planner.need.estimate import Needs
from planner.problem import Refusal
from planner.store import queries
from tests.running import TODAY, everything, is_clean, rows

NOTE = """\
Opponent: Harbour Point
Date: 2027-01-11
Q1 8:42 2 no box out 21, ball watching 44
Q1 8:20 stop
Q1 8:01 2 zzz qqq wobble
"""


def written(home: Path, text: str | bytes = NOTE, name: str = "harbour.txt") -> Path:
    path = home / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def test_the_same_bytes_twice_add_nothing(desk: Desk) -> None:
    """The second time the very same bytes add no row, under whatever name."""
    path = written(desk.home)
    assert add_files(desk, [path]).new
    before = everything(desk.home)
    again = add_files(desk, [path, written(desk.home, name="copy.txt")])
    assert [one.number for one in again.added] == [None, None]
    assert everything(desk.home) == before


def test_a_note_makes_the_game_that_its_heading_names(desk: Desk) -> None:
    """A date and an opponent not yet in the calendar become a game; those known are found again."""
    add_files(desk, [written(desk.home)])
    made = next(one for one in games(desk) if one.opponent == "Harbour Point")
    assert (made.date, made.films) == (dt.date(2027, 1, 11), 1)
    add_files(desk, [written(desk.home, NOTE + "Q2 1:00 stop\n", "second.txt")])
    assert next(one for one in games(desk) if one.opponent == "Harbour Point").films == 2


def test_a_note_goes_to_the_game_against_its_opponent(desk: Desk) -> None:
    """Without a date the one game played against that opponent is meant, not the one to come."""
    note = written(desk.home, "Opponent: Pennigrove\nQ1 8:42 2 no box out\n")
    assert add_files(desk, [note]).added[0].game == "2026-11-25 v Pennigrove"


def test_film_changes_the_needs_and_undo_changes_them_back(desk: Desk) -> None:
    """More missed box-outs raise the need to box out; without the note it is what it was."""

    def box_out(found: Needs) -> float:
        return next(one.points_per_100 for one in found.principles if one.principle == "box-out")

    before = assess_needs(desk)
    lines = "".join(f"Q1 {9 - n % 9}:{n:02d} 2 no box out 21\n" for n in range(1, 40))
    add_files(desk, [written(desk.home, f"Opponent: Harbour Point\nDate: 2027-01-11\n{lines}")])
    assert box_out(assess_needs(desk)) > box_out(before)
    undo_film(desk)
    assert assess_needs(desk) == before


def test_film_taken_back_is_listed_only_when_asked_for(desk: Desk) -> None:
    """A note taken back is out of the list and of every count, yet not forgotten."""
    count = len(film_list(desk))
    gone = undo_film(desk, 4)
    assert len(film_list(desk)) == count - 1
    assert gone.id in {one.id for one in film_list(desk, undone=True) if one.undone}
    for number in (4, 400):
        with pytest.raises(Refusal, match=f"There is no film note {number}"):
            undo_film(desk, number)


def test_a_line_that_cannot_be_read_spoils_nothing(desk: Desk) -> None:
    """The lines around it count, it waits, and once sorted it counts like any other."""
    add_files(desk, [written(desk.home)])
    waiting = [one for one in unclear_lines(desk) if one.file == "harbour.txt"]
    assert len(waiting) == 1
    assert "wobble" in waiting[0].text
    before = film_list(desk)[-1].sightings
    sort_line(desk, waiting[0].id, "no-talk", ["44"])
    assert film_list(desk)[-1].sightings == before + 1
    assert waiting[0].id not in {one.id for one in unclear_lines(desk)}
    with pytest.raises(Refusal, match="sorted already"):
        sort_line(desk, waiting[0].id, "no-tag")


BAD = [
    (b"", "is empty"),
    (b" \r\n\t\n", "is empty"),
    (bytes(range(256)) * 40, "is no text"),
    (b"%PDF-1.7\n" + bytes(500), "is no"),
    (b"Q1 8:42 2 no box out 21\n", "does not say which game it is; add --game NUMBER"),
    (b"Opponent: Nobody We Know\nQ1 8:42 2 no box out\n", "No game against Nobody We Know is known"),
    (b"Opponent: X\nDate: 2027-01-20\nQ1 8:42 2 no box out\n", "still ahead"),
]


@pytest.mark.parametrize(("raw", "words"), BAD, ids=[one[1] for one in BAD])
def test_a_note_that_cannot_be_placed_adds_nothing(desk: Desk, raw: bytes, words: str) -> None:
    """What is no note, or of no known game, is refused in a sentence and adds nothing."""
    bad = written(desk.home, raw, "bad.txt")
    before = everything(desk.home)
    found = add_files(desk, [bad])
    assert not found.added
    assert words in found.refused[0].why
    assert found.refused[0].why.endswith((".", "'."))
    assert everything(desk.home) == before


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_note_without_permission_is_refused(desk: Desk) -> None:
    """A file that may not be read is named, with the reason."""
    path = written(desk.home)
    path.chmod(0)
    assert "harbour.txt' cannot be read: Permission denied" in read_files(desk, [path]).refused[0].why


def test_a_note_that_grows_too_large_is_refused_unread(desk: Desk) -> None:
    """Five million letters and one more are no film note of any kind."""
    path = desk.home / "large.txt"
    with path.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    assert "larger than 5 MB" in read_files(desk, [path]).refused[0].why


def test_no_note_can_hold_points_below_none(desk: Desk) -> None:
    """A possession is never worth less than nothing, whatever the sheet says."""
    path = written(desk.home, NOTE + "Q2 3:00 -3 no box out 21\nQ2 2:00 -2\nQ2 1:30 +2 no tag 44\n")
    number = add_files(desk, [path]).added[0].number
    assert number is not None
    with desk.reading() as session:
        kept = queries.intake(session, number)
    assert all(one.points is None or one.points >= 0 for one in (*kept.trips, *kept.sightings))
    assert any(one.points == 2 for one in kept.trips)


def test_a_hostile_note_comes_out_clean(desk: Desk) -> None:
    """Escapes, markup, turned-round writing and endless words in a note are harmless once they are in."""
    nasty = "\x1b[31m\x1b]0;owned\x07[bold red]\u202egnorw\u202c " + "x" * 300
    text = f"Opponent: {nasty}\nDate: 2027-01-11\nQ1 8:42 2 no box out 21 {nasty}\n{nasty}\nQ1 8:20 stop\n"
    add_files(desk, [written(desk.home, text, "nasty.txt")])
    kept = rows(desk.home)
    for table in ("game", "intake", "sighting", "unclear", "possession"):
        for one in kept[table]:
            assert all(is_clean(value) for value in one.values() if isinstance(value, str)), (table, one)
    assert len(next(one for one in games(desk) if one.date == dt.date(2027, 1, 11)).opponent) <= 200


def test_films_of_a_coming_day_are_not_in_the_needs(desk: Desk) -> None:
    """As of a day before the first game nothing has been watched."""
    assert assess_needs(desk, dt.date(2026, 11, 1)).games == 0
    assert assess_needs(desk, TODAY).games > 5


def test_every_note_written_as_a_sheet_reads_back_alike(desk: Desk) -> None:
    """Each film note of the demo, written out and read again, holds the same possessions and breakdowns."""
    notes = film_list(desk)
    assert len(notes) > 5
    for one in notes:
        path = written(desk.home, film_sheet(desk, one.id), f"again{one.id}.txt")
        (again,) = read_files(desk, [path]).readings
        with desk.reading() as session:
            seen = queries.sightings(session, intake=one.id)
            trips = queries.intake(session, one.id).trips
        assert again.intake.possessions == one.possessions
        assert [(t.number, t.period, t.clock, t.points) for t in again.intake.trips] == [
            (t.number, t.period, t.clock, t.points) for t in trips
        ]
        back = [(s.possession, s.breakdown, s.players, s.count) for s in again.intake.sightings]
        assert sorted(back) == sorted((s.possession, s.breakdown, s.players, s.count) for s in seen)
        assert again.intake.unclear == ()


def test_a_narrated_film_is_written_as_counts(desk: Desk) -> None:
    """What was said yes to becomes counts that read back; what waits or was said no to is not written."""
    said = "nobody got a body on anybody when the shot went up and they tip it in"
    cues = "".join(f"00:{at:02d}.000 --> 00:{at + 4:02d}.000\nnext one {said}\n\n" for at in (1, 21, 41))
    path = written(desk.home, f"WEBVTT\n\n{cues}", "talk.vtt")
    number = add_files(desk, [path], 1, possessions=40).added[0].number
    assert number is not None
    first, second, _ = proposals(desk, number)
    answer(desk, Which((first.id, second.id)), YES)
    text = film_sheet(desk, number)
    assert text.splitlines()[-2:] == ["Possessions: 40", "no-box-out: 2"]
    again = read_files(desk, [written(desk.home, text, "again.txt")]).readings[0].intake
    assert [(one.breakdown, one.count) for one in again.sightings] == [("no-box-out", 2)]
