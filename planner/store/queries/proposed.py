"""What narration proposes, and the coach's yes or no."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import select as columns
from sqlmodel import Session, col, func, select

from planner.film.answers import NO
from planner.film.intake import Sighting
from planner.problem import Refusal
from planner.store import models
from planner.store.queries.rows import TEAM, must_get, number_of
from planner.store.queries.seen import add_sightings
from planner.store.values import ProposalInfo


def proposals(
    session: Session,
    *,
    intake: int | None = None,
    numbers: Sequence[int] | None = None,
    waiting: bool = True,
    team: int = TEAM,
) -> tuple[ProposalInfo, ...]:
    """Return what was proposed, in order, of one reading or by number if named; what waits unless told."""
    asked = (
        select(models.Proposal, models.Intake)
        .join(models.Intake)
        .join(models.Game)
        .where(models.Game.team_id == team, col(models.Intake.undone).is_(False))
    )
    if intake is not None:
        asked = asked.where(models.Proposal.intake_id == intake)
    if waiting:
        asked = asked.where(col(models.Proposal.answer).is_(None))
    rows = session.exec(asked.order_by(col(models.Proposal.id))).all()
    if numbers is not None:
        wanted = frozenset(numbers)
        rows = [one for one in rows if number_of(one[0]) in wanted]
    charged = _charged(session, [row.sighting_id for row, _ in rows if row.sighting_id is not None])
    return tuple(_info(row, reading, charged.get(row.sighting_id or 0, ())) for row, reading in rows)


def answer_proposal(
    session: Session, number: int, answer: str | None, players: Sequence[str] = ()
) -> ProposalInfo:
    """Say what a proposal is: a breakdown, which counts, charged to ``players``; ``NO``; None lets it wait.

    Returns it as it stood before.

    Raises:
        Refusal: there is no such proposal, or its film note was taken back.

    """
    row = must_get(session, models.Proposal, number, "proposal")
    reading = must_get(session, models.Intake, row.intake_id, "reading")
    if reading.undone:
        raise Refusal(f"The film note {reading.name} was taken back, and proposal {number} with it.")
    before = _info(
        row,
        reading,
        _charged(session, [row.sighting_id] if row.sighting_id else []).get(row.sighting_id or 0, ()),
    )
    gone = session.get(models.Sighting, row.sighting_id) if row.sighting_id is not None else None
    row.sighting_id, row.answer = None, answer
    session.add(row)
    session.flush()
    if gone is not None:
        session.delete(gone)
        session.flush()
    if answer not in (None, NO):
        seen = Sighting(str(answer), row.line, row.start, row.end, tuple(players), text=row.text)
        (row.sighting_id,) = add_sightings(session, row.intake_id, (seen,))
        session.add(row)
        session.flush()
    return before


def answers(session: Session, *, team: int = TEAM) -> Mapping[tuple[str, str], Mapping[str, int]]:
    """Return (wording, breakdown proposed) -> answer -> how often, over all readings that count."""
    row = models.Proposal
    wanted: list[Any] = [row.wording, row.breakdown, row.answer, func.count()]
    asked = (
        columns(*wanted)
        .join_from(models.Proposal, models.Intake)
        .join(models.Game)
        .where(col(models.Game.team_id) == team, col(models.Intake.undone).is_(False))
        .where(col(row.answer).is_not(None), col(row.wording) != "")
        .group_by(col(row.wording), col(row.breakdown), col(row.answer))
    )
    found: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for wording, breakdown, answer, count in session.execute(asked):
        found[wording, breakdown][answer] += count
    return found


def _charged(session: Session, numbers: Sequence[int]) -> dict[int, tuple[str, ...]]:
    if not numbers:
        return {}
    player = models.SightingPlayer
    wanted: list[Any] = [player.sighting_id, player.jersey]
    asked = (
        columns(*wanted)
        .where(col(player.sighting_id).between(min(numbers), max(numbers)))
        .order_by(col(player.sighting_id), col(player.position))
    )
    found: dict[int, tuple[str, ...]] = {}
    for number, jersey in session.execute(asked):
        found[number] = (*found.get(number, ()), jersey)
    return found


def _info(row: models.Proposal, reading: models.Intake, charged: Sequence[str]) -> ProposalInfo:
    return ProposalInfo(
        id=number_of(row),
        intake=row.intake_id,
        file=reading.name,
        game=reading.game_id,
        breakdown=row.breakdown,
        players=tuple(row.players),
        asks=tuple(row.asks),
        line=row.line,
        start=row.start,
        end=row.end,
        sure=row.sure,
        text=row.text,
        wording=row.wording,
        answer=row.answer,
        charged=tuple(charged),
    )
