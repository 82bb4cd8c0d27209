from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from scipy.stats import beta

from planner.desk.library import load_library
from planner.drills.card import Drill
from planner.drills.vocabulary import Stage
from planner.need.poisson import two_rates
from planner.season.progress import PrincipleProgress, Rule, progress_of
from planner.season.record import DonePractice
from tests.season.kit import MONDAY, scored

AS_OF = MONDAY + dt.timedelta(days=60)
CARDS = {
    stage: next(
        one
        for one in load_library().drills
        if one.main_principle == "box-out" and one.stage == stage and one.scoring and one.scoring.tries
    )
    for stage in (Stage.WALK, Stage.GUIDED, Stage.CONTESTED)
}


def target(card: Drill) -> float:
    assert card.scoring is not None
    assert card.scoring.tries is not None
    return card.scoring.target / card.scoring.tries


def run(
    practices: list[DonePractice], passed: Stage | None = None, rule: Rule | None = None, **worse: float
) -> PrincipleProgress:
    """Return the progress in box-out; ``worse`` gives film as counts in 200 possessions, last and before."""
    film = {"box-out": (3, two_rates(worse["last"], 200, worse["before"], 200))} if worse else {}
    cards = {one.id: one for one in CARDS.values()}
    reached = {"box-out": passed} if passed else {}
    return progress_of(["box-out"], practices, cards, reached, film, AS_OF, rule)[0]


def twice(stage: Stage, stops: int, tries: int) -> list[DonePractice]:
    return [scored(number, CARDS[stage].id, stops, tries) for number in (0, 2)]


def test_the_belief_is_the_beta_of_stops_and_misses() -> None:
    """30 of 40 and a uniform prior: Beta(31, 11), its mean, interval and chance above the target (scipy)."""
    found = run(twice(Stage.GUIDED, 15, 20)).at(Stage.GUIDED)
    assert found is not None
    score = found.score
    assert (score.stops, score.tries, score.days) == (30, 40, 2)
    assert score.rate == pytest.approx(31 / 42)
    assert (score.low, score.high) == pytest.approx(beta.ppf((0.05, 0.95), 31, 11))
    assert score.above == pytest.approx(beta.sf(target(CARDS[Stage.GUIDED]), 31, 11))


def test_a_stage_is_proposed_when_the_scores_are_sure_enough() -> None:
    """Nearly all of many tries propose the stage; a rate at the target does not."""
    up = run(twice(Stage.WALK, 20, 20)).proposal
    assert up is not None
    assert (up.stage, up.up) == (Stage.WALK, True)
    assert "40 of 40 on 2 days" in up.why
    at_target = round(20 * target(CARDS[Stage.WALK]))
    assert run(twice(Stage.WALK, at_target, 20)).proposal is None


def test_one_evening_or_few_tries_are_not_enough() -> None:
    """However good, one day or fewer than ten tries propose nothing."""
    assert run([scored(0, CARDS[Stage.WALK].id, 40, 40)]).proposal is None
    assert run([scored(number, CARDS[Stage.WALK].id, 4, 4) for number in (0, 2)]).proposal is None


def test_a_failed_stage_below_holds_a_higher_one_back() -> None:
    """Well done in contested, badly in guided: nothing above guided is proposed."""
    practices = twice(Stage.GUIDED, 4, 20) + twice(Stage.CONTESTED, 20, 20)
    assert run(practices, Stage.WALK).proposal is None
    above = run(twice(Stage.CONTESTED, 20, 20), Stage.WALK).proposal
    assert above is not None
    assert above.stage is Stage.CONTESTED


def test_what_is_passed_is_not_proposed_again() -> None:
    """Scores at or below the stage passed propose nothing."""
    assert run(twice(Stage.WALK, 20, 20), Stage.GUIDED).proposal is None


def test_film_that_gets_worse_proposes_a_step_back() -> None:
    """Four times as much in the last games: a stage back, from the first to nothing; better film does not."""
    back = run([], Stage.CONTESTED, last=60, before=15).proposal
    assert back is not None
    assert (back.stage, back.up) == (Stage.GUIDED, False)
    assert "30.0 per 100 in the last 3 games, 7.5 before (p < 0.001" in back.why
    first = run([], Stage.WALK, last=60, before=15).proposal
    assert first is not None
    assert first.stage is None
    assert run([], Stage.WALK, last=15, before=60).proposal is None
    assert run([], None, last=60, before=15).proposal is None


def test_a_higher_level_asks_for_more() -> None:
    """What is sure enough at 0.8 need not be at 0.99."""
    stops = round(20 * min(1.0, target(CARDS[Stage.CONTESTED]) + 0.15))
    practices = twice(Stage.CONTESTED, stops, 20)
    assert run(practices, Stage.GUIDED).proposal is not None
    assert run(practices, Stage.GUIDED, Rule(level=0.995)).proposal is None


def test_older_scores_fade_only_when_asked() -> None:
    """With a half-life the late evening weighs more; without one all weigh alike."""
    practices = [scored(0, CARDS[Stage.WALK].id, 0, 20), scored(56, CARDS[Stage.WALK].id, 20, 20)]
    plain, faded = run(practices).at(Stage.WALK), run(practices, rule=Rule(half_life=7)).at(Stage.WALK)
    assert plain is not None
    assert faded is not None
    assert plain.score.rate == pytest.approx(21 / 42)
    early, late = 2 ** (-60 / 7), 2 ** (-4 / 7)
    assert faded.score.rate == pytest.approx((1 + 20 * late) / (2 + 20 * (early + late)))
    assert (faded.score.stops, faded.score.tries) == (20, 40), "the plain counts are told as they are"


def test_what_cannot_be_judged_is_passed_over() -> None:
    """Open counts, drills that are gone, and practices after the day count for nothing."""
    card = CARDS[Stage.WALK]
    assert card.scoring is not None
    open_count = replace(card, scoring=replace(card.scoring, tries=None))
    practices = twice(Stage.WALK, 20, 20)
    assert progress_of(["box-out"], practices, {card.id: open_count}, {}, {}, AS_OF)[0].stages == ()
    assert progress_of(["box-out"], practices, {}, {}, {}, AS_OF)[0].stages == ()
    assert progress_of(["box-out"], practices, {card.id: card}, {}, {}, MONDAY)[0].stages[0].score.days == 1


def test_a_stage_s_target_weighs_its_drills_by_their_tries() -> None:
    """10 tries at one target and 30 at another: the pooled target lies three quarters of the way."""
    card = CARDS[Stage.WALK]
    assert card.scoring is not None
    easy = replace(card, id="easy", scoring=replace(card.scoring, target=1, tries=2))
    hard = replace(card, id="hard", scoring=replace(card.scoring, target=9, tries=10))
    practices = [scored(0, "easy", 5, 10), scored(1, "hard", 20, 30)]
    found = progress_of(["box-out"], practices, {"easy": easy, "hard": hard}, {}, {}, AS_OF)[0]
    assert found.stages[0].score.target == pytest.approx((10 * 0.5 + 30 * 0.9) / 40)
    assert set(found.stages[0].drills) == {"easy", "hard"}
