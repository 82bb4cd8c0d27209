"""All of the store's questions and orders; the ORM is loaded when the first of them is named.

Every function takes an open session first, returns plain values, and leaves storing to the session's end.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from planner.store.packing import pack_done as pack_done
from planner.store.packing import pack_plan as pack_plan
from planner.store.packing import unpack_done as unpack_done
from planner.store.packing import unpack_plan as unpack_plan

if TYPE_CHECKING:
    from planner.store.queries.counted import counted_games as counted_games
    from planner.store.queries.counted import game_days as game_days
    from planner.store.queries.counted import planned_practices as planned_practices
    from planner.store.queries.film import add_intake as add_intake
    from planner.store.queries.film import intake as intake
    from planner.store.queries.film import intakes as intakes
    from planner.store.queries.film import known_intake as known_intake
    from planner.store.queries.film import raw_note as raw_note
    from planner.store.queries.film import redo_intake as redo_intake
    from planner.store.queries.film import set_exposure as set_exposure
    from planner.store.queries.film import undo_intake as undo_intake
    from planner.store.queries.house import add_fixed_rule as add_fixed_rule
    from planner.store.queries.house import add_gym_rule as add_gym_rule
    from planner.store.queries.house import append_journal as append_journal
    from planner.store.queries.house import fixed_on as fixed_on
    from planner.store.queries.house import fixed_rules as fixed_rules
    from planner.store.queries.house import gym_on as gym_on
    from planner.store.queries.house import gym_rules as gym_rules
    from planner.store.queries.house import journal as journal
    from planner.store.queries.house import journal_mark as journal_mark
    from planner.store.queries.house import last_done as last_done
    from planner.store.queries.house import last_journal as last_journal
    from planner.store.queries.house import mark_undone as mark_undone
    from planner.store.queries.house import plan_built as plan_built
    from planner.store.queries.house import remove_fixed_rule as remove_fixed_rule
    from planner.store.queries.house import remove_gym_rule as remove_gym_rule
    from planner.store.queries.house import remove_setting as remove_setting
    from planner.store.queries.house import set_setting as set_setting
    from planner.store.queries.house import setting as setting
    from planner.store.queries.house import settings as settings
    from planner.store.queries.house import switch_off as switch_off
    from planner.store.queries.house import switch_on as switch_on
    from planner.store.queries.house import switched_off as switched_off
    from planner.store.queries.kept import drop_kept as drop_kept
    from planner.store.queries.kept import keep_plan as keep_plan
    from planner.store.queries.kept import kept_days as kept_days
    from planner.store.queries.kept import kept_plan as kept_plan
    from planner.store.queries.kept import kept_plans as kept_plans
    from planner.store.queries.proposed import answer_proposal as answer_proposal
    from planner.store.queries.proposed import answers as answers
    from planner.store.queries.proposed import proposals as proposals
    from planner.store.queries.season import add_emphasis as add_emphasis
    from planner.store.queries.season import add_progress as add_progress
    from planner.store.queries.season import emphases as emphases
    from planner.store.queries.season import emphasis_on as emphasis_on
    from planner.store.queries.season import progress as progress
    from planner.store.queries.season import progress_on as progress_on
    from planner.store.queries.season import remove_emphasis as remove_emphasis
    from planner.store.queries.season import remove_progress as remove_progress
    from planner.store.queries.seen import charge_unclear as charge_unclear
    from planner.store.queries.seen import sightings as sightings
    from planner.store.queries.seen import sort_unclear as sort_unclear
    from planner.store.queries.seen import uncharge_unclear as uncharge_unclear
    from planner.store.queries.seen import unclear as unclear
    from planner.store.queries.seen import unsort_unclear as unsort_unclear
    from planner.store.queries.teams import add_game as add_game
    from planner.store.queries.teams import find_games as find_games
    from planner.store.queries.teams import game as game
    from planner.store.queries.teams import games as games
    from planner.store.queries.teams import next_game as next_game
    from planner.store.queries.teams import players as players
    from planner.store.queries.teams import remove_game as remove_game
    from planner.store.queries.teams import remove_player as remove_player
    from planner.store.queries.teams import save_game as save_game
    from planner.store.queries.teams import save_player as save_player
    from planner.store.queries.teams import save_team as save_team
    from planner.store.queries.teams import team as team
    from planner.store.queries.training import done_of as done_of
    from planner.store.queries.training import done_practices as done_practices
    from planner.store.queries.training import find_practice as find_practice
    from planner.store.queries.training import latest_plan as latest_plan
    from planner.store.queries.training import log_done as log_done
    from planner.store.queries.training import next_plan as next_plan
    from planner.store.queries.training import plan_of as plan_of
    from planner.store.queries.training import plan_on as plan_on
    from planner.store.queries.training import plans_on as plans_on
    from planner.store.queries.training import practice as practice
    from planner.store.queries.training import practices as practices
    from planner.store.queries.training import recent_drills as recent_drills
    from planner.store.queries.training import remove_plan as remove_plan
    from planner.store.queries.training import save_plan as save_plan
    from planner.store.queries.training import undo_log as undo_log
    from planner.store.queries.watched import player_film as player_film
    from planner.store.queries.watched import unknown_exposure as unknown_exposure
    from planner.store.queries.watched import watched_games as watched_games

_HOMES = {
    "teams": (
        "team",
        "save_team",
        "players",
        "save_player",
        "remove_player",
        "add_game",
        "save_game",
        "game",
        "games",
        "find_games",
        "next_game",
        "remove_game",
    ),
    "film": (
        "known_intake",
        "add_intake",
        "undo_intake",
        "redo_intake",
        "set_exposure",
        "intakes",
        "intake",
        "raw_note",
    ),
    "seen": (
        "sightings",
        "unclear",
        "sort_unclear",
        "unsort_unclear",
        "charge_unclear",
        "uncharge_unclear",
    ),
    "proposed": (
        "answer_proposal",
        "answers",
        "proposals",
    ),
    "watched": (
        "watched_games",
        "unknown_exposure",
        "player_film",
    ),
    "counted": (
        "counted_games",
        "game_days",
        "planned_practices",
    ),
    "training": (
        "save_plan",
        "plan_on",
        "plans_on",
        "next_plan",
        "latest_plan",
        "plan_of",
        "remove_plan",
        "practice",
        "find_practice",
        "practices",
        "log_done",
        "done_of",
        "undo_log",
        "done_practices",
        "recent_drills",
    ),
    "kept": (
        "keep_plan",
        "kept_plans",
        "kept_days",
        "kept_plan",
        "drop_kept",
    ),
    "season": (
        "add_emphasis",
        "remove_emphasis",
        "emphasis_on",
        "emphases",
        "add_progress",
        "remove_progress",
        "progress_on",
        "progress",
    ),
    "house": (
        "add_gym_rule",
        "remove_gym_rule",
        "gym_rules",
        "gym_on",
        "add_fixed_rule",
        "remove_fixed_rule",
        "fixed_rules",
        "fixed_on",
        "setting",
        "set_setting",
        "remove_setting",
        "settings",
        "switched_off",
        "switch_off",
        "switch_on",
        "append_journal",
        "last_journal",
        "mark_undone",
        "journal",
        "journal_mark",
        "last_done",
        "plan_built",
    ),
}
_HOME = {name: module for module, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
