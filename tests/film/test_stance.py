"""What phrases tell, what the words around make of it, and who is charged."""

from __future__ import annotations

import pytest

from planner.film.charged import charged
from planner.film.narration import Narration, load_narration
from planner.film.spoken import sentence
from planner.film.stance import Stretch
from planner.film.wording import Lexicon


@pytest.fixture(scope="module")
def narration(lexicon: Lexicon) -> Narration:
    return load_narration(lexicon.narration)


def heard(narration: Narration, lexicon: Lexicon, said: str) -> Stretch:
    return Stretch(narration.numerals.joined(sentence(said)), narration, lexicon)


@pytest.mark.parametrize(
    ("said", "stance"),
    [
        ("he never turned his back", "denied"),
        ("nobody gets beat off the dribble", "denied"),
        ("they never boxed out", "side"),
        ("if nobody boxes out", "condition"),
        ("last week nobody boxed out", "past"),
        ("their big fell asleep", "side"),
        ("i thought nobody boxed out", "retraction"),
    ],
)
def test_what_turns_a_breakdown_round(narration: Narration, lexicon: Lexicon, said: str, stance: str) -> None:
    """Denial, the other team, conditions, other days and doubt take from a breakdown that is named."""
    (one,) = heard(narration, lexicon, said).tellings()
    assert one.stances[stance] < 0
    assert one.odds < 0.5


def test_pointing_is_no_condition(narration: Narration, lexicon: Lexicon) -> None:
    """``If you look`` points at something; it makes no condition of what follows."""
    (one,) = heard(narration, lexicon, "if you look nobody boxed out").tellings()
    assert "condition" not in {name for name, weight in one.stances.items() if weight < 0}


def test_but_ends_what_a_word_says(narration: Narration, lexicon: Lexicon) -> None:
    """A condition before ``but`` is none for what comes after it."""
    (one,) = heard(narration, lexicon, "if they drive we are fine but nobody boxed out").tellings()
    assert one.odds > 0


def test_an_omission_is_about_the_nearest_action(narration: Narration, lexicon: Lexicon) -> None:
    """``No talk on the switch`` misses the talk, not the switch; ``no tag or rotation`` misses both."""
    told = heard(narration, lexicon, "there was no talk on the switch").tellings()
    assert [one.breakdown for one in told] == ["no-talk"]
    told = heard(narration, lexicon, "there was no tag or rotation").tellings()
    assert [one.breakdown for one in told] == ["no-tag", "no-rotation"]


@pytest.mark.parametrize("said", ["he boxed out", "great tag on the roller", "they talk on the screen"])
def test_an_action_done_is_no_breakdown(narration: Narration, lexicon: Lexicon, said: str) -> None:
    """A right action that is not missing, late or poor tells nothing."""
    assert heard(narration, lexicon, said).tellings() == []


@pytest.mark.parametrize(
    ("said", "players"),
    [
        ("twelve never boxed out", ("12",)),
        ("nobody boxed out number twelve that's you", ("12",)),
        ("twelve shoots and nobody boxed out", ()),
        ("forty four and fifteen are late getting back", ("44", "15")),
        ("late closeout by twenty one", ("21",)),
    ],
)
def test_who_is_charged(narration: Narration, lexicon: Lexicon, said: str, players: tuple[str, ...]) -> None:
    """The player named before it did it, or the one named to it; what nobody did is nobody's."""
    stretch = heard(narration, lexicon, said)
    (one,) = stretch.tellings()
    assert charged(stretch.words, one, -1, len(stretch.words)) == players
