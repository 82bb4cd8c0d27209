"""What one stretch of words names."""

from __future__ import annotations

import pytest

from planner.film.items import read_items
from planner.film.lexicon import Lexicon
from planner.film.naming import Beside, names


def named(text: str, lexicon: Lexicon) -> list[str]:
    return [one.text for one in read_items(text, lexicon) if one.kind == "breakdown"]


@pytest.mark.parametrize(
    "said",
    [
        "their #9 turns his back",
        "their guard ball watches",
        "they walk back and we score",
        "nobody tags our roller",
        "they never bump our cutters",
    ],
)
def test_the_others_make_no_mistake_of_ours(lexicon: Lexicon, said: str) -> None:
    """What the other team did, and what is done to our own attack, is not counted."""
    assert named(said, lexicon) == []


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("their guard blows by 12", "blown-by"),
        ("they score, no help", "late-help"),
        ("their big rolls untouched", "no-tag"),
        ("our guard turns his back", "turned-back"),
    ],
)
def test_what_they_did_to_us_counts(lexicon: Lexicon, said: str, meant: str) -> None:
    """A mistake of ours told with their player as its subject is one."""
    assert named(said, lexicon) == [meant]


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("8 arrives with his arms down", "no-contest"),
        ("8 stood with his arms down on the shot", "no-contest"),
        ("8 with his arms down in the passing lane", "hands-down"),
    ],
)
def test_hands_on_a_shot(lexicon: Lexicon, said: str, meant: str) -> None:
    """Hands at the sides before a shot are no contest, in a lane they are hands down."""
    assert named(said, lexicon) == [meant]


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("cutter gets through, no bump", ["free-cutter"]),
        ("they roll, 4 has to be there, no bump", ["no-tag"]),
        ("he dives and 4 never bumps", ["no-tag"]),
        ("no-tag 4, free-cutter 9", ["free-cutter", "no-tag"]),
    ],
)
def test_a_bump_is_of_the_roller_or_the_cutter(lexicon: Lexicon, said: str, meant: list[str]) -> None:
    """What is not bumped is the roller where the sentence tells of a roll."""
    assert sorted(set(named(said, lexicon))) == meant


@pytest.mark.parametrize(
    "said",
    [
        "we all went and had some pasta after the bus let go",
        "everybody on the bench stands up and claps for her",
    ],
)
def test_faint_phrases_need_company(lexicon: Lexicon, said: str) -> None:
    """Everyday words that may name a mistake name none in the midst of other talk."""
    assert named(said, lexicon) == []


@pytest.mark.parametrize("said", ["14 reaches", "no help", "14 stays home, 2v1", "nobody home"])
def test_faint_phrases_stand_by_themselves(lexicon: Lexicon, said: str) -> None:
    """The same words with nothing else beside them do name it."""
    assert len(named(said, lexicon)) == 1


@pytest.mark.parametrize(
    "said",
    [
        "12 reaches the rim",
        "14 grabs the rebound",
        "to the left corner",
        "he needed no help",
        "a lovely bit of play",
    ],
)
def test_ways_of_saying_something_else(lexicon: Lexicon, said: str) -> None:
    """Words that say something else word for word, sides of the floor and measures name no mistake."""
    assert not {"reach-foul", "left-feet", "strong-side-help", "late-help"} & set(named(said, lexicon))


@pytest.mark.parametrize(
    ("said", "meant"),
    [("nobody had him", ["unmatched"]), ("12 ran into it", ["died-on-screen"]), ("nobody got past her", [])],
)
def test_words_just_as_they_stand(lexicon: Lexicon, said: str, meant: list[str]) -> None:
    """Phrases of fillers are read word for word, and not where they are denied."""
    assert named(said, lexicon) == meant


@pytest.mark.parametrize(
    "said",
    [
        "we need to stop the ball, no backpedalling",
        "lets work on no middle",
        "always sprint back, never jog back",
    ],
)
def test_what_is_wished_is_no_mistake(lexicon: Lexicon, said: str) -> None:
    """What everybody should do next time was not seen on film."""
    assert not {"ball-not-stopped", "gave-middle"} & set(named(said, lexicon))


@pytest.mark.parametrize("said", ["pnr", "side ball screen", "all five back", "high pick and roll"])
def test_a_play_is_no_mistake(lexicon: Lexicon, said: str) -> None:
    """The name of what they ran says nothing of us, however like a mistake told in one word."""
    assert named(said, lexicon) == []


def test_a_player_beside(lexicon: Lexicon) -> None:
    """Nothing stands beside a stretch that nobody is named with."""
    assert not Beside().player
    assert [one.meaning.id for one in names(["screened"], lexicon, Beside())] == ["died-on-screen"]
