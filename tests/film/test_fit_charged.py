"""What the weights of clues are learned from, and that they are learned."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from planner.film.charged import weights
from planner.film.narration import Narration
from planner.film.talk import Talk
from planner.film.telling import Telling
from tests.film.talking import spoken
from tools import fit_charged
from tools.fit_charged import Case, fit, matched, outcome, parts, write

ONE, TWO, NONE = frozenset({"5"}), frozenset({"8"}), frozenset[str]()


def case(true: frozenset[str], near: str = "near") -> Case:
    return Case([((), ["none"]), (("5",), [near]), (("8",), ["far"])], true)


def test_clues_of_those_who_did_it_weigh_more() -> None:
    """The clue that stands with who did it outweighs the others; one seldom seen weighs nothing."""
    cases = [*[case(ONE)] * 60, *[case(TWO)] * 10, *[case(NONE)] * 10, case(ONE, "odd")]
    made = fit(cases)
    assert made["near"] > made["far"]
    assert "odd" not in made
    assert outcome(case(ONE), made) == "right"
    assert outcome(case(TWO), made) == "wrong"
    assert outcome(case(ONE), {"none": 9.0}) == "nobody"


def test_one_of_two_is_right_where_no_pair_is_named() -> None:
    """Where two did it and only one of them is named, he is right; who is not named at all is nobody."""
    assert case(frozenset({"5", "44"})).right == [False, True, False]
    assert case(frozenset({"44"})).right == [True, False, False]


def test_tellings_are_matched_with_the_truth_once(narration: Narration) -> None:
    """Of two tellings of a mistake the nearer in time is the true one, and the unlikely are left out."""
    words = spoken(narration, "so five sleeps / five sleeps still / again")
    told = [Telling("no-tag", 1, 3, 1.0), Telling("no-tag", 3, 5, 1.0), Telling("no-talk", 0, 2, -1.0)]
    truth = {
        "sightings": [
            {"at": words[3].start / 1000, "breakdown": "no-tag", "players": ["5"]},
            {"at": 0.0, "breakdown": "no-talk", "players": []},
        ]
    }
    assert matched(Talk(words, told), truth) == [(told[1], frozenset({"5"}))]


@pytest.mark.parametrize("end", [13, 24, 14])
def test_parts_lie_within_a_telling(end: int) -> None:
    """The parts that are learned from too are shorter, and within the telling."""
    for part in parts(Telling("no-tag", 10, end, 1.0)):
        assert 10 <= part.start < part.end <= max(end, part.start + fit_charged.FEWEST)


def test_what_is_written_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file holds a line for each clue, in order, and the shipped one was written so."""
    monkeypatch.setattr(fit_charged, "FILE", tmp_path / "charged.toml")
    write({"b": 0.5, 'a > "': -1.25}, 7)
    assert tomllib.loads((tmp_path / "charged.toml").read_text("utf-8"))["clue"] == {'a > "': -1.25, "b": 0.5}
    assert list(weights()) == sorted(weights())
