from __future__ import annotations

import datetime as dt

import pytest

from planner.film.intake import Sighting, Unclear
from planner.problem import Refusal
from planner.store import backup, queries
from planner.store.engine import Store
from planner.store.values import NOTHING, UnclearInfo
from tests.store.making import STAMP, an_intake

DAY = dt.date(2027, 1, 12)


@pytest.fixture
def reading(store: Store) -> int:
    lines = (
        Unclear("?? 14 zzz", "no breakdown is written like this", 6),
        Unclear("…", "nothing", None, "00:01:02.000"),
    )
    with store.session() as session:
        game = queries.add_game(session, DAY, "Marlow Lane")
        return queries.add_intake(session, game, an_intake(unclear=lines), b"note", STAMP)


def test_unclear_lines_wait(store: Store, reading: int) -> None:
    """Lines that could not be read are listed with their file, place and reason until they are sorted."""
    with store.reading() as session:
        first, second = queries.unclear(session, intake=reading)
    assert first == UnclearInfo(
        1, reading, "quarter.txt", "?? 14 zzz", "no breakdown is written like this", 6, None, None
    )
    assert (second.line, second.start) == (None, "00:01:02.000")


def test_a_sorted_line_counts(store: Store, reading: int) -> None:
    """Once sorted, a line counts as what it was sorted as, in its own place and words, and waits no more."""
    with store.session() as session:
        told = queries.sort_unclear(session, 1, "no-talk", players=["14"], points=2, possession=2)
    assert told.sorted_as == "no-talk"
    with store.reading() as session:
        made = Sighting("no-talk", 6, players=("14",), points=2, text="?? 14 zzz", possession=2)
        assert queries.sightings(session)[-1] == made
        assert [one.id for one in queries.unclear(session)] == [2]
        assert [one.sorted_as for one in queries.unclear(session, waiting=False)] == ["no-talk", None]
        assert queries.intakes(session)[0].sightings == 5
        (game,) = queries.watched_games(session, DAY)
        assert game.counts["no-talk"] == 1
        assert queries.intake(session, reading).sightings == an_intake().sightings


def test_a_line_that_says_nothing_counts_nowhere(store: Store, reading: int) -> None:
    """Sorted as nothing, a line waits no more and adds no sighting."""
    with store.session() as session:
        queries.sort_unclear(session, 2, NOTHING)
        assert queries.sightings(session) == an_intake().sightings
        assert [one.id for one in queries.unclear(session)] == [1]


def test_sorting_can_be_taken_back(store: Store, reading: int) -> None:
    """Unsorting leaves every table as it was before."""
    before = backup.dump(store)
    with store.session() as session:
        queries.sort_unclear(session, 1, "no-talk", players=["14", "0"])
        assert queries.unsort_unclear(session, 1).sorted_as is None
    assert backup.dump(store) == before


def test_sorting_twice_or_unsorting_nothing_is_refused(store: Store, reading: int) -> None:
    """A sorted line must be unsorted first, and the other way round."""
    with store.session() as session:
        queries.sort_unclear(session, 1, NOTHING)
    with pytest.raises(Refusal, match="sorted already, as nothing"), store.session() as session:
        queries.sort_unclear(session, 1, "no-tag")
    with pytest.raises(Refusal, match="is not sorted"), store.session() as session:
        queries.unsort_unclear(session, 2)
    with pytest.raises(Refusal, match="no unclear line 9"), store.session() as session:
        queries.sort_unclear(session, 9, NOTHING)


def test_undoing_the_reading_takes_sorted_lines_along(store: Store, reading: int) -> None:
    """What was sorted from a reading counts exactly as long as the reading does."""
    with store.session() as session:
        queries.sort_unclear(session, 1, "no-talk")
        queries.undo_intake(session, reading)
        assert queries.sightings(session) == ()
        queries.redo_intake(session, reading)
        assert len(queries.sightings(session)) == 4
