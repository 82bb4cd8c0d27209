"""Minutes asked in every way: by week, month, stage, player; planned beside done; targets; two periods."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from planner.desk.desk import Desk
from planner.desk.season_book import TARGETS, Book, open_book
from planner.desk.team import check_principle
from planner.desk.words import vocabulary
from planner.need.settings import NeedSettings
from planner.problem import Refusal
from planner.season.balance import Period, balance, end_of_month, end_of_week, need_shares
from planner.season.ledger import Kept, PlayerMinutes, by_player, planned_beside_done
from planner.season.minutes import iso_week, month_of
from planner.season.periods import Compared, Stretch, side_by_side
from planner.season.targets import TargetRow, against_targets
from planner.store import queries

MOST_TARGET = 600.0
"""Minutes a week."""


def player_minutes(desk: Desk, book: Book) -> tuple[PlayerMinutes, ...]:
    """Return the minutes of everybody on the roster; absences have none."""
    with desk.reading() as session:
        roster = [one.jersey for one in queries.players(session)]
    return by_player(book.done, roster)


def kept_plans(desk: Desk, book: Book) -> Kept:
    """Return minutes planned beside minutes done."""
    with desk.reading() as session:
        planned = queries.planned_practices(session, book.since, min(book.until, desk.today))
    return planned_beside_done(planned, book.done)


def balance_of(desk: Desk, book: Book, by_month: bool = False) -> tuple[Period, ...]:
    """Return share of minutes beside share of need, week by week or month by month.

    Each period's need is that of the film and the emphasis of its last day; the exposure to an opponent
    that was then still to come is left out.
    """
    with desk.reading() as session:
        games = queries.watched_games(session, book.until)
    words = vocabulary(desk)
    chosen = NeedSettings(
        half_life_games=float(book.settings.get("film-half-life", NeedSettings().half_life_games)),
        off=book.off,
    )

    def needs_on(day: dt.date) -> Mapping[str, float]:
        leaning = {one.principle: one.factor for one in book.emphases if one.since <= day}
        return need_shares(games, words, min(day, book.until), replace(chosen, emphasis=leaning))

    label, end = (month_of, end_of_month) if by_month else (iso_week, end_of_week)
    return balance(book.done, label, end, needs_on)


def targets_of(desk: Desk, book: Book) -> tuple[TargetRow, ...]:
    """Return the weekly targets beside what was done."""
    known = vocabulary(desk).principle_by_id
    chosen = {one: float(least) for one, least in targets_in(book.settings).items() if one in known}
    return against_targets(chosen, book.done, min(book.until, desk.today))


def targets_in(settings: Mapping[str, object]) -> dict[str, float]:
    """Return principle -> minutes a week, as set."""
    found = settings.get(TARGETS)
    return dict(found) if isinstance(found, dict) else {}


def set_target(desk: Desk, principle: str, minutes: float) -> str:
    """Set how many minutes a week a principle should get; 0 clears.

    Raises:
        Refusal: there is no such principle, or the minutes are out of range.

    """
    check_principle(desk, principle)
    if not 0 <= minutes <= MOST_TARGET:
        raise Refusal(f"A target of {minutes:g} minutes a week is out of range; give 0 to {MOST_TARGET:g}.")
    with desk.writing() as session:
        table = targets_in(queries.settings(session))
        if minutes == 0 and principle not in table:
            return f"{principle} had no target."
        table.pop(principle, None)
        if minutes:
            table[principle] = minutes
        before = (
            queries.set_setting(session, TARGETS, table)
            if table
            else queries.remove_setting(session, TARGETS)
        )
        desk.note(session, "setting", f"target {principle} {minutes:g}", {"key": TARGETS, "before": before})
    if not minutes:
        return f"{principle} has no target any more."
    return f"{principle}: {minutes:g} minutes a week wanted. It changes no plan; 'stopsheet season' shows it."


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Two periods and each principle in both."""

    first: Stretch
    second: Stretch
    rows: tuple[Compared, ...]


def compare_periods(
    desk: Desk, first: tuple[dt.date, dt.date], second: tuple[dt.date, dt.date]
) -> SideBySide:
    """Return two periods side by side, each given as first and last day.

    Raises:
        Refusal: a period ends before it starts, or they share days.

    """
    books = [open_book(desk, *one) for one in (first, second)]
    sides = [Stretch(one.since, one.until, one.done, one.games) for one in books]
    rows = side_by_side(sides[0], sides[1], vocabulary(desk), books[1].off)
    return SideBySide(sides[0], sides[1], rows)
