"""The season's charts in plain words: one paragraph beside each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from planner.drills.vocabulary import Stage
from planner.season.load import LoadWeek
from planner.season.minutes import BESIDES
from planner.season.review import mismatches
from planner.text import listed, plural

if TYPE_CHECKING:
    from planner.paper.review import SeasonPaper

_LONG_AGO = 21
_NEEDED = 0.05
"""Share of the need from which a principle left alone is named."""

_NO_GUESS = "What came before the film is in the estimates where film is thin."


def minutes(paper: SeasonPaper) -> str:
    """Return where the minutes went, and what is needed but has been left alone."""
    weeks = paper.review.weeks
    total = sum(one.total for one in weeks)
    taught = sum(sec for one in weeks for key, sec in one.seconds.items() if key not in BESIDES)
    most = sorted(paper.review.principles, key=lambda one: -one.minutes)[:3]
    named = [f"{_title(paper, one.principle)} ({one.minutes:.0f})" for one in most if one.minutes]
    share = f"{taught / total if total else 0:.0%}"
    rest = "warm-up, water, set-ups, fixed blocks and the parts of drills that teach something else"
    told = [f"{share} of all minutes taught a principle of the defence; the rest was {rest}."]
    if named:
        told.append(f"Most minutes went to {listed(named)}.")
    left = [
        f"{_title(paper, one.principle)} ({f'not since {_day(one.last)}' if one.last else 'never'})"
        for one in paper.review.principles
        if one.need_share >= _NEEDED and (not one.last or (paper.until - one.last).days > _LONG_AGO)
    ]
    if left:
        told.append(f"Needed but left alone for three weeks: {listed(left)}.")
    told.append("The darker a cell, the more minutes.")
    return " ".join(told).replace("%", " %")


def balance(paper: SeasonPaper) -> str:
    """Return the largest differences between share of minutes and share of need."""
    found = mismatches(paper.review, paper.titles)
    if not found:
        return "No principle has two percentage points more or less of the minutes than of the need."
    start = "The largest differences."
    end = "Less time than need is no fault where a principle is held by habit: the film says whether it is."
    return " ".join([start, *found, end]).replace("%", " %")


def rates(paper: SeasonPaper) -> str:
    """Return what costs most, what moved, and on how much film that rests."""
    needs = paper.needs
    titles = {one.id: one.title for one in paper.vocabulary.breakdowns}
    if not needs.possessions:
        return "No film was read: these are the library's usual rates, not this team's."
    most = [
        f"{titles.get(one.breakdown, one.breakdown)} ({one.points_per_100:.1f})"
        for one in needs.breakdowns[:3]
    ]
    film = f"From {needs.possessions:,} possessions of {plural(needs.games, 'game')}."
    told = [film, f"Most points per 100 are lost through {listed(most)}."]
    moved = [
        f"{titles.get(one.breakdown, one.breakdown)} – {one.trend[0].lower()}{one.trend[1:]}"
        for one in needs.breakdowns
        if one.trend
    ]
    told += moved[:3] or ["No rate has moved lately by more than chance explains."]
    return " ".join([*told, _NO_GUESS])


def passed(paper: SeasonPaper, days: Mapping[str, Mapping[Stage, dt.date]]) -> str:
    """Return which principles stand at which stage."""
    at: dict[Stage | None, list[str]] = {}
    for one in paper.review.principles:
        stages = days.get(one.principle, {})
        at.setdefault(max(stages, key=lambda stage: stage.rank, default=None), []).append(
            _title(paper, one.principle)
        )
    told = [
        f"{stage.value.capitalize()}: {'; '.join(at[stage])}." for stage in reversed(Stage) if stage in at
    ]
    if None in at:
        told.append(f"Nothing passed yet: {'; '.join(at[None])}.")
    return " ".join(told)


def load(paper: SeasonPaper) -> str:
    """Return the heaviest week, what an ordinary one was, and how much of it was asked."""
    weeks = paper.loads
    rated = [one for one in weeks if one.load > 0]
    if not rated:
        return "Nobody's rating was logged, so there is no load to show; ask half an hour after practice."
    heaviest = max(rated, key=lambda one: one.load)
    mean = sum(one.load for one in rated) / len(rated)
    sessions, unrated = sum(one.sessions for one in weeks), sum(one.unrated for one in weeks)
    told = [
        "Load is the session's CR-10 rating times its minutes (Foster et al., 2001).",
        f"The heaviest week began {_monday(heaviest)} ({heaviest.load:,.0f}).",
        f"A week with practice had {mean:,.0f} on average.",
    ]
    if unrated:
        told.append(f"{unrated} of {plural(sessions, 'session')} had no rating: white columns miss them.")
    return " ".join(told)


def load_alt(weeks: Sequence[LoadWeek]) -> str:
    """Return the columns of the load chart as words for those who cannot see them."""
    if not weeks:
        return "Chart of load per week: no week."
    told = ", ".join(f"{_monday(one)} {one.load:,.0f}" for one in weeks)
    return f"Chart of load per week, by the week's Monday: {told}."


def _title(paper: SeasonPaper, principle: str) -> str:
    return paper.titles.get(principle, principle)


def _monday(one: LoadWeek) -> str:
    year, number = one.week.split("-W")
    return _day(dt.date.fromisocalendar(int(year), int(number), 1))


def _day(day: dt.date) -> str:
    months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    return f"{day.day} {months[day.month - 1]}"
