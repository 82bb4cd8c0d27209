"""The house rules: each on a small invented library, with the line it points at."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.court.geometry import Court
from planner.desk.library import court_of
from planner.drills.audit import audit, long_words, syllables
from planner.drills.card import Drill
from planner.drills.library import Library, Rows
from planner.drills.vocabulary import Stage
from tests.drills.making import VOCABULARY, a_drill

ROWS: Rows = ({"players": {"1": "top", "x1": "on"}, "ball": "1", "moves": ["1 dribbles to the nail"]},)
SOURCE = """id = "front"
title = "The front drill"
principles = { post = 0.6 }
how = "Three passes."
cues = [
  "Beat the feet",
  "High side first"
]
cautions = []
one_basket = ""

[[diagram]]
players = { 1 = "top" }

[[diagram]]
ball = "1"
"""


@pytest.fixture
def courts() -> list[Court]:
    return [court_of("school"), court_of("college")]


def found(
    courts: list[Court], *drills: Drill, rows: Rows = ROWS, own: frozenset[str] = frozenset()
) -> list[str]:
    """Return what is noted about these drills, ladder and thin principles aside."""
    library = Library(
        VOCABULARY, drills, diagram_rows=dict.fromkeys((one.id for one in drills), rows), own=own
    )
    sources = {one.file: SOURCE for one in drills}
    ladder = ("no way leads", "a dead end")
    return [
        f"{one.line} {one.what}"
        for one in audit(library, sources, courts)
        if one.file != "principles.toml" and not one.what.startswith(ladder)
    ]


@pytest.mark.parametrize(
    ("changes", "noted"),
    [
        ({}, []),
        ({"file": "fronting.toml"}, ["1 the file is not named after the drill: front.toml"]),
        ({"shares": {"post": 9}}, ["3 the shares add up to less than half: what is the drill for?"]),
        (
            {"shares": {"post": 9, "talk": 9}},
            ["3 two principles share the first place, so the drill is on no ladder"],
        ),
        (
            {"cues": ("Beat the feet", "One two three four five six seven - eight")},
            ["None cue of 8 words, at most 7 are heard: “One two three four five six seven - eight”"],
        ),
        ({"cues": ("One two three four - five six seven!",)}, []),
        (
            {"cues": ("Anticipate everybody",)},
            ["None cue is hard to call across a gym (Anticipate, everybody): “Anticipate everybody”"],
        ),
        (
            {"cues": ("Responsibility, rim",)},
            ["None cue is hard to call across a gym (Responsibility): “Responsibility, rim”"],
        ),
        ({"cues": ("Beat the feet", "beat the feet")}, ["5 the same cue twice"]),
        ({"cautions": (), "effort": 7}, ["9 effort 7 of 10 without a caution"]),
        ({"cautions": (), "stage": Stage.CONTESTED}, ["9 a contested drill without a caution"]),
        ({"cautions": (), "how": "Seal and box out."}, ["9 contact (“Seal”) without a caution"]),
        ({"cautions": (), "how": "Step over the foot."}, []),
        ({"players_max": 1, "players_min": 1}, ["12 diagram 1: 2 players, but the drill is for at most 1"]),
    ],
)
def test_each_rule_is_noted_at_its_line(
    courts: list[Court], changes: dict[str, Any], noted: list[str]
) -> None:
    """A rule that is kept says nothing; one that is broken says what, at the line to open."""
    assert found(courts, a_drill("front", **changes)) == noted


def test_a_drill_with_opposition_has_a_diagram(courts: list[Court]) -> None:
    """From guided on a picture is missed; a walk drill or a warm-up may do without."""
    assert found(courts, a_drill("front"), rows=()) == ["10 a guided drill without a diagram"]
    assert found(courts, a_drill("front", Stage.WALK), rows=()) == []
    assert found(courts, a_drill("front", None, kind="warm-up", shares={}), rows=()) == []


def test_a_diagram_fault_points_at_its_picture(courts: list[Court]) -> None:
    """A fault of the second picture is noted at the second [[diagram]]; once, not once for each court."""
    rows = ({"players": {"1": "top"}, "ball": "1"}, {"players": {"1": [40, 10]}})
    assert found(courts, a_drill("front"), rows=rows) == ["15 diagram 2: 1 is off the court at [40, 10]"]
    faulty = ({"players": {"1": "moon"}, "ball": "none"},)
    assert any("moon" in one for one in found(courts, a_drill("front", equipment=()), rows=faulty))


def test_twins(courts: list[Court]) -> None:
    """The same title, nearly the same title and nearly the same text are noted at the second of the two."""
    one = a_drill("front", title="Round the post in three", how="One. " * 40)
    other = {"set_up": "Elsewhere.", "how": "Quite another thing happens on the far side of the floor."}
    assert found(courts, one, a_drill("rear", title="Round the post, in three", **other)) == [
        "2 the title is that of 'front'"
    ]
    assert found(courts, one, a_drill("rear", title="Round the posts in three", **other)) == [
        "2 the title is almost that of 'front'"
    ]
    copy = a_drill("rear", title="Something else", set_up=one.set_up, how=one.how.replace("One", "Ten", 3))
    assert found(courts, one, copy) == ["4 the text is almost that of 'front'"]
    assert found(courts, one, copy, own=frozenset({"rear"})) == []


def test_a_principle_needs_six_drills_and_all_stages(courts: list[Court]) -> None:
    """A thin principle is noted at its line; the team's own drills do not fill it."""
    stages = [Stage.WALK, Stage.WALK, Stage.GUIDED, Stage.CONTESTED, Stage.CONTESTED, Stage.CONTESTED]
    drills = [a_drill(f"d{n}", stage) for n, stage in enumerate(stages)]
    words = {"principles.toml": '# words\nid = "post"\nid = "talk"\n'}
    library = Library(VOCABULARY, tuple(drills), own=frozenset({"d0"}))
    noted = [str(one) for one in audit(library, words, courts) if one.file == "principles.toml"]
    assert noted == [
        "principles.toml:2: post has 5 drills, fewer than 6",
        "principles.toml:2: post has no live drill",
        "principles.toml:3: talk has 0 drills, fewer than 6",
        *(
            f"principles.toml:3: talk has no {stage} drill"
            for stage in ("contested", "guided", "live", "walk")
        ),
    ]


@pytest.mark.parametrize(
    ("word", "count"),
    [
        # Counts as spoken, from memory.
        *(("ball", 1), ("screen", 1), ("closed", 1), ("eyes", 1), ("one", 1), ("the", 1)),
        *(("baseline", 2), ("sideline", 2), ("every", 2), ("middle", 2), ("passes", 2), ("wanted", 2)),
        *(("coverage", 3), ("nobody", 3), ("somebody", 3), ("syllable", 3), ("together", 3)),
        *(("everybody", 4), ("communicate", 4), ("anticipation", 5), ("2", 1), ("", 1)),
    ],
)
def test_syllables(word: str, count: int) -> None:
    """Groups of vowels, the silent e left out, give the count as spoken for words of the trade."""
    assert syllables(word) == count


def test_long_words_count_the_halves_of_joined_ones() -> None:
    """A word joined by a hyphen is as hard as its halves."""
    assert long_words("Kick-out: everybody's coverage, ball-you-basket") == ["everybody's", "coverage"]


@given(st.text(max_size=60))
def test_any_word_has_a_syllable(word: str) -> None:
    """Whatever is written counts at least one, and never more than its letters."""
    assert 1 <= syllables(word) <= max(1, len(word))
