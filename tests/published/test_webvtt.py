"""Caption grammar against the W3C's WebVTT text (w3c/webvtt index.bs at 009ec96b) and pages on SubRip."""

from __future__ import annotations

import pytest

from planner.film.cues import instant, read_cues, timestamp


def cues(text: str) -> list[tuple[int, int, tuple[str, ...]]]:
    return [(cue.start, cue.end, cue.text) for cue in read_cues(text).cues]


@pytest.mark.parametrize(
    ("milliseconds", "written"),
    [
        (0, "00:00:00.000"),  # computed after the timestamp syntax
        (59_999, "00:00:59.999"),
        (3_599_999, "00:59:59.999"),
        (3_723_004, "01:02:03.004"),
        (360_000_000, "100:00:00.000"),
    ],
)
def test_instants_are_written_as_webvtt_writes_them(milliseconds: int, written: str) -> None:
    """Hours take two digits or more, minutes and seconds two, fractions three."""
    assert timestamp(milliseconds) == written
    assert instant(written) == milliseconds


def test_sixty_minutes_are_no_hour() -> None:
    """60:00.000 is an error, not one hour (issue 345 of the mozilla/vtt.js parser)."""
    assert instant("60:00.000") is None
    assert instant("00:60.000") is None
    read = read_cues("WEBVTT\n\n60:00.000 --> 60:01.000\nlate\n")
    assert read.cues == []
    assert len(read.problems) == 1


def test_the_same_instant_in_both_formats() -> None:
    """SubRip 01:02:03,004 is WebVTT 01:02:03.004 (pages on SubRip; it has no official text)."""
    assert instant("01:02:03,004") == instant("01:02:03.004") == 3_723_004


def test_published_example_cues() -> None:
    """Cues with and without hours, as on the MDN pages on WebVTT, are read to the millisecond."""
    text = "WEBVTT\n\n00:01.000 --> 00:04.000\none\n\n00:01:14.815 --> 00:01:18.114\ntwo\n"
    assert cues(text) == [(1000, 4000, ("one",)), (74_815, 78_114, ("two",))]


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("head", ["WEBVTT", "\ufeffWEBVTT", "WEBVTT some text", "WEBVTT\tsome text"])
def test_headers_and_line_ends(newline: str, head: str) -> None:
    """An optional mark, text behind a space or tab and all three line ends are well formed (W3C)."""
    text = newline.join([head, "", "00:01.000 --> 00:02.000", "one", "two", ""])
    assert cues(text) == [(1000, 2000, ("one", "two"))]
    assert read_cues(text).problems == []


def test_blocks_that_are_no_cues_are_passed_over() -> None:
    """NOTE, STYLE, REGION and the draft's ATTRIBUTES blocks are no speech (W3C)."""
    blocks = [
        "NOTE a remark",
        "NOTE\nmore than\none line",
        "STYLE\n::cue { color: red }",
        "REGION\nid:a",
        "ATTRIBUTES",
    ]
    text = "\n\n".join(["WEBVTT", *blocks, "00:01.000 --> 00:02.000\none"])
    assert cues(text) == [(1000, 2000, ("one",))]
    assert read_cues(text).problems == []


def test_names_and_settings_of_a_cue_are_not_spoken() -> None:
    """An identifier line above the times and settings behind them are no speech (W3C)."""
    text = "WEBVTT\n\nintro\n00:01.000 --> 00:02.000 align:start position:0%\none\n"
    assert cues(text) == [(1000, 2000, ("one",))]


def test_cues_may_overlap() -> None:
    """Start times must not go back, but cues may overlap: no problem (W3C)."""
    text = "WEBVTT\n\n00:01.000 --> 00:05.000\none\n\n00:02.000 --> 00:03.000\ntwo\n"
    assert read_cues(text).problems == []


@pytest.mark.parametrize(
    "times",
    [
        "00:01,000 --> 00:02,000",  # a comma is SubRip's
        "00:01.000-->00:02.000",  # at least one space or tab on either side of the arrow
        "00:01.0 --> 00:02.0",  # exactly three digits of a fraction
        "0:00:01.000 --> 0:00:02.000",  # hours take at least two digits
    ],
)
def test_near_misses_are_told_and_read(times: str) -> None:
    """What the grammar forbids but anyone can read is told as a problem, and read as meant (W3C)."""
    read = read_cues(f"WEBVTT\n\n{times}\none\n")
    assert [(cue.start, cue.end) for cue in read.cues] == [(1000, 2000)]
    assert len(read.problems) == 1


def test_subrip_as_published() -> None:
    """Numbers, commas and optional coordinates of SubRip are read without a problem (pages on SubRip)."""
    first = "1\r\n00:00:01,000 --> 00:00:02,500 X1:1 X2:2 Y1:3 Y2:4\r\none\r\n"
    text = first + "\r\n2\r\n01:02:03,004 --> 01:02:04,000\r\ntwo\r\n"
    assert cues(text) == [(1000, 2500, ("one",)), (3_723_004, 3_724_000, ("two",))]
    assert read_cues(text).problems == []
