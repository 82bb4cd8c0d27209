"""Opponents: what scouted film suggests about the next one. Nothing is set without the coach."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.desk.desk import Desk
from planner.desk.season_book import Book
from planner.desk.team import add_game
from planner.desk.words import vocabulary
from planner.need.estimate import WatchedGame
from planner.problem import Refusal
from planner.season.scouting import Report, scout
from planner.store import queries
from planner.store.values import GameInfo
from planner.text import clean_line


@dataclass(frozen=True, slots=True)
class Scouted:
    """The report on an opponent and the next game against it, if one is to come."""

    opponent: str
    report: Report
    game: GameInfo | None


def scout_opponent(desk: Desk, book: Book, opponent: str) -> Scouted:
    """Return the tendencies of an opponent, from scouted film and from our own games against it.

    All film up to the period's last day counts, that of earlier seasons too.

    Raises:
        Refusal: nobody of that name was ever met or scouted, or there is no film of it.

    """
    wanted = _key(opponent)
    with desk.reading() as session:
        infos = queries.games(session)
        scouted = queries.counted_games(session, book.until, scouted=True)
        own = queries.counted_games(session, book.until)
    names = {str(one.id): one.opponent for one in infos}
    known = {_key(name): name for name in names.values() if name}
    if wanted not in known:
        raise Refusal(_unknown(opponent, list(known.values())))
    theirs = (_of(scouted, names, wanted), _of(own, names, wanted))
    others = (_of(scouted, names, wanted, False), _of(own, names, wanted, False))
    if not any(theirs):
        raise Refusal(
            f"There is no film of {known[wanted]}: scout a game with 'stopsheet season scout"
            f' "{known[wanted]}" --film DATE\', then add its notes.'
        )
    report = scout(theirs, others, vocabulary(desk), book.off)
    ahead = [
        one for one in infos if not one.scouted and one.date >= desk.today and _key(one.opponent) == wanted
    ]
    return Scouted(known[wanted], report, ahead[0] if ahead else None)


def add_scouted(desk: Desk, opponent: str, date: dt.date) -> str:
    """Add a game of an opponent that is watched but not played, for its film to go to."""
    number = add_game(desk, date, opponent, scouted=True)
    return f"Scouted game {number} is there; add its notes with: stopsheet film add NOTES --game {number}"


def _key(name: str) -> str:
    return clean_line(name, 80).casefold()


def _of(
    games: tuple[WatchedGame, ...], names: dict[str, str], wanted: str, same: bool = True
) -> tuple[WatchedGame, ...]:
    return tuple(one for one in games if (_key(names.get(one.game, "")) == wanted) is same)


def _unknown(opponent: str, known: list[str]) -> str:
    from difflib import get_close_matches

    said = clean_line(opponent, 60)
    near = get_close_matches(said, known, 3, 0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else "'stopsheet team' lists the games."
    return f"No game against '{said}' is known; {hint}"
