"""Stations, players who come later and film on paper and in the terminal."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.build.plan import Plan, Segment, Station
from planner.build.players import MISSED, players_of
from planner.paper.assistant_card import _rows
from planner.paper.page_rows import segment_row
from planner.paper.rows import SheetNotes, rows_of
from planner.paper.terminal import plain_text, plan_text, players_table
from tests.build import kit

ONE = kit.drill(1, title="Close it out", shares={"closeout": 15}, cues=("High hand",))
TWO = kit.drill(2, title="Box it out", shares={"box-out": 11}, cues=("Find a body",))
FIRST, SECOND = ("4", "7"), ("0", "12")
TURNS = (
    Segment(
        *(910, 6, "drill", "Close it out / Box it out"),
        stations=(Station(ONE.id, "Group 1", FIRST, "A"), Station(TWO.id, "Group 2", SECOND, "B")),
        shares={"closeout": 7, "box-out": 6},
    ),
    Segment(916, 1, "set-up", "Groups swap baskets"),
    Segment(
        *(917, 6, "drill", "Box it out / Close it out"),
        stations=(Station(TWO.id, "Group 1", FIRST, "B"), Station(ONE.id, "Group 2", (*SECOND, "21"), "A")),
        shares={"closeout": 8, "box-out": 5},
    ),
)
FILM = Segment(900, 10, "fixed", "Film session", why="Clips: Box out and rebound, v Harbour Point Q1 03:30.")
PLAN = Plan(dt.date(2026, 12, 3), 900, 23, 1.0, 1.0, True, 0.0, (FILM, *TURNS))
NOTES = SheetNotes("Marrowby Otters", drills={ONE.id: ONE, TWO.id: TWO})


def test_the_second_turn_says_only_who_is_where() -> None:
    """On the sheet the second turn has the groups and a place for the score, not the cues once more."""
    rows = rows_of(PLAN, NOTES)
    first, second = rows[1], rows[3]
    assert [part["title"] for part in first["parts"]] == ["Close it out", "Box it out"]
    assert [part["cues"] for part in first["parts"]] == [["High hand"], ["Find a body"]]
    assert [part["cues"] for part in second["parts"]] == [[], []]
    assert [part["groups"][0]["players"] for part in second["parts"]] == [["4", "7"], ["0", "12", "21"]]
    assert all(part["pens"] for part in second["parts"])


def test_a_basket_has_its_own_drill_with_both_groups() -> None:
    """The assistant's card of a basket holds one drill, told once, with each turn's group."""
    rows = _rows(PLAN, NOTES, "B")
    turns = [rows[1], rows[3]]
    assert [row["title"] for row in turns] == ["Box it out", "Box it out"]
    assert [row["parts"][0]["groups"][0]["players"] for row in turns] == [["0", "12"], ["4", "7"]]
    assert turns[0]["parts"][0]["set_up"]
    assert not turns[1]["parts"][0]["set_up"]


def test_what_the_film_is_about_stands_in_its_line() -> None:
    """Sheet, page and terminal name the clips of a film session."""
    assert "Harbour Point Q1 03:30" in rows_of(PLAN, NOTES)[0]["title"]
    assert "Harbour Point Q1 03:30" in segment_row(FILM, ("4",), NOTES, {}, why=True)
    assert "Harbour Point" in plan_text(PLAN, {})


def test_the_terminal_names_groups_by_basket_and_who_is_missing() -> None:
    """Groups stand by jersey and half; a drill for all but one says who is not there."""
    text = plan_text(PLAN, {ONE.id: ONE.title, TWO.id: TWO.title})
    assert "Group 1, half A: 4 7" in text
    assert "Group 2, half A: 0 12 21" in text
    alone = replace(TURNS[0], stations=(Station(ONE.id, "all", (*FIRST, *SECOND), "A"),))
    assert "everyone but 21" in plan_text(replace(PLAN, segments=(FILM, alone, *TURNS[1:])), {})


def test_the_table_of_players_adds_up() -> None:
    """Each player's line adds up to the practice, those who come later with what they miss."""
    players = players_of(PLAN, {ONE.id: ONE, TWO.id: TWO})
    assert [one.jersey for one in players] == ["0", "4", "7", "12", "21"]
    assert players[0].minutes["closeout"] == 6 * 15 / 20
    assert players[0].minutes["box-out"] == 6 * 11 / 20
    assert players[-1].minutes[MISSED] == 17
    text = plain_text(players_table(players), 80)
    for line in text.splitlines()[2:]:
        *cells, whole = line.split()[1:]
        assert sum(float(one) for one in cells if one != "-") == float(whole) == 23
