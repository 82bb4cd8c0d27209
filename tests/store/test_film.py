from __future__ import annotations

import datetime as dt
import hashlib
import tempfile
import tracemalloc
import zlib
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.film.intake import Intake, Possession, Sighting, Unclear
from planner.problem import Refusal
from planner.store import backup, queries
from planner.store.engine import Store, open_store
from planner.store.values import TeamInfo
from tests.store.making import STAMP, an_intake

DAY = dt.date(2027, 1, 12)


@pytest.fixture
def game(store: Store) -> int:
    with store.session() as session:
        return queries.add_game(session, DAY, "Marlow Lane")


def _add(store: Store, game: int, intake: Intake | None = None, raw: bytes = b"note") -> int:
    with store.session() as session:
        return queries.add_intake(session, game, intake or an_intake(), raw, STAMP)


def test_a_reading_comes_back_as_it_went_in(store: Store, game: int) -> None:
    """Trips, sightings with their players in order, unclear lines, problems and heading are all kept."""
    number = _add(store, game)
    with store.reading() as session:
        assert queries.intake(session, number) == an_intake()
        assert queries.sightings(session, intake=number) == an_intake().sightings
        assert queries.sightings(session, game=game) == an_intake().sightings
        assert queries.sightings(session, game=game + 1) == ()


def test_a_reading_is_listed_with_its_counts(store: Store, game: int) -> None:
    """The list tells file, game, moment and how much was read; twice the same breakdown counts twice."""
    number = _add(store, game)
    with store.reading() as session:
        (told,) = queries.intakes(session)
    assert (told.id, told.file, told.kind, told.game) == (number, "quarter.txt", "sheet", game)
    assert told.stamp == STAMP
    assert (told.possessions, told.trips, told.sightings, told.unclear) == (3, 3, 4, 1)
    assert told.problems == an_intake().problems
    assert not told.undone


@pytest.mark.parametrize("raw", [b"", b"x", b"p1 2 nt\n" * 5000, bytes(range(256)) * 3])
def test_bytes_come_back_whole(store: Store, game: int, raw: bytes) -> None:
    """A note's bytes are kept exactly, whether packing makes them smaller or not."""
    number = _add(store, game, raw=raw)
    with store.reading() as session:
        assert queries.raw_note(session, number) == raw


def test_a_note_is_packed_when_that_saves_room(store: Store, game: int) -> None:
    """Long notes are stored compressed; damaged ones are told, and never swell beyond their size."""
    number = _add(store, game, raw=b"p1 2 nt\n" * 5000)
    with store.session() as session:
        from planner.store import models

        note = session.get(models.FilmNote, 1)
        assert note is not None
        assert note.packed
        assert len(note.raw) < 400
        note.size, note.raw = 10, zlib.compress(b"x" * 20_000_000)
        session.add(note)
    tracemalloc.start()
    try:
        with store.reading() as session, pytest.raises(Refusal, match="damaged; restore a backup"):
            queries.raw_note(session, number)
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


def test_the_same_file_twice_adds_nothing(store: Store, game: int) -> None:
    """Bytes already read are refused under any name and for any game, and every table stays as it was."""
    _add(store, game)
    with store.session() as session:
        other = queries.add_game(session, DAY, "Quarry Hill")
    before = backup.dump(store)
    renamed = replace(an_intake(), file="copy.txt")
    for where in (game, other):
        with pytest.raises(
            Refusal, match=r"copy\.txt is in already, read as quarter\.txt; nothing was added"
        ):
            _add(store, where, renamed)
    assert backup.dump(store) == before
    with store.reading() as session:
        known = queries.known_intake(session, an_intake().digest)
        assert known is not None
        assert known.file == "quarter.txt"
        assert queries.known_intake(session, "0" * 64) is None


@pytest.mark.parametrize(
    "bad",
    [
        {"sightings": (Sighting("no-tag"), Sighting("no-tag", points=-1))},
        {"sightings": (Sighting("no-tag", players=("4", "")),)},
        {"trips": (Possession(1), Possession(1))},
        {"possessions": -1},
        {"digest": "short"},
        {"unclear": (Unclear(None, "no text"),)},  # type: ignore[arg-type]
    ],
)
def test_a_reading_is_added_whole_or_not_at_all(store: Store, game: int, bad: dict[str, object]) -> None:
    """One row that breaks a rule leaves nothing of the reading, even inside a larger unit of work."""
    from sqlalchemy.exc import IntegrityError

    before = backup.dump(store)
    with pytest.raises(Refusal, match="Nothing was stored"):
        _add(store, game, an_intake(**bad))
    with store.session() as session, pytest.raises(IntegrityError):
        queries.add_intake(session, game, an_intake(**bad), b"note", STAMP)
    assert backup.dump(store) == before


def test_a_reading_needs_its_game(store: Store) -> None:
    """Film for a game that is not there is refused."""
    with pytest.raises(Refusal, match="no game 12"):
        _add(store, 12)


def test_a_moment_without_a_zone_is_a_mistake(store: Store, game: int) -> None:
    """Stamps must know their zone: a bare moment is refused rather than guessed at."""
    from sqlalchemy.exc import StatementError

    with pytest.raises(StatementError, match="timezone"), store.session() as session:
        queries.add_intake(session, game, an_intake(), b"note", STAMP.replace(tzinfo=None))


def test_undoing_takes_a_reading_out_and_lets_it_in_again(store: Store, game: int) -> None:
    """An undone reading counts nowhere, is still there to look at, and its file can be read anew."""
    number = _add(store, game)
    with store.session() as session:
        assert queries.undo_intake(session, number).undone
    with store.reading() as session:
        assert queries.intakes(session) == ()
        assert [one.id for one in queries.intakes(session, undone=None)] == [number]
        assert queries.sightings(session) == ()
        assert queries.unclear(session) == ()
        assert queries.known_intake(session, an_intake().digest) is None
        assert queries.intake(session, number) == an_intake()
    again = _add(store, game)
    assert again != number
    with store.reading() as session:
        assert queries.sightings(session) == an_intake().sightings
        assert [one.id for one in queries.intakes(session, game=game)] == [again]


def test_an_undone_reading_can_be_redone_unless_it_was_read_again(store: Store, game: int) -> None:
    """Redo brings the very reading back, but never beside a second one of the same file."""
    number = _add(store, game)
    with store.session() as session:
        queries.undo_intake(session, number)
        assert not queries.redo_intake(session, number).undone
        assert queries.sightings(session) == an_intake().sightings
        queries.undo_intake(session, number)
    _add(store, game)
    with pytest.raises(Refusal, match="in already"), store.session() as session:
        queries.redo_intake(session, number)


def test_undoing_twice_or_nothing_is_refused(store: Store, game: int) -> None:
    """Undo says when there is nothing to undo."""
    number = _add(store, game)
    with store.session() as session:
        queries.undo_intake(session, number)
    with pytest.raises(Refusal, match="undone already"), store.session() as session:
        queries.undo_intake(session, number)
    with pytest.raises(Refusal, match="no reading of a film note 77"), store.session() as session:
        queries.undo_intake(session, 77)


_SEEN = st.lists(
    st.tuples(
        st.sampled_from(["no-tag", "late-closeout", "no-box-out"]),
        st.integers(1, 3),
        st.lists(st.sampled_from(["0", "00", "4", "14"]), max_size=2),
    ),
    max_size=3,
)
_FILES = st.lists(_SEEN, min_size=1, max_size=4)
_STEPS = st.lists(st.tuples(st.sampled_from(["add", "undo", "redo"]), st.integers(0, 3)), max_size=14)


def _note(number: int, seen: list[tuple[str, int, list[str]]]) -> Intake:
    return an_intake(
        file=f"{number}.txt",
        digest=hashlib.sha256(bytes([number])).hexdigest(),
        sightings=tuple(Sighting(one, count=count, players=tuple(who)) for one, count, who in seen),
    )


@settings(max_examples=25, deadline=None)
@given(files=_FILES, steps=_STEPS)
def test_any_adding_and_undoing_leaves_the_adds_minus_the_undone(
    files: list[list[tuple[str, int, list[str]]]], steps: list[tuple[str, int]]
) -> None:
    """Whatever the order of adding, undoing and redoing, exactly the files that are in count, each once."""
    live: dict[int, int] = {}
    last: dict[int, int] = {}
    with tempfile.TemporaryDirectory() as folder, open_store(Path(folder) / "home", create=True) as store:
        with store.session() as session:
            queries.save_team(session, TeamInfo("Herons"))
            game = queries.add_game(session, DAY, "")
        for verb, pick in steps:
            number = pick % len(files)
            with store.session() as session:
                try:
                    if verb == "add":
                        made = queries.add_intake(
                            session, game, _note(number, files[number]), bytes([number]), STAMP
                        )
                        assert number not in live
                        live[number] = last[number] = made
                    elif verb == "undo":
                        queries.undo_intake(session, last.get(number, 999))
                        del live[number]
                    else:
                        queries.redo_intake(session, last.get(number, 999))
                        assert number not in live
                        live[number] = last[number]
                except Refusal:
                    assert (number in live) == (verb != "undo") or number not in last
        expected: Counter[str] = Counter()
        for number in live:
            for one, count, _ in files[number]:
                expected[one] += count
        with store.reading() as session:
            seen: Counter[str] = Counter()
            for sighting in queries.sightings(session):
                seen[sighting.breakdown] += sighting.count
            assert seen == expected
            games = queries.watched_games(session, DAY)
            assert [dict(one.counts) for one in games] == ([dict(expected)] if live else [])
            assert [one.possessions for one in games] == ([3 * len(live)] if live else [])
            assert {one.id for one in queries.intakes(session)} == set(live.values())
            assert sorted(one.players for one in queries.sightings(session)) == sorted(
                tuple(who) for number in live for _, _, who in files[number]
            )
