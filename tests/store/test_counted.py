from __future__ import annotations

import datetime as dt

from planner.store import queries
from planner.store.engine import Store
from tests.store.making import DAY, STAMP, a_plan, a_practice, an_intake

LATE = dt.date(2027, 6, 1)


def test_counts_are_those_of_the_film(full: Store) -> None:
    """Games, exposures, counts and chances are the very ones of ``watched_games``, trips aside."""
    with full.reading() as session:
        (told,), (whole,) = queries.counted_games(session, LATE), queries.watched_games(session, LATE)
    assert (told.game, told.date, told.possessions) == (whole.game, whole.date, whole.possessions)
    assert (told.counts, told.chances) == (whole.counts, whole.chances)
    assert told.trips == ()


def test_scouted_games_stand_apart(full: Store) -> None:
    """A game only scouted is never among the team's own, and the other way round."""
    with full.session() as session:
        number = queries.add_game(session, DAY, "Harbour Point", scouted=True)
        queries.add_intake(session, number, an_intake(b"other"), b"other", STAMP)
    with full.reading() as session:
        own, scouted = (queries.counted_games(session, LATE, scouted=flag) for flag in (False, True))
        assert queries.game_days(session, dt.date.min, LATE) == (dt.date(2027, 1, 12),)
    assert number not in {int(one.game) for one in own}
    assert [int(one.game) for one in scouted] == [number]


def test_film_taken_back_or_of_unknown_exposure_is_out(store: Store) -> None:
    """A reading undone counts nothing, nor does one of which nobody knows how many possessions it covers."""
    with store.session() as session:
        number = queries.add_game(session, DAY, "Harbour Point")
        first = queries.add_intake(session, number, an_intake(b"one"), b"one", STAMP)
        queries.add_intake(session, number, an_intake(b"two", possessions=None, trips=()), b"two", STAMP)
        (told,) = queries.counted_games(session, LATE)
        assert (told.possessions, told.counts["no-box-out"]) == (3, 2)
        queries.undo_intake(session, first)
        assert queries.counted_games(session, LATE) == ()
        assert queries.counted_games(session, LATE, since=LATE) == ()


def test_a_period_holds_its_own_games(full: Store) -> None:
    """``since`` and ``until`` are both included."""
    day = dt.date(2027, 1, 12)
    with full.reading() as session:
        assert len(queries.counted_games(session, day, since=day)) == 1
        assert queries.counted_games(session, LATE, since=day + dt.timedelta(days=1)) == ()
        assert queries.counted_games(session, day - dt.timedelta(days=1)) == ()


def test_a_plan_is_told_as_if_run_to_the_letter(store: Store) -> None:
    """Minutes, kinds and shares are the plan's, whether it has been logged since or not."""
    plan = a_plan()
    with store.session() as session:
        number = queries.save_plan(session, plan, {})
        (before,) = queries.planned_practices(session, DAY, DAY)
        queries.log_done(session, number, a_practice())
        (after,) = queries.planned_practices(session, DAY, DAY)
    assert before == after
    assert before.practice == str(number)
    assert [(one.kind, one.seconds, dict(one.shares)) for one in before.segments] == [
        (one.kind, one.minutes * 60, dict(one.shares)) for one in plan.segments
    ]


def test_what_was_done_comes_back_whole(store: Store) -> None:
    """Asked for in columns, a log equals what was logged, scores and all."""
    done = a_practice()
    with store.session() as session:
        queries.log_done(session, None, done)
        (found,) = queries.done_practices(session, DAY, DAY)
    assert found.segments == done.segments
    assert found.segments[1].shares is not found.segments[3].shares
