"""What was really done, and where the season's minutes went."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.build.plan import Plan, Segment
from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.desk.needs import assess_needs
from planner.desk.season_book import Book, open_book
from planner.desk.season_evidence import evidence_in
from planner.desk.season_load import Loads, loads_in
from planner.desk.season_minutes import targets_of
from planner.desk.season_progress import progress_in
from planner.desk.team import clean_jersey
from planner.drills.library import Library
from planner.problem import Refusal
from planner.season.evidence import Evidence
from planner.season.progress import PrincipleProgress
from planner.season.record import DonePractice, DoneSegment
from planner.season.review import Review, review_accounts
from planner.season.targets import TargetRow
from planner.store import queries
from planner.store.values import PracticeInfo
from planner.text import plural

if TYPE_CHECKING:
    from sqlmodel import Session

LONGEST = 300
"""Minutes that one segment may have taken."""


@dataclass(frozen=True, slots=True)
class Changes:
    """How a practice differed from its plan; segments are counted from 1 in the order of the plan.

    ``took`` maps segment to minutes (0: not run), ``stops`` segment to (stops, tries).
    """

    took: Mapping[int, float]
    stops: Mapping[int, tuple[int, int]]
    absent: tuple[str, ...] = ()
    rating: int | None = None


def done_from_plan(plan: Plan, library: Library, changes: Changes) -> DonePractice:
    """Return the practice as it was run: the plan with the changes applied.

    Raises:
        Refusal: a change names a segment the plan does not have, or numbers that cannot be.

    """
    _check_changes(plan, changes)
    segments = []
    for number, one in enumerate(plan.segments, 1):
        minutes = changes.took.get(number, one.minutes)
        if minutes > 0:
            made = _done_segment(one, round(minutes * 60), library)
            stops, tries = changes.stops.get(number, (None, None))
            segments.append(replace(made, stops=stops, tries=tries))
    if not segments:
        raise Refusal("A practice in which nothing was run is not logged.")
    absent = tuple(clean_jersey(one) for one in changes.absent)
    return DonePractice("", plan.date, plan.start, tuple(segments), absent, changes.rating)


def _check_changes(plan: Plan, changes: Changes) -> None:
    for number in [*changes.took, *changes.stops]:
        if not 1 <= number <= len(plan.segments):
            raise Refusal(
                f"The plan has {plural(len(plan.segments), 'segment')}, there is no segment {number}."
            )
    for number, minutes in changes.took.items():
        if not 0 <= minutes <= LONGEST:
            raise Refusal(f"Segment {number} cannot have taken {minutes:g} minutes.")
    for number, (stops, tries) in changes.stops.items():
        if not 0 <= stops <= tries:
            raise Refusal(f"Segment {number}: {stops} of {tries} cannot be; write it as 7/10.")
        if plan.segments[number - 1].kind != "drill":
            raise Refusal(
                f"Segment {number} ({plan.segments[number - 1].title}) is no drill and has no score."
            )
    if changes.rating is not None and not 0 <= changes.rating <= 10:
        raise Refusal(f"An effort rating of {changes.rating} is off the scale; give 0 to 10.")


def _done_segment(one: Segment, seconds: int, library: Library) -> DoneSegment:
    drill = one.stations[0].drill if one.stations else None
    card = library.by_id.get(drill) if drill else None
    return DoneSegment(
        kind=one.kind,
        title=one.title,
        seconds=seconds,
        drill=drill,
        stage=card.stage.value if card and card.stage else None,
        shares=dict(one.shares),
        effort=one.effort,
    )


def log_practice(desk: Desk, date: dt.date | None, changes: Changes) -> tuple[DonePractice, str]:
    """Log the practice of a day (the latest planned one up to today if none is named).

    Raises:
        Refusal: there is no plan for it, it lies ahead, or the changes cannot be.

    """
    with desk.writing() as session:
        if date is None:
            planned = queries.practices(session, until=desk.today, state="planned")
            if not planned:
                raise Refusal(
                    "No planned practice up to today waits to be logged; name its day: stopsheet log DATE."
                )
            date = planned[-1].date
        if date > desk.today:
            raise Refusal(f"The practice of {date.isoformat()} is still ahead; log it when it is over.")
        info = planned_on(session, date)
        plan = queries.plan_of(session, info.id) if info else None
        if info is None or plan is None:
            raise Refusal(f"There is no plan for {date.isoformat()}; build one before the practice.")
        before = queries.done_of(session, info.id)
        done = done_from_plan(plan, desk.library, changes)
        _check_absent(session, done.absent)
        queries.log_done(session, info.id, done)
        payload = {"practice": info.id, "before": queries.pack_done(before) if before else None}
        words = f"log of {date.isoformat()} {clock_text(plan.start)}"
        desk.note(session, "log", words, payload)
    return done, words


def planned_on(session: Session, date: dt.date) -> PracticeInfo | None:
    """Return the day's first planned practice that waits to be logged, else the first that was planned."""
    known = [one for one in queries.practices(session, since=date, until=date) if one.has_plan]
    return next((one for one in known if one.state == "planned"), known[0] if known else None)


def _check_absent(session: Session, absent: Sequence[str]) -> None:
    unknown = sorted(set(absent) - {one.jersey for one in queries.players(session)})
    if unknown:
        raise Refusal(f"No player wears {unknown[0]}; 'stopsheet team' shows the roster.")


def season_review(
    desk: Desk, since: dt.date | None = None, until: dt.date | None = None
) -> tuple[Review, Sequence[DonePractice]]:
    """Return minutes per week and principle beside the need, over a period (by default the season)."""
    book = open_book(desk, since, until)
    return review_of(desk, book), book.done


def review_of(desk: Desk, book: Book) -> Review:
    """Return the review of a period already looked up."""
    return review_accounts(book.accounts, assess_needs(desk, as_of=book.until), book.passed)


@dataclass(frozen=True, slots=True)
class Overview:
    """The season on one page: the review, and the short of everything that has a page of its own."""

    book: Book
    review: Review
    progress: tuple[PrincipleProgress, ...]
    evidence: tuple[Evidence, ...]
    loads: Loads
    targets: tuple[TargetRow, ...]


def season_overview(desk: Desk, since: dt.date | None = None, until: dt.date | None = None) -> Overview:
    """Return the season (or another period) on one page.

    Raises:
        Refusal: the period ends before it starts.

    """
    book = open_book(desk, since, until)
    return Overview(
        book=book,
        review=review_of(desk, book),
        progress=progress_in(desk, book),
        evidence=evidence_in(desk, book),
        loads=loads_in(desk, book),
        targets=targets_of(desk, book),
    )
