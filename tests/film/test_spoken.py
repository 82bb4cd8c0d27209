"""Cues to one stream of words, and numbers to players."""

from __future__ import annotations

import pytest

from planner.film.cues import Cue
from planner.film.spoken import LONGEST, Numerals, Word, blocks, sentence, stream

NUMERALS = Numerals(frozenset({"number"}), frozenset({"a", "the"}), frozenset({"points", "on", "passes"}))


def said(*texts: str, length: int = 2000, pause: int = 0) -> list[Word]:
    step = length + pause
    cues = [Cue(at * step, at * step + length, tuple(text.split("/")), at) for at, text in enumerate(texts)]
    return stream(cues)


def spoken(words: list[Word]) -> str:
    return " ".join(word.text for word in words)


def test_rolling_repeats_are_said_once() -> None:
    """Captions that show the last line again above the new one give every word once."""
    words = said("look at the shot", "look at the shot/nobody boxes out", "nobody boxes out/not one of you")
    assert spoken(words) == "look at the shot nobody boxes out not one of you"


def test_a_line_that_stood_through_a_silence_is_said_once() -> None:
    """The last line, shown again above the new one however long nobody spoke, was said before."""
    words = said("look at the shot", "look at the shot/nobody boxes out", pause=9000)
    assert spoken(words) == "look at the shot nobody boxes out"


def test_new_words_are_timed_over_the_whole_cue() -> None:
    """Beside a line that is only shown again, the new words take the cue's time: no pause is made up."""
    words = said("look at the shot", "look at the shot/nobody boxes out there")
    assert [word.start for word in words[4:]] == [2000, 2500, 3000, 3500]


def test_a_repeat_with_one_word_corrected_is_said_once() -> None:
    """A line that comes again with a word put right is still the same line."""
    assert spoken(said("nobody tags the role man", "nobody tags the roll man/he dunks it")) == (
        "nobody tags the role man he dunks it"
    )


def test_words_said_again_after_a_silence_are_said_again() -> None:
    """The same words half a minute later are no repeat of the captions."""
    assert spoken(said("no box out", "no box out", pause=30_000)) == "no box out no box out"


def test_short_forms_and_noises() -> None:
    """Short forms are opened, brackets and speaker marks are no words."""
    assert spoken(said("[music] >> he's late they've gone let's go")) == "he late they have gone let us go"


def test_words_have_times_within_their_cue() -> None:
    """Words are spread evenly over their cue."""
    words = said("one two three four")
    assert [(word.start, word.end) for word in words] == [(0, 500), (500, 1000), (1000, 1500), (1500, 2000)]


def test_long_pauses_part_the_talk_and_endless_talk_is_cut() -> None:
    """A pause parts blocks; without any the talk is cut so that no block is longer than the bound."""
    assert [spoken(block) for block in blocks(said("one", "two", pause=4000))] == ["one", "two"]
    parts = list(blocks(sentence("word " * 1000)))
    assert sum(len(part) for part in parts) == 1000
    assert max(len(part) for part in parts) <= LONGEST


@pytest.mark.parametrize(
    ("text", "players"),
    [
        ("twenty one no box out", ["21"]),
        ("number two three is late", ["23"]),
        ("double zero and zero zero and number zero", ["00", "00", "0"]),
        ("oh oh dies on it", ["00"]),
        ("number four", ["4"]),
        ("12 and 07 are late", ["12", "7"]),
        ("two passes away two on one the five gives up three points", []),
        ("one of them", []),
    ],
)
def test_numbers_that_are_players(text: str, players: list[str]) -> None:
    """Numbers in words or digits are jerseys, and numbers that count something are not."""
    assert [word.player for word in NUMERALS.joined(sentence(text)) if word.player] == players


def test_the_roster_decides() -> None:
    """With a roster, a number nobody wears is no player of ours."""
    joined = NUMERALS.with_roster({"21"}).joined(sentence("twenty one and twenty two"))
    assert [word.text for word in joined] == ["#", "and", "twenty", "two"]
    assert joined[0].said == "twenty one"


def test_names_are_jerseys() -> None:
    """A player's name, of one word or more and with whatever hangs on it, is his jersey as one word."""
    team = NUMERALS.with_roster({"7", "31"}, {"o'dell": "7", "ada quill": "31", "rook": "98"})
    joined = team.joined(sentence("O'Dell's late and ada quill too ada rook"))
    assert [(word.text, word.player) for word in joined] == [
        *(("#", "7"), ("late", None), ("and", None), ("#", "31"), ("too", None)),
        *(("ada", None), ("rook", None)),
    ]
    assert joined[3].said == "ada quill"
