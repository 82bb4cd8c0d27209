"""Has a stage been passed? Stops out of tries against the drills' own targets; the coach decides.

For each principle and stage, the scores of its drills are added up (with an optional fading by days) and
give a Beta belief about the rate of success, from the prior Beta(1, 1). The target is the drills' own, each
weighed by its tries. A stage counts as passed when the belief that the rate is above the target exceeds a
level (0.8 unless set), on two days or more and ten tries or more. The level, the least evidence and the
prior are our choice, no source. Tries of one evening are not independent, so the belief is surer than it
should be: one more reason that the coach decides.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from planner.drills.card import Drill
from planner.drills.ladder import next_stage
from planner.drills.vocabulary import Stage
from planner.need.poisson import TwoRates
from planner.season.binomial import belief, binomial_limits
from planner.season.evidence import p_words
from planner.season.record import DonePractice, DoneSegment

LEVEL = 0.8
LEAST_DAYS = 2
LEAST_TRIES = 10

Judged = Literal["passed", "not yet", "too few"]


@dataclass(frozen=True, slots=True)
class Rule:
    """When a stage counts as passed; ``half_life`` in days fades older scores, None keeps them whole."""

    level: float = LEVEL
    half_life: float | None = None


@dataclass(slots=True)
class _Sum:
    stops: float = 0.0
    tries: float = 0.0
    wanted: float = 0.0
    raw_stops: int = 0
    raw_tries: int = 0
    days: set[dt.date] = field(default_factory=set)

    def add(self, stops: int, tries: int, target: float, weight: float, day: dt.date) -> None:
        self.stops += weight * stops
        self.tries += weight * tries
        self.wanted += weight * tries * target
        self.raw_stops += stops
        self.raw_tries += tries
        self.days.add(day)


@dataclass(frozen=True, slots=True)
class Score:
    """Scores added up: of one drill, or of all drills of a principle at a stage.

    ``rate`` is the belief's mean with its 90 % interval ``low`` to ``high``; ``exact`` are the exact limits
    of the plain counts. ``above`` is the belief that the true rate is above ``target``.
    """

    stops: int
    tries: int
    days: int
    target: float
    rate: float
    low: float
    high: float
    above: float
    exact: tuple[float, float]

    def judged(self, rule: Rule) -> Judged:
        """Return whether the stage counts as passed."""
        if self.days < LEAST_DAYS or self.tries < LEAST_TRIES:
            return "too few"
        return "passed" if self.above > rule.level else "not yet"

    def as_json(self) -> dict[str, Any]:
        """Return the score as plain values."""
        return {
            "stops": self.stops,
            "tries": self.tries,
            "days": self.days,
            "target": self.target,
            "rate": self.rate,
            "low": self.low,
            "high": self.high,
            "above_target": self.above,
            "exact_low": self.exact[0],
            "exact_high": self.exact[1],
        }


@dataclass(frozen=True, slots=True)
class StageScore:
    """A principle's scores at one stage, and those of its drills (by id)."""

    stage: Stage
    score: Score
    drills: Mapping[str, Score]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A step up or back with its evidence; ``stage`` None is back to nothing. Only the coach takes it."""

    stage: Stage | None
    up: bool
    why: str

    def as_json(self) -> dict[str, Any]:
        """Return the proposal as plain values."""
        return {"stage": self.stage.value if self.stage else None, "up": self.up, "why": self.why}


@dataclass(frozen=True, slots=True)
class PrincipleProgress:
    """How far a principle has come: the stage passed, the scores by stage, what is proposed."""

    principle: str
    passed: Stage | None
    stages: tuple[StageScore, ...]
    proposal: Proposal | None

    @property
    def working(self) -> Stage | None:
        """Return the stage the team works at, None when all are passed."""
        return next_stage(self.passed)

    def at(self, stage: Stage | None) -> StageScore | None:
        """Return the scores of a stage, if there are any."""
        return next((one for one in self.stages if one.stage == stage), None)

    def as_json(self, rule: Rule) -> dict[str, Any]:
        """Return the progress as plain values."""
        return {
            "principle": self.principle,
            "passed": self.passed.value if self.passed else None,
            "working": self.working.value if self.working else None,
            "stages": [
                {
                    "stage": one.stage.value,
                    **one.score.as_json(),
                    "judged": one.score.judged(rule),
                    "drills": {name: score.as_json() for name, score in one.drills.items()},
                }
                for one in self.stages
            ],
            "proposal": self.proposal.as_json() if self.proposal else None,
        }


def progress_of(
    principles: Iterable[str],
    practices: Sequence[DonePractice],
    drills: Mapping[str, Drill],
    passed: Mapping[str, Stage],
    worse: Mapping[str, tuple[int, TwoRates]],
    as_of: dt.date,
    rule: Rule | None = None,
) -> tuple[PrincipleProgress, ...]:
    """Return the progress of each principle, in the order given.

    ``drills`` maps id to card (its target is judged by). ``worse`` maps principle to (last games, test)
    where film has become worse by more than noise.
    """
    rule = rule or Rule()
    scores = _scores(practices, drills, as_of, rule)
    found = []
    for one in principles:
        stages = tuple(
            StageScore(
                stage, _score(_added(parts.values())), {n: _score(s) for n, s in sorted(parts.items())}
            )
            for stage in Stage
            if (parts := scores.get((one, stage)))
        )
        reached = passed.get(one)
        proposal = _back(reached, worse.get(one)) or _up(reached, stages, rule)
        found.append(PrincipleProgress(one, reached, stages, proposal))
    return tuple(found)


def _scores(
    practices: Iterable[DonePractice], drills: Mapping[str, Drill], as_of: dt.date, rule: Rule
) -> dict[tuple[str, Stage], dict[str, _Sum]]:
    found: dict[tuple[str, Stage], dict[str, _Sum]] = {}
    for practice in practices:
        ago = (as_of - practice.date).days
        if ago < 0:
            continue
        weight = 2.0 ** (-ago / rule.half_life) if rule.half_life else 1.0
        for one in practice.segments:
            if one.stops is None or not one.tries:
                continue
            card = drills.get(one.drill or "")
            target = _target(one, card)
            if card is None or target is None or card.main_principle is None:
                continue
            stage = Stage(one.stage) if one.stage else card.stage
            if stage is None:
                continue
            into = found.setdefault((card.main_principle, stage), {}).setdefault(card.id, _Sum())
            into.add(one.stops, one.tries, target, weight, practice.date)
    return found


def _target(segment: DoneSegment, card: Drill | None) -> float | None:
    """Return the rate the drill asks for, None for an open count."""
    if segment.kind != "drill" or card is None or card.scoring is None or not card.scoring.tries:
        return None
    return min(1.0, card.scoring.target / card.scoring.tries)


def _added(parts: Iterable[_Sum]) -> _Sum:
    total = _Sum()
    for one in parts:
        total.stops += one.stops
        total.tries += one.tries
        total.wanted += one.wanted
        total.raw_stops += one.raw_stops
        total.raw_tries += one.raw_tries
        total.days |= one.days
    return total


def _score(one: _Sum) -> Score:
    found = belief(one.stops, one.tries)
    target = one.wanted / one.tries
    low, high = found.limits()
    return Score(
        stops=one.raw_stops,
        tries=one.raw_tries,
        days=len(one.days),
        target=target,
        rate=found.mean,
        low=low,
        high=high,
        above=found.above(target),
        exact=binomial_limits(one.raw_stops, one.raw_tries),
    )


def _up(passed: Stage | None, stages: Sequence[StageScore], rule: Rule) -> Proposal | None:
    """Propose the highest stage above the one passed that counts as passed, with none failed below it."""
    best: StageScore | None = None
    for one in stages:
        if passed is not None and one.stage.rank <= passed.rank:
            continue
        judged = one.score.judged(rule)
        if judged == "not yet":
            break
        if judged == "passed":
            best = one
    if best is None:
        return None
    score = best.score
    return Proposal(
        best.stage,
        True,
        f"{score.stops} of {score.tries} on {score.days} days against a target of {score.target:.0%}:"
        f" {score.above:.0%} sure that the rate is above it",
    )


def _back(passed: Stage | None, worse: tuple[int, TwoRates] | None) -> Proposal | None:
    if passed is None or worse is None:
        return None
    last, test = worse
    if test.first <= test.second:
        return None
    before = list(Stage)[passed.rank - 2] if passed.rank > 1 else None
    return Proposal(
        before,
        False,
        f"film has become worse: {100 * test.first:.1f} per 100 in the last {last} games,"
        f" {100 * test.second:.1f} before ({p_words(test.p)}, exact conditional test of two rates)",
    )
