"""Logging a practice from what the court-side page noted."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from planner.desk.desk import Desk
from planner.desk.outside import bytes_of
from planner.desk.season import Changes, log_practice, planned_on
from planner.paper.phone import LARGEST, PhoneLog, check_plan, read_phone_log
from planner.problem import Refusal
from planner.season.record import DonePractice
from planner.store import queries


def page_file(path: Path) -> bytes:
    """Return the bytes of a log file, no more of them than are ever read.

    Raises:
        Refusal: it is not there or cannot be read.

    """
    return bytes_of(
        path, LARGEST, lambda: f"{'a folder' if path.is_dir() else 'not there'}; name the saved log"
    )


def log_from_page(
    desk: Desk, raw: bytes, name: str, said: Changes, date: dt.date | None = None
) -> tuple[DonePractice, str]:
    """Log the practice that a page's file tells of; what ``said`` holds goes before what the page noted.

    Raises:
        Refusal: the file is no such log, belongs to another day or plan, or the changes cannot be.

    """
    log = read_phone_log(raw, name)
    if date is not None and date != log.date:
        raise Refusal(f"The log is of {log.date.isoformat()}, not of {date.isoformat()}; leave the date off.")
    with desk.reading() as session:
        info = planned_on(session, log.date)
        plan = queries.plan_of(session, info.id) if info else None
    if plan is None:
        raise Refusal(f"There is no plan for {log.date.isoformat()}, the day of this log.")
    check_plan(log, plan)
    return log_practice(desk, log.date, _changes(log, said))


def _changes(log: PhoneLog, said: Changes) -> Changes:
    rows = list(enumerate(log.segments, 1))
    counted = {
        n: (one.stops, one.tries) for n, one in rows if one.stops is not None and one.tries is not None
    }
    return Changes(
        took={n: one.seconds / 60 for n, one in rows} | dict(said.took),
        stops=counted | dict(said.stops),
        absent=tuple(dict.fromkeys([*log.absent, *said.absent])),
        rating=log.rating if said.rating is None else said.rating,
    )
