"""What narration proposes: kept, answered, taken back, counted only once said yes to."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.film.answers import NO
from planner.film.intake import Sighting
from planner.problem import Refusal
from planner.store import backup, queries
from planner.store.engine import Store
from tests.store.making import STAMP, a_talk, an_intake

DAY = dt.date(2027, 1, 12)


@pytest.fixture
def talk(store: Store) -> int:
    with store.session() as session:
        game = queries.add_game(session, DAY, "Marlow Lane")
        return queries.add_intake(session, game, a_talk(), b"WEBVTT", STAMP)


def test_proposals_wait_and_count_nothing(store: Store, talk: int) -> None:
    """What was heard comes back as it went in, is listed, and is in no count."""
    with store.reading() as session:
        assert queries.intake(session, talk) == a_talk()
        waiting = queries.proposals(session)
        assert [(one.breakdown, one.players, one.asks, one.sure) for one in waiting] == [
            ("no-tag", ("4",), (), 0.97),
            ("no-box-out", (), ("98",), 0.8),
            ("no-tag", (), (), 0.6),
        ]
        assert queries.sightings(session) == ()
        assert queries.watched_games(session, DAY) == ()
        assert queries.counted_games(session, DAY) == ()
        assert queries.unknown_exposure(session, DAY) == ()
        (told,) = queries.intakes(session)
        assert (told.sightings, told.proposed, told.waiting) == (0, 3, 3)


def test_only_yes_counts(store: Store, talk: int) -> None:
    """A yes counts in its own place and words, a no does not; the film counts as far as it is answered."""
    with store.session() as session:
        queries.answer_proposal(session, 1, "no-tag", ["4", "8"])
        queries.answer_proposal(session, 2, NO)
    with store.reading() as session:
        assert queries.sightings(session) == (
            Sighting("no-tag", 3, "00:00:01.000", "00:00:02.500", ("4", "8"), text="four never tags"),
        )
        assert [one.id for one in queries.proposals(session)] == [3]
        every = queries.proposals(session, waiting=False)
        assert [(one.answer, one.charged) for one in every] == [("no-tag", ("4", "8")), (NO, ()), (None, ())]
        for games in (queries.watched_games(session, DAY), queries.counted_games(session, DAY)):
            assert [(one.possessions, dict(one.counts)) for one in games] == [(13, {"no-tag": 1})]
        (film,) = queries.player_film(session, DAY)
        assert (film.possessions, film.charged) == (13, {"4": {"no-tag": 1}, "8": {"no-tag": 1}})
        assert queries.intake(session, talk) == a_talk()
    with store.session() as session:
        queries.answer_proposal(session, 3, NO)
        assert [one.possessions for one in queries.watched_games(session, DAY)] == [20]


def test_an_answer_is_changed_and_taken_back_whole(store: Store, talk: int) -> None:
    """Another breakdown takes the place of the first; taken back, every table is as it was."""
    before = backup.dump(store)
    with store.session() as session:
        assert queries.answer_proposal(session, 1, "no-tag", ["4"]).answer is None
        was = queries.answer_proposal(session, 1, "no-talk")
        assert (was.answer, was.charged) == ("no-tag", ("4",))
        assert [one.breakdown for one in queries.sightings(session)] == ["no-talk"]
        queries.answer_proposal(session, 1, None)
    assert backup.dump(store) == before


def test_answers_are_tallied_by_wording(store: Store, talk: int) -> None:
    """Answers of readings that count are told by the words that proposed them; without words none."""
    with store.session() as session:
        queries.answer_proposal(session, 1, "no-talk")
        queries.answer_proposal(session, 2, NO)
        queries.answer_proposal(session, 3, NO)
        assert queries.answers(session) == {
            ("# never tag", "no-tag"): {"no-talk": 1},
            ("no tag", "no-tag"): {NO: 1},
        }
        queries.undo_intake(session, talk)
        assert queries.answers(session) == {}
        assert queries.proposals(session, waiting=False) == ()
        with pytest.raises(Refusal, match="taken back"):
            queries.answer_proposal(session, 3, "no-tag")
        with pytest.raises(Refusal, match="no proposal 99"):
            queries.answer_proposal(session, 99, NO)


def test_told_possessions_do_not_count_film_that_waits(store: Store, talk: int) -> None:
    """Where the coach told a game's possessions, a narration that waits whole does not make it clean."""
    with store.session() as session:
        (game,) = queries.games(session)
        queries.save_game(session, replace(game, possessions=60))
        assert queries.watched_games(session, DAY) == queries.counted_games(session, DAY) == ()
        queries.answer_proposal(session, 1, "no-tag")
        assert [one.possessions for one in queries.watched_games(session, DAY)] == [60]


def test_exposure_is_told_later(store: Store, talk: int) -> None:
    """How many possessions a reading covers can be said afterwards, and comes back as it was."""
    with store.session() as session:
        assert queries.set_exposure(session, talk, None) == 20
        assert [one.id for one in queries.unknown_exposure(session, DAY)] == [talk]
        assert queries.set_exposure(session, talk, 41) is None
        assert queries.intakes(session)[0].possessions == 41


def test_sheets_propose_nothing(store: Store) -> None:
    """What stands in a sheet counts at once."""
    with store.session() as session:
        game = queries.add_game(session, DAY, "Marlow Lane")
        queries.add_intake(session, game, an_intake(), b"note", STAMP)
        assert queries.proposals(session) == ()
        assert queries.intakes(session)[0].proposed == 0
