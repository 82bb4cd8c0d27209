"""Where things stand, in a handful of numbers, and the next sensible step."""

from __future__ import annotations

from dataclasses import dataclass

from planner.build.plan import Plan
from planner.desk.desk import Desk
from planner.store import queries
from planner.store.values import GameInfo


@dataclass(frozen=True, slots=True)
class Standing:
    """What the coach sees first."""

    team: str
    players: int
    films: int
    unclear: int
    practices: int
    plan: Plan | None
    game: GameInfo | None
    next_step: str
    waiting: int = 0


def where_we_stand(desk: Desk) -> Standing | None:
    """Return the standing, or None where no team has been set up."""
    if not desk.has_team():
        return None
    with desk.reading() as session:
        team = queries.team(session)
        films = queries.intakes(session)
        plan = queries.next_plan(session, desk.today)
        players = queries.players(session, active=True)
        waiting = queries.practices(session, until=desk.today, state="planned")
        return Standing(
            team=team.name if team else "",
            players=len(players),
            films=len(films),
            unclear=len(queries.unclear(session)),
            practices=len(queries.practices(session, state="done")),
            plan=plan,
            game=queries.next_game(session, desk.today),
            next_step=_next_step(bool(players), bool(films), plan is not None, bool(waiting)),
            waiting=sum(one.waiting for one in films),
        )


def _next_step(players: bool, films: bool, plan: bool, waiting: bool) -> str:
    if not players:
        return "say who plays: stopsheet team player 4 --position guard"
    if not films:
        return "add film notes: stopsheet film add NOTES.txt"
    if waiting:
        return "log the last practice: stopsheet log"
    if not plan:
        return "build tomorrow's practice: stopsheet plan"
    return "print it: stopsheet print plan"
