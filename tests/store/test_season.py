from __future__ import annotations

import datetime as dt

import pytest

from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from planner.store import queries
from planner.store.engine import Store
from planner.store.values import EmphasisInfo, ProgressInfo


def _day(number: int) -> dt.date:
    return dt.date(2027, 1, number)


def test_the_latest_emphasis_up_to_the_day_holds(store: Store) -> None:
    """Later ones do not reach back, and of one day the one given last holds."""
    with store.session() as session:
        queries.add_emphasis(session, "tag", 2.0, _day(10))
        queries.add_emphasis(session, "tag", 1.5, _day(5))
        queries.add_emphasis(session, "talk", 0.0, _day(5))
        last = queries.add_emphasis(session, "tag", 3.0, _day(10))
    with store.reading() as session:
        assert queries.emphasis_on(session, _day(4)) == {}
        assert queries.emphasis_on(session, _day(9)) == {"tag": 1.5, "talk": 0.0}
        assert queries.emphasis_on(session, _day(10)) == {"tag": 3.0, "talk": 0.0}
        assert [one.factor for one in queries.emphases(session)] == [1.5, 0.0, 2.0, 3.0]
    with store.session() as session:
        assert queries.remove_emphasis(session, last) == EmphasisInfo(last, "tag", 3.0, _day(10))
        assert queries.emphasis_on(session, _day(10))["tag"] == 2.0


def test_progress_climbs_and_falls_back(store: Store) -> None:
    """The stage noted last up to the day is the one passed; back to nothing is a note like any other."""
    with store.session() as session:
        queries.add_progress(session, "tag", Stage.CONTESTED, _day(8), "7 of 10 twice")
        queries.add_progress(session, "tag", Stage.WALK, _day(3), "coach's eye")
        queries.add_progress(session, "talk", Stage.GUIDED, _day(8))
        reset = queries.add_progress(session, "tag", None, _day(12), "new players")
    with store.reading() as session:
        assert queries.progress_on(session, _day(2)) == {}
        assert queries.progress_on(session, _day(7)) == {"tag": Stage.WALK}
        assert queries.progress_on(session, _day(8)) == {"tag": Stage.CONTESTED, "talk": Stage.GUIDED}
        assert queries.progress_on(session, _day(12)) == {"talk": Stage.GUIDED}
        assert [one.stage for one in queries.progress(session, "tag")] == ["walk", "contested", None]
        assert isinstance(queries.progress_on(session, _day(8))["tag"], Stage)
        assert len(queries.progress(session)) == 4
    with store.session() as session:
        gone = queries.remove_progress(session, reset)
        assert gone == ProgressInfo(reset, "tag", None, _day(12), "new players")
        assert queries.progress_on(session, _day(12))["tag"] is Stage.CONTESTED


def test_what_is_not_there_is_not_removed(store: Store) -> None:
    """Removing an entry that does not exist is told."""
    with store.session() as session:
        with pytest.raises(Refusal, match="no emphasis 4"):
            queries.remove_emphasis(session, 4)
        with pytest.raises(Refusal, match="no progress entry 4"):
            queries.remove_progress(session, 4)


def test_a_negative_emphasis_is_refused(store: Store) -> None:
    """A factor cannot turn a need round."""
    with pytest.raises(Refusal, match="emphasis cannot be below 0"), store.session() as session:
        queries.add_emphasis(session, "tag", -1.0, _day(1))
