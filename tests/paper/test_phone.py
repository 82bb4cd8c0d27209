"""The log that comes back from a phone: read, or refused in one sentence."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.paper.phone import LARGEST, PhoneLog, PhoneSegment, check_plan, plan_digest, read_phone_log
from planner.problem import Refusal


def _log(**changes: Any) -> dict[str, Any]:
    return {
        "file": "stopsheet-log",
        "version": 1,
        "made": "made by stopsheet",
        "plan": "0123456789abcdef" * 2,
        "date": "2026-12-03",
        "start": "18:10",
        "began": "18:12",
        "segments": [{"seconds": 480}, {"seconds": 611, "stops": 7, "tries": 10}, {"seconds": 0}],
        "absent": ["12", "00"],
        "rating": 6,
        **changes,
    }


def _read(**changes: Any) -> PhoneLog:
    return read_phone_log(json.dumps(_log(**changes)).encode(), "log.json")


def test_reads_a_log() -> None:
    """Day, clock, seconds, counts, the absent and the rating come back as they were noted."""
    assert _read() == PhoneLog(
        plan="0123456789abcdef" * 2,
        date=dt.date(2026, 12, 3),
        start=18 * 60 + 10,
        began=18 * 60 + 12,
        segments=(PhoneSegment(480), PhoneSegment(611, 7, 10), PhoneSegment(0)),
        absent=("12", "00"),
        rating=6,
    )


def test_pasted_text_with_a_mark_in_front() -> None:
    """A byte order mark and blank lines round the text, as mail and notes leave them, do no harm."""
    raw = b"\xef\xbb\xbf\r\n" + json.dumps(_log()).encode() + b"\r\n\r\n"
    assert read_phone_log(raw, "pasted") == _read()


def test_no_rating_is_no_rating() -> None:
    """A rating that nobody gave stays open; 0 is a rating."""
    assert _read(rating=None).rating is None
    assert _read(rating=0).rating == 0


@pytest.mark.parametrize(
    "changes",
    [
        {"file": "other"}, {"version": 2}, {"version": "1"}, {"plan": "xyz"}, {"plan": None},
        {"plan": "0123456789abcdef" * 2 + "\n"}, {"date": "2026-02-30"}, {"date": "3/12/2026"}, {"date": 5},
        {"start": "24:00"}, {"start": None}, {"began": "18:60"}, {"began": "٢٣:٠٠"}, {"segments": []},
        {"segments": {}}, {"segments": [5]}, {"segments": [{"seconds": 1}] * 201},
        {"segments": [{"seconds": -1}]}, {"segments": [{"seconds": 18_001}]},
        {"segments": [{"seconds": 1.5}]},
        {"segments": [{"seconds": True}]}, {"segments": [{"seconds": "60"}]}, {"segments": [{}]},
        {"segments": [{"seconds": 60, "stops": 8, "tries": 7}]}, {"segments": [{"seconds": 60, "stops": 8}]},
        {"segments": [{"seconds": 60, "stops": -1, "tries": 7}]},
        {"segments": [{"seconds": 60, "stops": 1, "tries": 10_000}]},
        {"absent": "12"}, {"absent": [12]}, {"absent": ["1"] * 201}, {"rating": 11}, {"rating": -1},
        {"rating": 5.5}, {"rating": True}, {"rating": "6"},
    ],
)  # fmt: skip
def test_refuses_what_cannot_be(changes: dict[str, Any]) -> None:
    """A log with any part that cannot be is refused in one sentence that names the file."""
    with pytest.raises(Refusal) as caught:
        _read(**changes)
    said = str(caught.value)
    assert said.startswith("'log.json'")
    assert said.endswith(".")
    assert "\n" not in said


@pytest.mark.parametrize(
    "raw",
    [
        b"", b"null", b"[]", b"3", b'"stopsheet-log"', b"\xff\xfe\x00", b"{", b"[" * 60_000,
        b'{"file": ' + b"9" * 5_000 + b"}", b" " * (LARGEST + 1), b"PK\x03\x04",
    ],
)  # fmt: skip
def test_refuses_other_files(raw: bytes) -> None:
    """Any other file, torn, nested without end or too large, is refused, never a crash."""
    with pytest.raises(Refusal):
        read_phone_log(raw, "x\x1b[31m\n.json")


def test_numbers_that_are_none() -> None:
    """JSON that only this program's language knows (NaN, Infinity) is no length of a segment."""
    for word in ("NaN", "Infinity", "1e400"):
        raw = json.dumps(_log()).replace('"seconds": 480', f'"seconds": {word}').encode()
        with pytest.raises(Refusal, match="segment 1 "):
            read_phone_log(raw, "log.json")


def test_names_are_cleaned() -> None:
    """Jerseys and the file's own name lose what could act on a terminal."""
    assert _read(absent=["7\x1b[31m\u202e"]).absent == ("7",)
    with pytest.raises(Refusal) as caught:
        read_phone_log(b"{}", "x\x1b[31m\u202e.json")
    assert "\x1b" not in str(caught.value)


_ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda one: st.lists(one, max_size=4) | st.dictionaries(st.text(max_size=8), one, max_size=4),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from(sorted(_log())), _ANY, max_size=4))
def test_anything_is_read_or_refused(changes: dict[str, Any]) -> None:
    """Whatever a file holds in any place, it is read within bounds or refused, never half believed."""
    try:
        found = _read(**changes)
    except Refusal:
        return
    assert all(0 <= one.seconds <= 18_000 for one in found.segments)
    assert all((one.stops is None) == (one.tries is None) for one in found.segments)
    assert all(one.stops is None or 0 <= one.stops <= (one.tries or 0) for one in found.segments)
    assert found.rating is None or 0 <= found.rating <= 10


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(raw: bytes) -> None:
    """Bytes of any kind end in a refusal."""
    with pytest.raises(Refusal):
        read_phone_log(raw, "log.json")


def test_another_plan_is_refused(sample: SimpleNamespace) -> None:
    """A log fits the plan whose page it came from, and no other, even one of the same day and length."""
    plan = sample.sized_plan(12)
    rows = tuple(PhoneSegment(one.minutes * 60) for one in plan.segments)
    log = PhoneLog(plan_digest(plan), plan.date, plan.start, plan.start, rows)
    check_plan(log, plan)
    swapped = dataclasses.replace(plan, segments=plan.segments[::-1])
    for other in (swapped, sample.sized_plan(11)):
        with pytest.raises(Refusal, match="another plan"):
            check_plan(log, other)
    with pytest.raises(Refusal, match="another plan"):
        check_plan(dataclasses.replace(log, segments=rows[:-1]), plan)
