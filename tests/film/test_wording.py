"""Phrases to breakdowns."""

from __future__ import annotations

import pytest

from planner.drills.vocabulary import Vocabulary
from planner.film.wording import Lexicon, load_lexicon
from planner.film.words import words


def found(lexicon: Lexicon, text: str) -> list[str]:
    return [spot.meaning.id for spot in lexicon.spots(words(text)) if spot.meaning.kind == "breakdown"]


def test_shipped_wording_is_sound(vocabulary: Vocabulary, wording_files: list[tuple[str, str]]) -> None:
    """The shipped wording loads without a problem: no phrase means two things."""
    assert load_lexicon(wording_files, vocabulary)[1] == []


def test_every_breakdown_has_its_words(vocabulary: Vocabulary, lexicon: Lexicon) -> None:
    """Each breakdown has ten phrases or more and a short form."""
    for one in vocabulary.breakdowns:
        said = [meaning for meaning in lexicon.phrases.values() if meaning.id == one.id]
        assert sum(not meaning.short for meaning in said) >= 10, one.id
        assert any(meaning.short for meaning in said), one.id


def test_ids_and_titles_mean_themselves(vocabulary: Vocabulary, lexicon: Lexicon) -> None:
    """Every id and title, in any case, reads as its own breakdown and nothing else, and surely."""
    for one in vocabulary.breakdowns:
        for text in (one.id, one.title, one.title.upper()):
            spots = [spot for spot in lexicon.spots(words(text)) if spot.meaning.kind == "breakdown"]
            assert [(spot.meaning.id, spot.sure) for spot in spots] == [(one.id, 1.0)], text


@pytest.mark.parametrize(
    ("text", "breakdown"),
    [
        ("bo", "no-box-out"),
        ("no box", "no-box-out"),
        ("nbo", "no-box-out"),
        ("B/O", "no-box-out"),
        ("nobody boxed out", "no-box-out"),
        ("late close", "late-closeout"),
        ("LC", "late-closeout"),
        ("late on the closeout", "late-closeout"),
        ("fly by", "fly-by"),
        ("no tag", "no-tag"),
        ("didn't tag", "no-tag"),
        ("help late", "late-help"),
        ("nobody helps at the rim", "late-help"),
        ("dies on the screen", "died-on-screen"),
        ("missed rotation", "no-rotation"),
        ("ballwatching", "ball-watching"),
        ("bit on a pump fake", "left-feet"),
    ],
)
def test_trade_phrases(lexicon: Lexicon, text: str, breakdown: str) -> None:
    """Usual phrasings and short forms read as their breakdown."""
    assert found(lexicon, text) == [breakdown]


@pytest.mark.parametrize(
    ("text", "breakdown"),
    [
        ("late clsoeout", "late-closeout"),
        ("balwatching", "ball-watching"),
        ("no boxotu", "no-box-out"),
        ("hlep late", "late-help"),
    ],
)
def test_typing_errors_are_read_but_less_surely(lexicon: Lexicon, text: str, breakdown: str) -> None:
    """A misspelt word of the trade is read, with sureness below 1 and above one half."""
    (spot,) = [spot for spot in lexicon.spots(words(text)) if spot.meaning.kind == "breakdown"]
    assert spot.meaning.id == breakdown
    assert 0.5 < spot.sure < 1.0


@pytest.mark.parametrize("text", ["lat closeout", "late choirout", "no fox", "lane date plate", "fly bus"])
def test_far_typing_errors_are_not_guessed(lexicon: Lexicon, text: str) -> None:
    """Words that only resemble the trade's are nobody's."""
    assert found(lexicon, text) == []


@pytest.mark.parametrize(
    "text", ["good bo", "not ball watching", "great closeout", "good box out", "no blow by"]
)
def test_praise_and_denial_are_no_breakdowns(lexicon: Lexicon, text: str) -> None:
    """What is praised or denied is not counted."""
    assert found(lexicon, text) == []


def test_short_forms_can_be_left_out(lexicon: Lexicon) -> None:
    """Speech is read without short forms."""
    assert lexicon.spots(["bo"], short=False) == []
    assert len(lexicon.spots(["no", "box", "out"], short=False)) == 1


def test_team_words_win(lexicon: Lexicon) -> None:
    """A team's own word is learnt, wins over ours, and leaves the lexicon it came from alone."""
    own = lexicon.with_words(
        {"bo": "blown-by", "zz top": "no-tag", "green": "clean", "nope": "nothing-known"}
    )
    assert found(own, "bo") == ["blown-by"]
    assert found(own, "zz top") == ["no-tag"]
    assert found(own, "nope") == []
    assert [spot.meaning.kind for spot in own.spots(["green"])] == ["clean"]
    assert found(lexicon, "bo") == ["no-box-out"]


def test_faults_in_wording_are_problems(vocabulary: Vocabulary) -> None:
    """A phrase in two breakdowns, an unknown breakdown, an unknown list and bad TOML are each reported."""
    files = [
        ("a.toml", '[breakdown.no-tag]\nphrases = ["asleep at the wheel"]\nshort = ["zz"]\n'),
        ("b.toml", '[breakdown.no-box-out]\nphrases = ["asleep at the wheel", "!!"]\nshort = ["zz", 3]\n'),
        ("c.toml", '[breakdown.no-such]\nphrases = ["x"]\n[common]\nnoise = ["y"]\n'),
        ("d.toml", "[breakdown"),
    ]
    lexicon, problems = load_lexicon(files, vocabulary)
    told = {(problem.file, problem.what.split(";")[0].split(":")[0]) for problem in problems}
    assert ("b.toml", "'asleep at the wheel' would mean both no-tag and no-box-out") in told
    assert ("b.toml", "'!!' says nothing once fillers are dropped") in told
    assert ("b.toml", "'short' is no list of words") in told
    assert ("c.toml", "no breakdown 'no-such' in the vocabulary") in told
    assert ("c.toml", "[common] has no list 'noise'") in told
    assert ("d.toml", "not valid TOML") in told
    assert found(lexicon, "zz") == ["no-tag"]
