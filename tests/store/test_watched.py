from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import replace
from typing import Any

from planner.film.intake import Possession, Sighting, Unclear
from planner.need.estimate import WatchedGame, WatchedTrip
from planner.store import queries
from planner.store.engine import Store
from tests.store.making import STAMP, an_intake


def _day(number: int) -> dt.date:
    return dt.date(2027, 1, number)


def _read(store: Store, game: int, name: str, **changes: Any) -> int:
    digest = hashlib.sha256(name.encode()).hexdigest()
    with store.session() as session:
        return queries.add_intake(session, game, an_intake(file=name, digest=digest, **changes), b"x", STAMP)


def _game(store: Store, day: int, **said: Any) -> int:
    with store.session() as session:
        return queries.add_game(session, _day(day), "Marlow Lane", **said)


def _watched(store: Store, until: int = 31) -> tuple[WatchedGame, ...]:
    with store.reading() as session:
        return queries.watched_games(session, _day(until))


def test_a_note_by_possession_gives_counts_and_trips(store: Store) -> None:
    """Exposure, counts, and each possession whose points are known, clean or not, if only from a sighting."""
    game = _game(store, 9)
    _read(store, game, "a")
    (watched,) = _watched(store)
    assert watched == WatchedGame(
        game=str(game),
        date=_day(9),
        possessions=3,
        counts={"no-tag": 1, "late-closeout": 1, "no-box-out": 2},
        trips=(
            WatchedTrip(2, {"no-tag": 1, "late-closeout": 1}, "no-tag"),
            WatchedTrip(0, {}),
            WatchedTrip(3, {"no-box-out": 2}, "no-box-out"),
        ),
    )


def test_a_possession_without_points_is_no_trip(store: Store) -> None:
    """Where nobody said what a possession gave, it is exposure but tells nothing of cost."""
    trips = (Possession(1, points=2), Possession(2))
    _read(
        store,
        _game(store, 9),
        "a",
        possessions=None,
        trips=trips,
        sightings=(Sighting("no-tag", possession=2),),
    )
    (watched,) = _watched(store)
    assert watched.possessions == 2
    assert watched.trips == (WatchedTrip(2, {}),)
    assert watched.chains == (("no-tag",),)


def test_a_note_that_only_counts_gives_no_trips(store: Store) -> None:
    """Tallies with a told number of possessions count; their points per sighting make no possessions."""
    seen = (Sighting("no-tag", count=7), Sighting("fly-by", points=3))
    _read(store, _game(store, 9), "a", kind="table", possessions=58, trips=(), sightings=seen)
    (watched,) = _watched(store)
    assert (watched.possessions, watched.counts, watched.trips) == (58, {"no-tag": 7, "fly-by": 1}, ())


def test_two_notes_of_one_game_add_up(store: Store) -> None:
    """Halves of a film in two files make one game; their possessions of the same number stay apart."""
    game = _game(store, 9)
    _read(store, game, "a")
    _read(store, game, "b")
    (watched,) = _watched(store)
    assert watched.possessions == 6
    assert watched.counts == {"no-tag": 2, "late-closeout": 2, "no-box-out": 4}
    assert watched.trips[:3] == watched.trips[3:]
    assert watched.trips[0].breakdowns == {"no-tag": 1, "late-closeout": 1}


def test_an_undone_note_is_out(store: Store) -> None:
    """A game whose only note is undone has no film."""
    number = _read(store, _game(store, 9), "a")
    with store.session() as session:
        queries.undo_intake(session, number)
    assert _watched(store) == ()


def test_scouted_and_later_games_are_out(store: Store) -> None:
    """An opponent's own game is not our defence, and a date bounds what is known; its own day is in."""
    _read(store, _game(store, 9), "a")
    _read(store, _game(store, 12), "b")
    _read(store, _game(store, 10, scouted=True), "c")
    assert [one.date.day for one in _watched(store)] == [9, 12]
    assert [one.date.day for one in _watched(store, until=12)] == [9, 12]
    assert [one.date.day for one in _watched(store, until=11)] == [9]


def test_games_are_oldest_first_whatever_the_order_of_reading(store: Store) -> None:
    """The order is that of the games, not of the film notes."""
    late, early = _game(store, 20), _game(store, 4)
    _read(store, late, "a")
    _read(store, early, "b")
    assert [one.game for one in _watched(store)] == [str(early), str(late)]


def test_the_coach_s_possessions_override(store: Store) -> None:
    """What the coach set for a game is its exposure, and chances counted come along."""
    game = _game(store, 9, possessions=71, chances={"no-box-out": 30})
    _read(store, game, "a")
    (watched,) = _watched(store)
    assert (watched.possessions, watched.chances) == (71, {"no-box-out": 30})


def test_a_note_of_unknown_exposure_is_left_out_and_told(store: Store) -> None:
    """Counts without possessions never inflate a rate: they wait, by name, until the exposure is told."""
    game = _game(store, 9)
    _read(store, game, "a")
    vague = _read(store, game, "b", kind="captions", possessions=None, trips=())
    (watched,) = _watched(store)
    assert (watched.possessions, watched.counts["no-tag"]) == (3, 1)
    with store.session() as session:
        assert [one.id for one in queries.unknown_exposure(session, _day(31))] == [vague]
        found = queries.game(session, game)
        assert found is not None
        queries.save_game(session, replace(found, possessions=60))
        assert queries.unknown_exposure(session, _day(31)) == ()
    (watched,) = _watched(store)
    assert (watched.possessions, watched.counts["no-tag"]) == (60, 2)


def test_the_first_of_a_possession_is_the_first_in_the_note(store: Store) -> None:
    """What stands higher in the note came first, whatever the order in which it was stored."""
    seen = (
        Sighting("late-closeout", line=8, possession=1),
        Sighting("no-tag", line=7, possession=1),
        Sighting("no-box-out", line=8, possession=1, count=2),
        Sighting("fly-by", line=9, start="00:02:00.000", possession=2),
        Sighting("blown-by", line=9, start="00:01:00.000", possession=2),
    )
    trips = (Possession(1, points=2, line=7), Possession(2, line=9))
    _read(store, _game(store, 9), "a", possessions=None, trips=trips, sightings=seen)
    (watched,) = _watched(store)
    (trip,) = watched.trips
    assert trip.first == "no-tag"
    assert list(trip.breakdowns.items()) == [("no-tag", 1), ("late-closeout", 1), ("no-box-out", 2)]
    assert watched.chains == (("blown-by", "fly-by"),)


def test_a_line_sorted_later_stands_where_it_was_written(store: Store) -> None:
    """An unclear line above the others is the first cause once the coach has said what it means."""
    note = _read(
        store,
        _game(store, 9),
        "a",
        trips=(Possession(1, points=3),),
        sightings=(Sighting("late-closeout", line=5, possession=1),),
        unclear=(Unclear("gave it up somehow", "no breakdown is written like this", 4),),
    )
    with store.session() as session:
        (waiting,) = queries.unclear(session, intake=note)
        queries.sort_unclear(session, waiting.id, "gave-middle", possession=1)
    (watched,) = _watched(store)
    assert watched.trips[0].first == "gave-middle"


def test_who_was_charged(store: Store) -> None:
    """Players share what was seen several times, at least one each; the nameless are counted apart."""
    seen = (
        Sighting("no-box-out", players=("44", "15")),
        Sighting("reach-foul", players=("23",), count=2),
        Sighting("no-talk", players=("0", "00"), count=4),
        Sighting("slow-back", count=3),
    )
    game = _game(store, 9, possessions=61)
    _read(store, game, "a", trips=(), sightings=seen)
    gone = _read(store, game, "b", trips=(), sightings=seen)
    with store.session() as session:
        queries.undo_intake(session, gone)
        (film,) = queries.player_film(session, _day(31))
        assert queries.player_film(session, _day(8)) == ()
    assert (film.game, film.possessions, film.unnamed) == (str(game), 61, 3)
    assert film.charged == {
        "44": {"no-box-out": 1},
        "15": {"no-box-out": 1},
        "23": {"reach-foul": 2},
        "0": {"no-talk": 2},
        "00": {"no-talk": 2},
    }
    assert film.defended == {}
