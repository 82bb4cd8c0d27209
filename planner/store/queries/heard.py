"""Proposals as a reading holds them, and how much of a reading has been answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import select as columns
from sqlmodel import Session, col, func, select

from planner.film.intake import Proposal
from planner.store import models
from planner.store.queries.rows import add_rows


def add_proposals(session: Session, intake_id: int, heard: Sequence[Proposal]) -> None:
    """Store what a narrated film proposes; it waits."""
    rows = [
        {
            "intake_id": intake_id,
            "breakdown": one.breakdown,
            "line": one.line,
            "start": one.start,
            "end": one.end,
            "sure": one.sure,
            "text": one.text,
            "wording": one.wording,
            "players": list(one.players),
            "asks": list(one.asks),
        }
        for one in heard
    ]
    add_rows(session, models.Proposal, rows)


def proposed(session: Session, intake_id: int) -> tuple[Proposal, ...]:
    """Return what a reading proposed, as it was read, whatever was answered since."""
    asked = select(models.Proposal).where(models.Proposal.intake_id == intake_id)
    return tuple(
        Proposal(
            one.breakdown,
            one.line,
            one.start,
            one.end,
            tuple(one.players),
            sure=one.sure,
            text=one.text,
            wording=one.wording,
            asks=tuple(one.asks),
        )
        for one in session.exec(asked.order_by(col(models.Proposal.id)))
    )


def tally_proposals(session: Session, first: int, last: int) -> dict[int, tuple[int, int]]:
    """Return intake number -> (proposed, waiting) for a range of numbers; those without any are left out."""
    row = models.Proposal
    wanted: list[Any] = [row.intake_id, func.count(), func.count(col(row.answer))]
    asked = columns(*wanted).where(col(row.intake_id).between(first, last)).group_by(col(row.intake_id))
    return {number: (every, every - told) for number, every, told in session.execute(asked)}


def unheard(session: Session) -> dict[int, tuple[int, int]]:
    """Return intake number -> (proposed, waiting) of the readings in which something waits."""
    row = models.Proposal
    waiting: list[Any] = [row.intake_id]
    some = columns(*waiting).where(col(row.answer).is_(None))
    wanted: list[Any] = [row.intake_id, func.count(), func.count(col(row.answer))]
    asked = columns(*wanted).where(col(row.intake_id).in_(some)).group_by(col(row.intake_id))
    return {number: (every, every - told) for number, every, told in session.execute(asked)}


def part_heard(possessions: int, tally: tuple[int, int] | None) -> int:
    """Return the possessions of a reading that count: the share of its proposals that is answered.

    So film that still waits neither counts as clean nor hides what it holds.
    """
    if tally is None or not possessions:
        return possessions
    every, waiting = tally
    return max(1, round(possessions * (every - waiting) / every)) if waiting < every else 0
