"""Taking back what was done last, verb by verb, across restarts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from planner.desk.desk import Desk
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import PlayerInfo, TeamInfo
from planner.text import clean_line

if TYPE_CHECKING:
    from sqlmodel import Session

Payload = Mapping[str, Any]


def undo_last(desk: Desk) -> str:
    """Take back the newest thing in the journal and say what it was.

    Raises:
        Refusal: there is nothing to take back.

    """
    with desk.writing() as session:
        entry = queries.last_journal(session)
        if entry is None:
            raise Refusal("There is nothing to undo.")
        if entry.coach and entry.coach != desk.coach:
            raise Refusal(
                f"What was done last, {entry.words}, was done by {entry.coach}; ask them to undo it."
            )
        if entry.verb in _UNDO:
            _UNDO[entry.verb](session, entry.payload)
        elif entry.verb not in _UNDO_FILES:
            raise Refusal(f"This program cannot undo '{clean_line(entry.words, 80)}'; nothing changed.")
        queries.mark_undone(session, entry.id)
        if entry.verb in _UNDO_FILES:
            _UNDO_FILES[entry.verb](desk, entry.payload)
    return f"Undone: {entry.words}."


def _team(session: Session, payload: Payload) -> None:
    before = payload["before"]
    if before is None:
        raise Refusal("Setting up the team is not undone; change it with 'stopsheet team new'.")
    dates = {key: _date(before[key]) for key in ("season_start", "season_end")}
    queries.save_team(session, TeamInfo(**{**before, **dates}))


def _date(text: str | None) -> dt.date | None:
    return dt.date.fromisoformat(text) if text else None


def _player(session: Session, payload: Payload) -> None:
    if payload["before"] is None:
        queries.remove_player(session, payload["jersey"])
    else:
        queries.save_player(session, PlayerInfo(**payload["before"]))


def _player_gone(session: Session, payload: Payload) -> None:
    queries.save_player(session, PlayerInfo(**payload["before"]))


def _teach(session: Session, payload: Payload) -> None:
    (queries.switch_off if payload["on"] else queries.switch_on)(session, payload["breakdown"])


def _setting(session: Session, payload: Payload) -> None:
    befores = payload["befores"] if "befores" in payload else {payload["key"]: payload["before"]}
    for key, before in befores.items():
        if before is None:
            queries.remove_setting(session, key)
        else:
            queries.set_setting(session, key, before)


def _plan(session: Session, payload: Payload) -> None:
    if payload["before"] is None:
        queries.remove_plan(session, payload["practice"])
    else:
        queries.save_plan(session, queries.unpack_plan(payload["before"]), payload["wishes"])


def _plan_version(session: Session, payload: Payload) -> None:
    from planner.desk.versions import undo_take

    undo_take(session, payload)


def _log(session: Session, payload: Payload) -> None:
    if payload["before"] is None:
        queries.undo_log(session, payload["practice"])
    else:
        queries.log_done(session, payload["practice"], queries.unpack_done(payload["before"]))


def _film(session: Session, payload: Payload) -> None:
    for number in payload["intakes"]:
        queries.undo_intake(session, number)
    for number in payload.get("games", ()):
        queries.remove_game(session, number)


def _sorted_lines(session: Session, payload: Payload) -> None:
    for number in payload["unclear"]:
        queries.unsort_unclear(session, number)
    for number, charged in payload["charged"]:
        queries.uncharge_unclear(session, number, charged)
    if payload.get("learnt"):
        queries.set_setting(session, "learnt-words", payload["learnt"])
    elif "learnt" in payload:
        queries.remove_setting(session, "learnt-words")


def _answered(session: Session, payload: Payload) -> None:
    for number, answer, players in payload["before"]:
        queries.answer_proposal(session, number, answer, players)


def _calendar(session: Session, payload: Payload) -> None:
    from planner.desk.calendar_intake import undo_file

    undo_file(session, payload)


def _house(name: str) -> Callable[[Any, Payload], object]:
    def undo(session: Session, payload: Payload) -> None:
        from planner.desk import house

        getattr(house, name)(session, payload)

    return undo


_UNDO: Mapping[str, Callable[[Any, Payload], object]] = {
    "team": _team,
    "player": _player,
    "player-gone": _player_gone,
    "game": lambda session, payload: queries.remove_game(session, payload["game"]),
    "game-gone": _house("undo_game_gone"),
    "game-changed": _house("undo_game_change"),
    "gym": lambda session, payload: queries.remove_gym_rule(session, payload["rule"]),
    "gym-gone": _house("undo_gym"),
    "fixed": lambda session, payload: queries.remove_fixed_rule(session, payload["rule"]),
    "fixed-gone": _house("undo_fixed"),
    "teach": _teach,
    "emphasis": lambda session, payload: queries.remove_emphasis(session, payload["emphasis"]),
    "passed": lambda session, payload: queries.remove_progress(session, payload["progress"]),
    "setting": _setting,
    "scheme": _setting,
    "calendar": _calendar,
    "plan": _plan,
    "plan-version": _plan_version,
    "log": _log,
    "film": _film,
    "film-undo": lambda session, payload: queries.redo_intake(session, payload["intake"]),
    "watched": lambda session, payload: queries.set_exposure(session, payload["intake"], payload["before"]),
    "answered": _answered,
    "sorted-lines": _sorted_lines,
}


def _dropped_entry(desk: Desk, payload: Payload) -> None:
    from planner.desk.watching import take_up_again

    take_up_again(desk, payload)


def _dropped_run(desk: Desk, payload: Payload) -> None:
    from planner.desk.floor import take_up_again

    take_up_again(desk, payload)


_UNDO_FILES: Mapping[str, Callable[[Desk, Payload], object]] = {
    "entry-dropped": _dropped_entry,
    "run-dropped": _dropped_run,
}
"""What lies in files beside the database; when a file cannot be brought back, the entry stays."""
