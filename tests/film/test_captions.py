"""Narrated film to proposals."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.data import drill_library
from planner.drills.fields import parse_toml
from planner.film.captions import CaptionReading, read_captions
from planner.film.cues import timestamp
from planner.film.narration import load_narration
from planner.film.wording import Lexicon
from planner.problem import Refusal
from tests.film.conftest import DATA
from tests.film.scoring import folder_score

NARRATED = DATA / "narrated"


def told(
    lexicon: Lexicon,
    *texts: str,
    roster: Collection[str] | None = None,
    names: Mapping[str, str] | None = None,
    gap: int = 200,
) -> CaptionReading:
    """Read texts as cues of three words a second, ``gap`` milliseconds apart."""
    at, blocks = 1000, ["WEBVTT"]
    for text in texts:
        end = at + 333 * (text.count(" ") + 1)
        blocks.append(f"{timestamp(at)} --> {timestamp(end)}\n{text}")
        at = end + gap
    return read_captions("\n\n".join(blocks) + "\n", lexicon, roster, names)


def named(read: CaptionReading) -> list[str]:
    return [one.breakdown for one in read.sightings]


@pytest.mark.parametrize(
    ("said", "breakdown"),
    [
        ("twelve never boxed out he just watched the shot go up", "no-box-out"),
        ("nobody got a body on anybody when the shot went up and they tip it in", "no-box-out"),
        ("he is way too far from the paint hugging his man two passes away", "far-from-paint"),
        ("and twelve is late getting out to the shooter in the corner", "late-closeout"),
        ("clothes out by twelve is way late the shooter is set", "late-closeout"),
        ("box doubt twelve no box doubt on the shot", "no-box-out"),
        ("there is no tack on the role her and he dunks it", "no-tag"),
        ("twelve you got stuck on the screen and you died on it", "died-on-screen"),
        ("nobody says a word on that screen it is dead quiet", "no-talk"),
        ("he jumps at the pump fake and he is in the air", "left-feet"),
        ("nobody stops the ball and he goes coast to coast", "ball-not-stopped"),
    ],
)
def test_mistakes_are_proposed(lexicon: Lexicon, said: str, breakdown: str) -> None:
    """Our defence's mistakes are proposed, told in many ways and misheard ones among them."""
    assert named(told(lexicon, said)) == [breakdown]


@pytest.mark.parametrize(
    "said",
    [
        "great box out right here by twelve that is how you do it",
        "that's how you tag bump him and go i love it",
        "he is not ball watching here he sees both terrific",
        "if he doesn't tag this guy gets a dunk every time",
        "what happens when nobody boxes out they score that is what happens",
        "we want to be in the gap and we have to talk early on every screen",
        "remember last week when nobody got back and it cost us",
        "they never box out so crash every time on friday",
        "this is our offense and twelve gets a back door cut great pass",
        "their big is ball watching and we cut behind him for two",
    ],
)
def test_other_talk_is_not(lexicon: Lexicon, said: str) -> None:
    """Praise, conditions, teaching, a look back, scouting and our own attack propose nothing."""
    assert named(told(lexicon, said)) == []


@pytest.mark.parametrize(
    "taken", ["no wait he did get a body on him", "i take that back", "actually that is fine"]
)
def test_words_taken_back(lexicon: Lexicon, taken: str) -> None:
    """What the coach takes back is no longer proposed."""
    said = "twelve never boxed out he just watched the shot"
    assert named(told(lexicon, said)) == ["no-box-out"]
    assert named(told(lexicon, said, taken, gap=900)) == []


def test_an_event_is_told_once(lexicon: Lexicon) -> None:
    """The same event over a replay is one sighting; the same mistake by another player is another."""
    said = "twelve never boxed out he just watched the shot go up"
    again = told(lexicon, said, "look at it again", "twelve doesn't box out", gap=3000)
    assert named(again) == ["no-box-out"]
    other = told(
        lexicon, said, "next one and now fifteen never boxed out he just watched the shot go up", gap=9000
    )
    assert [(one.breakdown, one.players) for one in other.sightings] == [
        ("no-box-out", ("12",)),
        ("no-box-out", ("15",)),
    ]


def test_a_sentence_broken_over_cues(lexicon: Lexicon) -> None:
    """A sentence cut by the captions anywhere is still one."""
    read = told(lexicon, "the shot goes up and number twenty", "one doesn't put a body", "on anybody", gap=10)
    assert [(one.breakdown, one.players) for one in read.sightings] == [("no-box-out", ("21",))]


def test_what_a_sighting_holds(lexicon: Lexicon) -> None:
    """A sighting has times, line, words, players of the roster, a count of one and a sureness below one."""
    (one,) = told(lexicon, "twelve never boxed out he just watched the shot go up", roster={"12"}).sightings
    assert one.start == "00:00:01.000"
    assert one.line == 3
    assert one.players == ("12",)
    assert one.count == 1
    assert "boxed out" in one.text
    assert 0.5 <= one.sure < 1.0
    stranger = told(lexicon, "twelve never boxed out he just watched the shot go up", roster={"21"})
    assert [one.players for one in stranger.sightings] == [()]


def test_a_number_that_nobody_wears_is_asked_about(lexicon: Lexicon) -> None:
    """A jersey said that no player of ours wears is asked about, where nobody else is charged."""
    said = "look number ninety eight never put a body on anybody on that rebound"
    (one,) = told(lexicon, said, roster={"12"}).sightings
    assert (one.players, one.asks) == ((), ("98",))
    assert "never" in one.wording
    (one,) = told(lexicon, said, roster={"98"}).sightings
    assert (one.players, one.asks) == (("98",), ())
    (one,) = told(lexicon, said).sightings
    assert one.asks == ()
    said = "number ninety eight shoots it and twelve never put a body on anybody on that rebound"
    (one,) = told(lexicon, said, roster={"12"}).sightings
    assert (one.players, one.asks) == (("12",), ())


def test_a_player_called_by_name(lexicon: Lexicon) -> None:
    """A name of the roster charges its jersey; one that is a word of talk, or of no player, does not."""
    said = "quillon never boxed out he just watched the shot go up"
    (one,) = told(lexicon, said, roster={"12"}, names={"quillon": "12"}).sightings
    assert one.players == ("12",)
    assert "quillon" in one.text
    (one,) = told(lexicon, said, roster={"12"}, names={"shot": "12"}).sightings
    assert one.players == ()
    (one,) = told(lexicon, said, roster={"12"}, names={"quillon": "13"}).sightings
    assert one.players == ()


def test_a_player_named_before_a_pause(lexicon: Lexicon) -> None:
    """Who is named a breath before the mistake did it, unless he is only praised there."""
    said = "he never boxed out he just watched the shot go up"
    (one,) = told(lexicon, "okay look at twelve here", said, roster={"12", "7"}, gap=3000).sightings
    assert one.players == ("12",)
    (one,) = told(lexicon, "what a great pass by seven", f"now twelve {said}", roster={"12", "7"}).sightings
    assert one.players == ("12",)


def test_a_jersey_that_nobody_wears_is_split_into_none(lexicon: Lexicon) -> None:
    """``Twenty two`` of the opponents is not our 2, and ``that forty four`` is our 44."""
    said = "twenty two shoots it and nobody got a body on anybody they tip it in"
    assert [one.players for one in told(lexicon, said, roster={"2"}).sightings] == [()]
    said = "and that forty four never boxed out he just watched the shot go up"
    assert [one.players for one in told(lexicon, said, roster={"4", "44"}).sightings] == [("44",)]


def test_unsure_talk_is_kept_with_a_reason(lexicon: Lexicon) -> None:
    """What may be a breakdown but is not sure enough waits with the reason, and text without a time too."""
    text = "WEBVTT\n\n60:00.000 --> 60:01.000\nno box out\n"
    read = read_captions(text, lexicon)
    assert [(one.text, one.line) for one in read.unclear] == [("no box out", 3)]
    assert len(read.problems) == 1


def test_a_teams_own_words_are_heard(lexicon: Lexicon) -> None:
    """A phrase the team added for a breakdown is heard in speech too."""
    said = "and twelve does the wet noodle right there"
    assert named(told(lexicon, said)) != ["reach-foul"]
    assert named(told(lexicon.with_words({"wet noodle": "reach-foul"}), said)) == ["reach-foul"]


def test_the_talk_is_bounded(lexicon: Lexicon) -> None:
    """More words than twenty hours of talk are refused in a sentence."""
    with pytest.raises(Refusal, match="200,000 words"):
        read_captions(
            "WEBVTT\n\n" + "00:01.000 --> 00:02.000\n" + "word " * 399 + "\n\n" + _many(600), lexicon
        )


def _many(cues: int) -> str:
    return "".join(
        f"{timestamp(9000 * at)} --> {timestamp(9000 * at + 9000)}\n{'ab ' * 399}\n\n" for at in range(cues)
    )


WORDS = (
    "nobody",
    "twelve",
    "box",
    "out",
    "the",
    "no",
    "if",
    "great",
    "they",
    "tag",
    "screen",
    "again",
    "shot",
    "late",
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=60), st.text(max_size=80))
def test_any_text_is_a_reading(lexicon: Lexicon, words: list[str], noise: str) -> None:
    """Any text gives a reading without an exception, twice the same."""
    text = f"WEBVTT\n\n00:01.000 --> 00:20.000\n{' '.join(words)}\n\n{noise}"
    first, second = read_captions(text, lexicon, {"12"}), read_captions(text, lexicon, {"12"})
    assert first == second
    assert all(0.5 <= one.sure <= 1.0 and one.count == 1 for one in first.sightings)


def test_the_library_of_spoken_words_has_no_fault(lexicon: Lexicon, ids: tuple[str, ...]) -> None:
    """Every pattern compiles, and every breakdown has at least a hundred example sentences."""
    assert load_narration(lexicon.narration).faults == ()
    assert set(lexicon.narration["said"]) == set(ids)
    assert min(len(said) for said in lexicon.narration["said"].values()) >= 100


def test_without_spoken_words_nothing_is_proposed(lexicon: Lexicon) -> None:
    """A lexicon that knows typed notes only reads captions and proposes nothing."""
    bare = Lexicon(lexicon.phrases, lexicon.same, lexicon.fillers, lexicon.groups)
    assert told(bare, "twelve never boxed out he just watched the shot").sightings == ()


def test_wording_files_are_small_enough_to_be_read() -> None:
    """The files of spoken words parse within the bounds of a library file."""
    for name in (
        "narration.toml",
        *sorted(one.name for one in (drill_library() / "wording").glob("spoken*.toml")),
    ):
        text = (drill_library() / "wording" / name).read_text(encoding="utf-8")
        table, problems = parse_toml(name, text)
        assert table
        assert problems == []


def test_narrated_films_that_were_learned_from_are_read(lexicon: Lexicon) -> None:
    """Of the films that the weights were learned from, most breakdowns are found and are right.

    That guards the reading, it says nothing of voices never heard: ``tools/fit_narration.py --check`` does.
    """
    score = folder_score(NARRATED / "build", lexicon)["all"]
    assert score.true == 1210
    assert score.recall >= 0.9
    assert score.precision >= 0.9
    assert score.share_sprung <= 0.1
    assert score.charged / score.right >= 0.9


def test_truths_of_our_own_films_are_well_formed(ids: tuple[str, ...]) -> None:
    """Every truth names known breakdowns and known kinds of trap."""
    kinds = {
        *("praise", "condition", "teaching", "theirs", "scouting", "retraction", "repeat", "offence"),
        *("number", "question", "past", "neutral"),
    }
    truths = sorted((NARRATED / "build").glob("*.truth.json"))
    assert len(truths) == 63
    for path in truths:
        truth = json.loads(path.read_text(encoding="utf-8"))
        assert {one["breakdown"] for one in truth["sightings"]} <= set(ids)
        assert {one["kind"] for one in truth["traps"]} <= kinds
