from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from typing import get_args

import pytest
from sqlalchemy import CheckConstraint, Table
from sqlmodel import SQLModel

from planner.build.plan import SegmentKind
from planner.drills.vocabulary import Stage
from planner.film.intake import NoteKind
from planner.store import models
from planner.store.engine import Store
from planner.store.models import film, practice, team
from planner.store.values import PracticeState, Venue

TABLES = [SQLModel.metadata.tables[str(one.__tablename__)] for one in models.ALL]

BROKEN = {
    "ck_team_name": "UPDATE team SET name = ''",
    "ck_team_season": "UPDATE team SET season_end = '2026-09-30'",
    "ck_player_jersey": "UPDATE player SET jersey = '  ' WHERE jersey = '4'",
    "ck_player_active": "UPDATE player SET active = 2",
    "ck_game_venue": "UPDATE game SET venue = 'abroad'",
    "ck_game_possessions": "UPDATE game SET possessions = -1",
    "ck_game_scouted": "UPDATE game SET scouted = 'maybe'",
    "ck_gym_window_when": "UPDATE gym_window SET date = '2027-01-13'",
    "ck_gym_window_weekday": "UPDATE gym_window SET weekday = 7",
    "ck_gym_window_hours": 'UPDATE gym_window SET "end" = start',
    "ck_gym_window_halves": "UPDATE gym_window SET halves = 3",
    "ck_fixed_block_title": "UPDATE fixed_block SET title = ''",
    "ck_fixed_block_minutes": "UPDATE fixed_block SET minutes = 0",
    "ck_fixed_block_at": "UPDATE fixed_block SET at_word = 'middle'",
    "ck_fixed_block_effort": "UPDATE fixed_block SET effort = 11",
    "ck_fixed_block_halves": "UPDATE fixed_block SET halves = 3",
    "ck_fixed_block_weekday": "UPDATE fixed_block SET weekday = -1",
    "ck_setting_key": "UPDATE setting SET key = ''",
    "ck_switched_off_breakdown": "UPDATE switched_off SET breakdown = ''",
    "ck_journal_verb": "UPDATE journal SET verb = ''",
    "ck_journal_undone": "UPDATE journal SET undone = -1",
    "ck_film_note_kind": "UPDATE film_note SET kind = 'video'",
    "ck_film_note_digest": "UPDATE film_note SET digest = 'abc'",
    "ck_film_note_size": "UPDATE film_note SET size = -1",
    "ck_film_note_packed": "UPDATE film_note SET packed = 2",
    "ck_intake_possessions": "UPDATE intake SET possessions = -1",
    "ck_intake_undone": "UPDATE intake SET undone = 2",
    "ck_possession_number": "UPDATE possession SET number = 0 WHERE number = 1",
    "ck_possession_points": "UPDATE possession SET points = -1",
    "ck_unclear_sorted_as": "UPDATE unclear SET sorted_as = ''",
    "ck_sighting_breakdown": "UPDATE sighting SET breakdown = ''",
    "ck_sighting_points": "UPDATE sighting SET points = -1",
    "ck_sighting_seen": "UPDATE sighting SET seen = 0",
    "ck_sighting_sure": "UPDATE sighting SET sure = 1.01",
    "ck_sighting_player_jersey": "UPDATE sighting_player SET jersey = ''",
    "ck_proposal_breakdown": "UPDATE proposal SET breakdown = ''",
    "ck_proposal_sure": "UPDATE proposal SET sure = 1.01",
    "ck_proposal_answer": "UPDATE proposal SET answer = ''",
    "ck_proposal_counts": "UPDATE proposal SET answer = 'no' WHERE sighting_id IS NOT NULL",
    "ck_practice_state": "UPDATE practice SET state = 'dreamt', began = NULL",
    "ck_practice_start": "UPDATE practice SET start = 1440",
    "ck_practice_began": "UPDATE practice SET began = NULL",
    "ck_practice_minutes": "UPDATE practice SET minutes = 0",
    "ck_practice_rating": "UPDATE practice SET rating = 11",
    "ck_practice_took": "UPDATE practice SET took = -0.1",
    "ck_practice_plan": "UPDATE practice SET bound = NULL",
    "ck_practice_planned": (
        "UPDATE practice SET state = 'planned', began = NULL,"
        " objective = NULL, bound = NULL, proven = NULL, took = NULL"
    ),
    "ck_practice_proven": "UPDATE practice SET proven = 2",
    "ck_kept_plan_start": "UPDATE kept_plan SET start = -1",
    "ck_segment_side": "UPDATE segment SET side = 'both' WHERE start IS NULL AND seconds > 0",
    "ck_segment_kind": "UPDATE segment SET kind = 'nap'",
    "ck_segment_start": "UPDATE segment SET start = NULL",
    "ck_segment_seconds": "UPDATE segment SET seconds = 0 WHERE side = 'planned'",
    "ck_segment_whole_minutes": "UPDATE segment SET seconds = 61 WHERE side = 'planned'",
    "ck_segment_effort": "UPDATE segment SET effort = 11",
    "ck_station_half": "UPDATE station SET half = 'C'",
    "ck_drill_result_stops": "UPDATE drill_result SET stops = -1",
    "ck_drill_result_tries": "UPDATE drill_result SET tries = -1, stops = NULL",
    "ck_drill_result_within": "UPDATE drill_result SET stops = 11 WHERE tries = 10",
    "ck_emphasis_principle": "UPDATE emphasis SET principle = ''",
    "ck_emphasis_factor": "UPDATE emphasis SET factor = -0.5",
    "ck_progress_principle": "UPDATE progress SET principle = ''",
    "ck_progress_stage": "UPDATE progress SET stage = 'perfect'",
}


@pytest.fixture
def raw(full: Store) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(full.path, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        yield connection


def test_every_check_has_a_case() -> None:
    """No CHECK of any table goes untried below."""
    named = {
        str(rule.name) for one in TABLES for rule in one.constraints if isinstance(rule, CheckConstraint)
    }
    assert named == set(BROKEN)


@pytest.mark.parametrize("name", BROKEN)
def test_every_check_refuses(raw: sqlite3.Connection, name: str) -> None:
    """The database itself refuses the value, and names that very rule."""
    with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {name}$"):
        raw.execute(BROKEN[name])


def test_values_at_the_limits_are_kept(raw: sqlite3.Connection) -> None:
    """No points, no halves, certainty 0 and 1, and ratings 0 and 10 are all allowed."""
    for allowed in (
        "UPDATE sighting SET points = 0, sure = 0",
        "UPDATE sighting SET points = NULL, sure = 1",
        "UPDATE gym_window SET halves = 0",
        "UPDATE practice SET rating = 0",
        "UPDATE practice SET rating = 10",
        "UPDATE drill_result SET stops = tries WHERE tries IS NOT NULL",
    ):
        assert raw.execute(allowed).rowcount > 0


def test_every_table_was_filled(raw: sqlite3.Connection) -> None:
    """The tests of this folder speak of every table there is."""
    counts = {one.name: raw.execute(f'SELECT count(*) FROM "{one.name}"').fetchone()[0] for one in TABLES}
    assert [name for name, count in counts.items() if not count] == []


def test_a_team_takes_everything_of_its_own_along(raw: sqlite3.Connection) -> None:
    """Deleting the team leaves no row anywhere."""
    raw.execute("DELETE FROM team")
    assert {one.name for one in TABLES if raw.execute(f'SELECT 1 FROM "{one.name}"').fetchone()} == set()


def test_a_game_with_film_cannot_be_deleted(raw: sqlite3.Connection) -> None:
    """Film never loses its game."""
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        raw.execute("DELETE FROM game")


def test_one_live_reading_per_note(raw: sqlite3.Connection) -> None:
    """Even past the program, a second reading of a note cannot count; an undone one may stand beside."""
    copied = (
        "INSERT INTO intake (film_note_id, game_id, stamp, name, problems, heading, undone)"
        " SELECT film_note_id, game_id, stamp, name, problems, heading, {} FROM intake LIMIT 1"
    )
    with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
        raw.execute(copied.format(0))
    raw.execute(copied.format(1))


def _led(table: Table) -> set[str]:
    """Return the columns that lead a key or an index of the table."""
    keys = [list(table.primary_key.columns), *(list(one.columns) for one in table.indexes)]
    keys += [list(getattr(one, "columns", [])) for one in table.constraints if "uq_" in str(one.name)]
    return {columns[0].name for columns in keys if columns}


def test_every_foreign_key_is_indexed_and_named() -> None:
    """Deleting a parent scans no child table but the team's, and every constraint has a name."""
    for table in TABLES:
        assert {key.parent.name for key in table.foreign_keys} <= _led(table) | {"team_id"}
        assert all(one.name for one in table.constraints)


def test_lists_in_checks_are_the_contract_s() -> None:
    """Kinds, stages, venues and states allowed by the tables are those that the values speak of."""
    assert set(practice.SEGMENT_KINDS) == set(get_args(SegmentKind))
    assert set(practice.STAGES) == set(Stage)
    assert set(practice.STATES) == set(get_args(PracticeState))
    assert set(film.NOTE_KINDS) == set(get_args(NoteKind))
    assert set(team.VENUES) == set(get_args(Venue))
