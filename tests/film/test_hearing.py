"""Spans of talk to tellings."""

from __future__ import annotations

from planner.film.hearing import Hearing
from planner.film.learned import learned
from planner.film.narration import Narration
from planner.film.signs import names
from planner.film.spoken import sentence
from planner.film.stance import Stretch
from planner.film.wording import Lexicon

SAID = "and here twelve never boxes out he just watches the shot go up and they get the put back"


def hearing(narration: Narration, lexicon: Lexicon, said: str) -> Hearing:
    return Hearing(Stretch(narration.numerals.joined(sentence(said)), narration, lexicon))


def test_what_is_told_comes_in_order_and_apart(narration: Narration, lexicon: Lexicon) -> None:
    """A breakdown is told once within seconds, and tellings come in the order of the words."""
    told = hearing(narration, lexicon, SAID).tellings()
    assert [one.breakdown for one in told if one.odds > 0] == ["no-box-out"]
    assert [one.start for one in told] == sorted(one.start for one in told)
    assert len({one.breakdown for one in told}) == len(told)


def test_a_condition_lowers_the_odds(narration: Narration, lexicon: Lexicon) -> None:
    """The same words count less where an ``if`` stands before them."""
    plain, turned = (
        max(one.odds for one in hearing(narration, lexicon, text).tellings() if one.breakdown == "no-box-out")
        for text in ("twelve never boxes out on the shot", "if twelve never boxes out on the shot they score")
    )
    assert turned < plain


def test_every_candidate_has_all_signs(narration: Narration, lexicon: Lexicon) -> None:
    """A row of signs for each candidate, a column for each name; of one word nothing is a candidate."""
    heard = hearing(narration, lexicon, SAID)
    found = heard.candidates()
    stances = sorted({marker.stance for marker in narration.marker_list})
    assert heard.signs(found).shape == (len(found), len(names(stances, learned().breakdowns)))
    assert hearing(narration, lexicon, "okay").candidates() == []


def test_words_taken_back_and_shown_again(narration: Narration, lexicon: Lexicon) -> None:
    """Talk that takes back or shows again is noticed, and plain talk is not."""
    kinds = {
        kind for kind, _ in hearing(narration, lexicon, "no wait i take that back he is there").follows()
    }
    assert kinds == {"taken_back"}
    kinds = {kind for kind, _ in hearing(narration, lexicon, "watch it one more time").follows()}
    assert kinds == {"shown_again"}
    assert list(hearing(narration, lexicon, "the shot goes up from the corner").follows()) == []
