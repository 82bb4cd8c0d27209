"""Whether it worked, and what the season says of the planning weights."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.desk.desk import Desk
from planner.desk.season_book import Book
from planner.desk.team import check_principle
from planner.desk.words import vocabulary
from planner.season.evidence import Evidence, Spell, feeding, judge, seen_in, spells
from planner.season.learning import Learning, learn
from planner.season.runchart import RunChart, run_chart
from planner.store import queries


def evidence_in(desk: Desk, book: Book) -> tuple[Evidence, ...]:
    """Return what came of each emphasis that began in the period, oldest first."""
    history = [(one.principle, one.factor, one.since) for one in book.emphases]
    found = [one for one in spells(history, book.until) if one.start >= book.since]
    return judge(found, book.games, book.minutes, vocabulary(desk), book.until, book.off)


def evidence_since(desk: Desk, book: Book, principle: str, day: dt.date) -> Evidence:
    """Return a principle before and after a day of the coach's choice.

    Raises:
        Refusal: there is no such principle.

    """
    check_principle(desk, principle)
    spell = Spell(principle, 1.0, day)
    return judge([spell], book.games, book.minutes, vocabulary(desk), book.until, book.off)[0]


@dataclass(frozen=True, slots=True)
class Chart:
    """A principle's run chart with the days of its games."""

    days: tuple[dt.date, ...]
    chart: RunChart


def chart_of(desk: Desk, book: Book, principle: str) -> Chart:
    """Return the run chart of a principle: times seen per 100 possessions, game by game.

    Raises:
        Refusal: there is no such principle.

    """
    check_principle(desk, principle)
    breakdowns = feeding(vocabulary(desk), principle, book.off)
    points = [100.0 * seen_in(one, breakdowns) / one.possessions for one in book.games]
    return Chart(tuple(one.date for one in book.games), run_chart(points))


def learning_in(desk: Desk, book: Book) -> Learning:
    """Return what games and minutes of the period say of r, tau and half-life.

    Raises:
        Refusal: there is too little to learn from.

    """
    return learn(book.games, book.minutes, vocabulary(desk), book.off)


def use_learning(desk: Desk, found: Learning) -> str:
    """Set the three planning weights to what was learnt."""
    chosen = {one.key: float(f"{one.after:.3g}") for one in found.weights}
    with desk.writing() as session:
        befores = {key: queries.set_setting(session, key, value) for key, value in chosen.items()}
        desk.note(session, "setting", "planning weights from the season", {"befores": befores})
    said = ", ".join(f"{key} = {value:g}" for key, value in chosen.items())
    return f"Planning weights are now {said}."
