"""Caption files to cues."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.bounds import CAPTION_BYTES
from planner.film.cues import MOST_CUES, instant, is_captions, read_cues, timestamp
from planner.problem import Refusal


def texts(text: str) -> list[tuple[str, ...]]:
    return [cue.text for cue in read_cues(text).cues]


def test_tags_escapes_and_styles_are_no_words() -> None:
    """Voice, class and time tags, SubRip styles and escapes are taken out of what was said."""
    said = "<v Coach>no <c.loud>box</c> out<00:00:01.500> {\\an8}&amp; tip</v>"
    text = f"WEBVTT\n\n00:01.000 --> 00:02.000\n{said}\n"
    assert texts(text) == [("no box out & tip",)]


def test_a_bare_angle_bracket_stays() -> None:
    """A less-than sign that opens no tag loses nothing behind it."""
    assert texts("WEBVTT\n\n00:01.000 --> 00:02.000\n3 < 4 of us back\n") == [("3 < 4 of us back",)]


def test_control_characters_are_cleaned() -> None:
    """Escape sequences in a caption never reach a terminal."""
    assert texts("WEBVTT\n\n00:01.000 --> 00:02.000\nbox\x1b[31m out\n") == [("box out",)]


def test_a_cue_without_a_time_is_kept_to_be_sorted() -> None:
    """Text whose time cannot be read is told as a problem and handed on with the reason."""
    read = read_cues("WEBVTT\n\nlater --> 00:02.000\nno talk\n\n00:03.000 --> 00:04.000\nnext one\n")
    assert [(line, text) for line, text, _ in read.lost] == [(3, "no talk")]
    assert [cue.text for cue in read.cues] == [("next one",)]
    assert len(read.problems) == 1
    assert "line 3" in read.problems[0]


def test_a_cue_running_backwards_is_told_and_read() -> None:
    """A cue that ends before it starts, or starts before the one above it, is read where it stands."""
    read = read_cues("WEBVTT\n\n00:09.000 --> 00:08.000\none\n\n00:05.000 --> 00:06.000\ntwo\n")
    assert [(cue.start, cue.end, cue.text) for cue in read.cues] == [
        (9000, 9000, ("one",)),
        (5000, 6000, ("two",)),
    ]
    assert len(read.problems) == 2


def test_cues_without_an_empty_line_between_are_two() -> None:
    """A line with times starts a cue of its own, and a number above it is its name, not speech."""
    text = "1\n00:00:01,000 --> 00:00:02,000\nfirst\n2\n00:00:03,000 --> 00:00:04,000\nsecond\n"
    assert texts(text) == [("first",), ("second",)]


def test_whether_a_text_is_captions() -> None:
    """Captions are known by their first line or by a cue's times; a film sheet is none."""
    assert is_captions("\ufeffWEBVTT - film\n")
    assert is_captions("1\n00:00:01,000 --> 00:00:02,000\nhello\n")
    assert not is_captions("Q1 8:42 2 bo 21\nQ1 8:20 -> 2\n")
    assert not is_captions("")


def test_bounds_are_refused_in_a_sentence() -> None:
    """More than 5 MB or 50,000 cues is refused and says what to do."""
    with pytest.raises(Refusal, match="5 MB"):
        read_cues("x" * (CAPTION_BYTES + 1))
    with pytest.raises(Refusal, match="50,000 cues"):
        read_cues("WEBVTT\n\n" + "0:1-->0:2\n" * (MOST_CUES + 1))


@given(st.text(alphabet="WEBVTNO 0123456789:.,->\n\r\t<>&{}\\ab\ufeff\0", max_size=300))
def test_any_text_is_read(text: str) -> None:
    """Whatever stands in a file, cues come out or problems, and no exception."""
    read = read_cues(text)
    assert all(cue.start <= cue.end and cue.text for cue in read.cues)
    is_captions(text)


@given(st.integers(min_value=0, max_value=10**9))
def test_an_instant_written_is_read_back(milliseconds: int) -> None:
    """Every instant is written so that it reads back to the millisecond."""
    assert instant(timestamp(milliseconds)) == milliseconds
