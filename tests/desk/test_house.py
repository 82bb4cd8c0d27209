"""Taking back and changing what was set up, and undoing just that."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from planner.desk import house
from planner.desk.desk import Desk
from planner.desk.film import film_list, undo_film
from planner.desk.team import SETTINGS, TEXT_SETTINGS, add_game, set_setting
from planner.desk.undo import undo_last
from planner.problem import Refusal
from planner.store import queries
from tests.running import TODAY, Stopsheet, assert_refused, rows


@pytest.mark.parametrize(
    "change",
    [
        lambda desk: house.remove_gym_rule(desk, 1),
        lambda desk: house.remove_gym_rule(desk, 5),
        lambda desk: house.remove_fixed(desk, 1),
        lambda desk: house.remove_game(desk, _newest(desk)),
        lambda desk: house.change_game(desk, _newest(desk), TODAY, "Upper Wexmoor", "neutral"),
        lambda desk: house.reset_setting(desk, "minutes"),
    ],
)
def test_each_change_is_undone_row_for_row(desk: Desk, change: Callable[[Desk], str]) -> None:
    """After the change and its undo the store is row for row as before, numbers included."""
    _ahead(desk)
    before = state(desk)
    said = change(desk)
    assert said.endswith(".")
    assert state(desk) != before
    undo_last(desk)
    assert state(desk) == before


def state(desk: Desk) -> dict[str, list[str]]:
    """Return every row of the store, in no order."""
    return {table: sorted(map(repr, kept)) for table, kept in rows(desk.home).items()}


def _ahead(desk: Desk) -> int:
    return add_game(desk, TODAY.replace(month=3), "Harbour Point", "home")


def _newest(desk: Desk) -> int:
    with desk.reading() as session:
        return max(one.id for one in queries.games(session))


def test_removing_and_adding_undo_in_turn(desk: Desk) -> None:
    """A game added, then removed, can be undone twice: first it is back, then it was never there."""
    before = rows(desk.home)
    house.remove_game(desk, _ahead(desk))
    undo_last(desk)
    undo_last(desk)
    assert rows(desk.home) == before


def test_a_game_with_film_stays_even_when_the_film_was_taken_back(desk: Desk) -> None:
    """A game that film belongs to, counted or taken back, is not removed."""
    note = film_list(desk)[0]
    with pytest.raises(Refusal, match="has film"):
        house.remove_game(desk, note.game)
    undo_film(desk, note.id)
    with pytest.raises(Refusal, match="taken back"):
        house.remove_game(desk, note.game)


@pytest.mark.parametrize(
    "change",
    [
        lambda desk: house.remove_gym_rule(desk, 999),
        lambda desk: house.remove_fixed(desk, 999),
        lambda desk: house.remove_game(desk, 999),
        lambda desk: house.change_game(desk, 999, TODAY, "Harbour Point"),
        lambda desk: house.change_game(desk, 1, TODAY, " "),
        lambda desk: house.change_game(desk, 1, TODAY, "Harbour Point", "moon"),
        lambda desk: house.reset_setting(desk, "minuts"),
    ],
)
def test_what_is_not_there_is_refused_and_nothing_is_written(
    desk: Desk, change: Callable[[Desk], str]
) -> None:
    """A wrong number or word is one sentence; store and journal stay as they were."""
    before = rows(desk.home)
    with pytest.raises(Refusal):
        change(desk)
    assert rows(desk.home) == before


def test_usual_settings_lie_within_their_bounds() -> None:
    """Every setting has a usual value that could itself be set, but for the time zone."""
    usual = house.usual_settings()
    assert set(usual) == {*SETTINGS, *TEXT_SETTINGS} - {"timezone"}
    for key, (low, high, _) in SETTINGS.items():
        value = usual[key]
        assert isinstance(value, int | float)
        assert low <= value <= high


def test_a_setting_as_usual_twice_writes_once(desk: Desk) -> None:
    """Putting back what is usual already says so and writes nothing into the journal."""
    set_setting(desk, "tau", 40)
    house.reset_setting(desk, "tau")
    with desk.reading() as session:
        newest = queries.last_journal(session)
    assert "already" in house.reset_setting(desk, "tau")
    with desk.reading() as session:
        assert queries.last_journal(session) == newest


def test_the_command_line_removes_changes_and_sets_back(stopsheet: Stopsheet) -> None:
    """``team remove``, ``team game --number`` and ``team set KEY usual`` do what the app does."""
    stopsheet("team", "new", "Herons")
    stopsheet("team", "gym", "tue", "16:30", "17:00")
    stopsheet("team", "game", "2027-02-01", "Harbour Point")
    stopsheet("team", "set", "minutes", "75")
    assert stopsheet("team", "remove", "gym", "1").code == 0
    assert "Upper Wexmoor" in stopsheet("team", "game", "2027-02-02", "Upper Wexmoor", "--number", "1").out
    assert "as usual" in stopsheet("team", "set", "minutes", "usual").out
    found = stopsheet("team", "--json").json
    assert found["gym"] == []
    assert [one["opponent"] for one in found["games"]] == ["Upper Wexmoor"]
    assert "minutes" not in found["settings"]
    for _ in range(3):
        stopsheet("undo")
    found = stopsheet("team", "--json").json
    assert [one["id"] for one in found["gym"]] == [1]
    assert [one["opponent"] for one in found["games"]] == ["Harbour Point"]
    assert found["settings"]["minutes"] == 75
    assert_refused(stopsheet("team", "remove", "game", "9"), "game 9")
