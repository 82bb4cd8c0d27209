"""Bytes to text, within the bound of each kind of note."""

from __future__ import annotations

import pytest

from planner.film import bounds
from planner.film.decode import decode, is_captions
from planner.film.read import read_note
from planner.film.wording import Lexicon
from planner.problem import Refusal

CUE = b"00:01.000 --> 00:02.000\nhello there\n\n"


def test_every_bound_is_the_one_that_holds(lexicon: Lexicon) -> None:
    """A byte above the bound of its kind is refused with that bound in the sentence, whatever the name."""
    for name, head, most in (
        ("x.txt", b"a", bounds.TEXT_BYTES),
        ("x.csv", b"a", bounds.TEXT_BYTES),
        ("x.vtt", b"WEBVTT\n\n", bounds.CAPTION_BYTES),
        ("x.srt", b"1\n00:00:01,000 --> 00:00:02,000\nx\n\n", bounds.CAPTION_BYTES),
        ("x.txt", b"WEBVTT\n\n", bounds.CAPTION_BYTES),
        ("x.txt", b"\xef\xbb\xbfWEBVTT\n\n", bounds.CAPTION_BYTES),
        ("x.xlsx", b"PK\x03\x04", bounds.WORKBOOK_BYTES),
    ):
        raw = head.ljust(most + 1, b" ")
        with pytest.raises(Refusal, match=f"'{name}' is larger than {bounds.megabytes(most)}"):
            read_note(name, raw, lexicon)
    assert max(bounds.TEXT_BYTES, bounds.CAPTION_BYTES, bounds.WORKBOOK_BYTES) <= bounds.MOST_BYTES


def test_captions_are_read_up_to_their_own_bound() -> None:
    """Captions of four megabytes, more than any typed sheet may have, are text like any other."""
    raw = b"WEBVTT\n\n" + CUE * (4_000_000 // len(CUE))
    assert len(raw) > bounds.TEXT_BYTES
    assert len(decode("talk.vtt", raw)) == len(raw)


def test_captions_show_at_their_beginning() -> None:
    """By their first line, a cue's times or their name; a sheet with an arrow is none."""
    assert is_captions("x.txt", "\ufeffWEBVTT - film\n")
    assert is_captions("x.txt", "1\n00:00:01,000 --> 00:00:02,000\nhello\n")
    assert is_captions("TALK.SRT", "anything")
    assert not is_captions("x.txt", "Q1 8:42 --> 2\n")
