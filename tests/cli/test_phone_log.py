"""``stopsheet print plan --to practice.html`` and ``stopsheet log --from FILE``, as they are typed."""

from __future__ import annotations

import io
import json
import types
from pathlib import Path
from typing import Any

import pytest

from planner.build.plan import Plan
from planner.paper.phone import plan_digest
from tests.running import Planted, Stopsheet, assert_refused, everything


@pytest.fixture
def evening(stopsheet: Stopsheet, season_home: Path, planted: Planted) -> Stopsheet:
    """Return the command line at the demo season, on the day of the planned practice."""
    stopsheet.home = season_home
    stopsheet.on(planted.plan.date)
    return stopsheet


def _log(plan: Plan, /, **changes: Any) -> dict[str, Any]:
    rows: list[dict[str, int]] = [{"seconds": one.minutes * 60} for one in plan.segments]
    number = next(n for n, one in enumerate(plan.segments) if one.kind == "drill")
    rows[number] |= {"seconds": 401, "stops": 5, "tries": 8}
    return {
        "file": "stopsheet-log",
        "version": 1,
        "plan": plan_digest(plan),
        "date": plan.date.isoformat(),
        "start": "18:00",
        "began": "18:00",
        "segments": rows,
        "absent": [plan.segments[number].stations[0].players[0]],
        "rating": 6,
        **changes,
    }


def test_page_is_printed(evening: Stopsheet, planted: Planted, tmp_path: Path) -> None:
    """A name that ends in .html makes the page of the stored plan, twice the same bytes."""
    page = tmp_path / "practice.html"
    assert evening("print", "plan", "--to", str(page)).code == 0
    first = page.read_bytes()
    assert plan_digest(planted.plan).encode() in first
    assert b"<svg" in first
    assert evening("print", "plan", "--to", str(page)).code == 0
    assert page.read_bytes() == first


def test_log_is_taken(evening: Stopsheet, planted: Planted, tmp_path: Path) -> None:
    """Seconds, counts, the absent and the rating of the page are in the season then; undo takes them."""
    before = everything(evening.home)
    file = tmp_path / "log.json"
    file.write_text(json.dumps(_log(planted.plan)), "utf-8")
    ran = evening("log", "--from", str(file))
    assert ran.code == 0, ran.err
    expected = planted.plan.minutes * 60 - next(
        one.minutes * 60 - 401 for one in planted.plan.segments if one.kind == "drill"
    )
    assert f"{round(expected / 60, 1):g} minutes" in ran.out
    assert everything(evening.home) != before
    assert evening("undo").code == 0


def test_what_is_typed_goes_first(evening: Stopsheet, planted: Planted, tmp_path: Path) -> None:
    """Minutes typed beside --from replace those of the page, the rest of it stays."""
    file = tmp_path / "log.json"
    file.write_text(json.dumps(_log(planted.plan)), "utf-8")
    number = next(n for n, one in enumerate(planted.plan.segments, 1) if one.kind == "drill")
    ran = evening("log", "--from", str(file), "--took", f"{number}=10", "--json")
    assert ran.code == 0, ran.err
    planned = sum(one.minutes for n, one in enumerate(planted.plan.segments, 1) if n != number)
    assert sum(ran.json["minutes"].values()) == pytest.approx(planned + 10)


def test_pasted_log(
    evening: Stopsheet, planted: Planted, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The text copied from the page can be pasted instead of a file."""
    text = json.dumps(_log(planted.plan)).encode()
    monkeypatch.setattr("sys.stdin", types.SimpleNamespace(buffer=io.BytesIO(text)))
    ran = evening("log", "--from", "-")
    assert ran.code == 0, ran.err


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"plan": "0" * 32}, "another plan"),
        ({"segments": [{"seconds": 60}]}, "another plan"),
        ({"date": "2031-01-01"}, "no plan for 2031-01-01"),
        ({"absent": ["987"]}, "987"),
        ({"rating": 12}, "rating"),
    ],
)
def test_refused_in_one_sentence(
    evening: Stopsheet, planted: Planted, tmp_path: Path, changes: dict[str, Any], word: str
) -> None:
    """Another plan's log, or one that cannot be, is refused in a sentence and nothing is stored."""
    before = everything(evening.home)
    file = tmp_path / "log.json"
    file.write_text(json.dumps(_log(planted.plan, **changes)), "utf-8")
    assert_refused(evening("log", "--from", str(file)), word)
    assert everything(evening.home) == before


def test_refuses_other_files(evening: Stopsheet, planted: Planted, tmp_path: Path) -> None:
    """A missing file, a folder, a PDF and a day that is not the log's are refused."""
    file = tmp_path / "log.json"
    file.write_text(json.dumps(_log(planted.plan)), "utf-8")
    assert_refused(evening("log", "--from", str(tmp_path / "none.json")), "not there")
    assert_refused(evening("log", "--from", str(tmp_path)), "a folder")
    assert_refused(evening("log", "--from", str(planted.pdf)), "cannot be read as a log")
    assert_refused(evening("log", "2026-01-02", "--from", str(file)), "not of 2026-01-02")
