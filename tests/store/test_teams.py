from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.problem import Refusal
from planner.store import backup, queries
from planner.store.engine import Store
from planner.store.values import GameInfo, PlayerInfo, TeamInfo
from tests.store.making import STAMP, an_intake

JAN = dt.date(2027, 1, 1)


def _day(number: int) -> dt.date:
    return dt.date(2027, 1, number)


def test_a_team_is_set_up_and_changed(store: Store) -> None:
    """Saving the team again changes it and tells what stood before."""
    herons = TeamInfo("Herons", dt.date(2026, 10, 1), dt.date(2027, 3, 31), "under 18")
    with store.session() as session:
        before = queries.save_team(session, herons)
    assert before == TeamInfo("Herons", id=1)
    with store.reading() as session:
        assert queries.team(session) == replace(herons, id=1)


def test_a_season_that_ends_before_it_starts_is_refused(store: Store) -> None:
    """The season's dates are held in order."""
    with pytest.raises(Refusal, match="season must end after"), store.session() as session:
        queries.save_team(session, TeamInfo("Herons", dt.date(2027, 3, 1), dt.date(2026, 10, 1)))


def test_0_and_00_are_two_players(store: Store) -> None:
    """Jerseys are text: "0" and "00" differ, the roster is in order, and each jersey is worn once."""
    with store.session() as session:
        for jersey in ("10", "00", "4", "0", "A1"):
            assert queries.save_player(session, PlayerInfo(jersey)) is None
        before = queries.save_player(session, PlayerInfo("00", "Ines", "guard", active=False))
    assert before == PlayerInfo("00")
    with store.reading() as session:
        assert [one.jersey for one in queries.players(session)] == ["0", "00", "4", "10", "A1"]
        assert queries.players(session, active=False) == (PlayerInfo("00", "Ines", "guard", active=False),)
        assert len(queries.players(session, active=True)) == 4


def test_removing_a_player_keeps_what_film_charged(full: Store) -> None:
    """A jersey taken off the roster is told, once; sightings still carry it."""
    with full.session() as session:
        assert queries.remove_player(session, "00") == PlayerInfo("00")
        assert queries.remove_player(session, "00") is None
        assert queries.sightings(session)[0].players == ("8", "00")


def test_games_are_found_by_date_and_opponent(store: Store) -> None:
    """Opponents are matched without regard to case, in any script, and scouted games stand apart."""
    with store.session() as session:
        first = queries.add_game(session, _day(9), "ŁÓDKA Bay", venue="away")
        second = queries.add_game(session, _day(23), "łódka bay", venue="home")
        watched = queries.add_game(session, _day(10), "Łódka Bay", scouted=True)
        queries.add_game(session, _day(23), "Quarry Hill")
    with store.reading() as session:
        assert [one.id for one in queries.find_games(session, opponent="Łódka Bay")] == [first, second]
        assert [one.id for one in queries.find_games(session, date=_day(23), opponent="łódka BAY")] == [
            second
        ]
        assert len(queries.find_games(session, date=_day(23))) == 2
        assert [one.id for one in queries.find_games(session, date=_day(10), scouted=True)] == [watched]
        assert queries.find_games(session, date=_day(10)) == ()
        assert [one.id for one in queries.games(session, since=_day(10), until=_day(23), scouted=False)] == [
            2,
            4,
        ]


def test_the_next_game_is_the_team_s_own(store: Store) -> None:
    """A game on the very day is next; one that was only scouted never is."""
    with store.session() as session:
        queries.add_game(session, _day(10), "Scouted", scouted=True)
        queries.add_game(session, _day(20), "Later")
        queries.add_game(session, _day(12), "Sooner")
    with store.reading() as session:

        def opponent(day: int) -> str | None:
            found = queries.next_game(session, _day(day))
            return found and found.opponent

        assert [opponent(day) for day in (1, 12, 13, 20, 21)] == ["Sooner", "Sooner", "Later", "Later", None]


def test_a_game_is_changed(store: Store) -> None:
    """Every field of a game can be set, and what stood before is told."""
    with store.session() as session:
        number = queries.add_game(session, _day(9), "Marlow Lane")
        made = GameInfo(number, _day(9), "Marlow Lane")
        changed = GameInfo(number, _day(10), "Marlow Lane B", "neutral", 61, True, {"no-tag": 12})
        assert queries.save_game(session, changed) == made
    with store.reading() as session:
        assert queries.game(session, number) == changed
        assert queries.game(session, 99) is None
    with pytest.raises(Refusal, match="no game 99"), store.session() as session:
        queries.save_game(session, replace(changed, id=99))
    with pytest.raises(Refusal, match="home, away or neutral"), store.session() as session:
        queries.add_game(session, _day(11), "X", venue="moon")


def test_a_game_with_film_is_not_removed_until_the_film_is_undone(store: Store) -> None:
    """Film is never lost with its game; once it is undone, game, reading and bytes go together."""
    with store.session() as session:
        queries.add_game(session, _day(2), "Quarry Hill")
    before = backup.dump(store)
    with store.session() as session:
        number = queries.add_game(session, _day(9), "Marlow Lane")
        reading = queries.add_intake(session, number, an_intake(), b"note", STAMP)
    with (
        pytest.raises(Refusal, match="Marlow Lane has film; undo the film first"),
        store.session() as session,
    ):
        queries.remove_game(session, number)
    with store.session() as session:
        queries.undo_intake(session, reading)
        assert queries.remove_game(session, number) == GameInfo(number, _day(9), "Marlow Lane")
    assert backup.dump(store) == before


def test_a_note_read_for_another_game_too_keeps_its_bytes(store: Store) -> None:
    """Removing the game of an undone reading keeps the note while another game still needs it."""
    with store.session() as session:
        wrong, right = (queries.add_game(session, _day(day), "Marlow Lane") for day in (9, 10))
        queries.undo_intake(session, queries.add_intake(session, wrong, an_intake(), b"note", STAMP))
        kept = queries.add_intake(session, right, an_intake(), b"note", STAMP)
        queries.remove_game(session, wrong)
        assert queries.raw_note(session, kept) == b"note"
        assert queries.games(session) == (GameInfo(right, _day(10), "Marlow Lane", films=1),)
