"""Steps up and back: what the scores and the film propose, and taking a proposal up."""

from __future__ import annotations

from collections.abc import Mapping

from planner.desk.desk import Desk
from planner.desk.season_book import Book, open_book
from planner.desk.team import check_principle, set_passed
from planner.desk.words import vocabulary
from planner.need.estimate import WatchedGame
from planner.need.poisson import TwoRates
from planner.problem import Refusal
from planner.season.progress import LEVEL, PrincipleProgress, Rule, progress_of


def rule_of(settings: Mapping[str, object]) -> Rule:
    """Return the rule by which a stage counts as passed, as set ('pass-level', 'score-half-life')."""
    level, half_life = settings.get("pass-level", LEVEL), settings.get("score-half-life")
    return Rule(
        float(level) if isinstance(level, int | float) else LEVEL,
        float(half_life) if isinstance(half_life, int | float) and half_life else None,
    )


def progress_in(desk: Desk, book: Book) -> tuple[PrincipleProgress, ...]:
    """Return every principle's progress and what is proposed."""
    words = vocabulary(desk)
    return progress_of(
        [one.id for one in words.principles],
        book.done,
        desk.library.by_id,
        book.passed,
        worse_on_film(desk, book.games, book.off),
        book.until,
        rule_of(book.settings),
    )


def worse_on_film(
    desk: Desk, games: tuple[WatchedGame, ...], off: frozenset[str]
) -> dict[str, tuple[int, TwoRates]]:
    """Return principle -> (last games, test) where its breakdowns have become more by more than noise."""
    import numpy as np

    from planner.need.trend import trend
    from planner.season.evidence import feeding, seen_in

    words = vocabulary(desk)
    over = np.array([one.possessions for one in games], dtype=float)
    found = {}
    for one in words.principles:
        breakdowns = feeding(words, one.id, off)
        counts = np.array([seen_in(game, breakdowns) for game in games], dtype=float)
        moved = trend(counts, over) if len(games) and breakdowns else None
        if moved is not None and moved[1].first > moved[1].second:
            found[one.id] = moved
    return found


def accept(desk: Desk, principle: str) -> str:
    """Take up what is proposed for a principle; the evidence is kept with it.

    Raises:
        Refusal: there is no such principle, or nothing is proposed for it.

    """
    check_principle(desk, principle)
    found = next(one for one in progress_in(desk, open_book(desk)) if one.principle == principle)
    if found.proposal is None:
        raise Refusal(
            f"Nothing is proposed for {principle}; 'stopsheet team passed {principle} STAGE' sets a stage."
        )
    stage = found.proposal.stage.value if found.proposal.stage else "none"
    set_passed(desk, principle, stage, found.proposal.why)
    if found.proposal.up:
        return f"{principle}: {stage} is passed ({found.proposal.why})."
    return f"{principle}: back to {stage} ({found.proposal.why})."
