"""What a coach's yes and no teach: wording that was often wrong proposes less surely, or something else.

Sureness is drawn towards the answers as a beta-binomial estimate with a prior of so many answers would be:
one answer moves it a little, many settle it, and taking an answer back takes its effect back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from planner.film.intake import Intake, Proposal, Unclear

NO = "no"
"""The answer to a proposal that is none of our breakdowns."""
PRIOR = 4.0
"""Answers that the reader's own sureness counts as."""
LEAST = 0.5
"""Below this sureness nothing is proposed; it waits among the unclear lines."""

Answers = Mapping[tuple[str, str], Mapping[str, int]]
"""(wording, breakdown proposed) -> answer (a breakdown or ``NO``) -> how often."""


def with_answers(intake: Intake, answers: Answers) -> Intake:
    """Return a reading whose proposals are as sure as the team's answers to the same wording make them."""
    if not answers or not intake.proposals:
        return intake
    kept: list[Proposal] = []
    doubted: list[Unclear] = []
    for one in intake.proposals:
        taught = taught_by(one, answers.get((one.wording, one.breakdown), {}))
        if taught.sure >= LEAST:
            kept.append(taught)
        else:
            why = f"{one.breakdown}? you said no to such words before"
            doubted.append(Unclear(one.text, why, one.line, one.start))
    unclear = (
        sorted([*intake.unclear, *doubted], key=lambda one: one.line or 0) if doubted else intake.unclear
    )
    return replace(intake, sightings=(*intake.seen, *kept), unclear=tuple(unclear))


def taught_by(one: Proposal, told: Mapping[str, int]) -> Proposal:
    """Return a proposal as answers to its wording make it; where most named another breakdown, it is that."""
    every = sum(told.values())
    if not every:
        return one
    named = {answer: count for answer, count in told.items() if answer != NO}
    best = max(sorted(named), key=lambda answer: named[answer], default=one.breakdown)
    if best == one.breakdown or named[best] < 2 or 2 * named[best] <= every:
        sure = (one.sure * PRIOR + told.get(one.breakdown, 0)) / (PRIOR + every)
        return replace(one, sure=round(sure, 2))
    return replace(one, breakdown=best, sure=round((LEAST * PRIOR + named[best]) / (PRIOR + every), 2))
