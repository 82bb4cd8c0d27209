from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.needs import assess_needs
from planner.desk.practice import find_plan
from planner.desk.printing import default_path, plan_as_text, print_plan, sheet_notes
from planner.desk.team import set_emphasis
from planner.problem import Refusal


def test_each_ending_has_its_form(desk: Desk, tmp_path: Path) -> None:
    """PDF for the clipboard, text for a message, JSON that says what the plan says."""
    plan = find_plan(desk)
    assert print_plan(desk, plan, tmp_path / "p.pdf", paper="a4").path.read_bytes().startswith(b"%PDF-")
    assert "18:15" in print_plan(desk, plan, tmp_path / "p.TXT").path.read_text("utf-8")
    said = json.loads(print_plan(desk, plan, tmp_path / "p.json").path.read_text("utf-8"))
    assert {key: said[key] for key in plan.as_json()} == plan.as_json()
    assert said["made"] == "made by stopsheet"


def test_printing_again_replaces_its_own_file(desk: Desk, tmp_path: Path) -> None:
    """A file that stopsheet made is printed over; it needs no leave for that."""
    plan = find_plan(desk)
    for ending in ("pdf", "txt", "json"):
        target = tmp_path / f"p.{ending}"
        first = print_plan(desk, plan, target).path.read_bytes()
        assert print_plan(desk, plan, target).path.read_bytes() == first, "the same plan, the same bytes"


def test_somebody_else_s_file_is_left_alone(desk: Desk, tmp_path: Path) -> None:
    """A file that stopsheet did not make stays as it is unless the coach says to overwrite it."""
    plan = find_plan(desk)
    other = tmp_path / "mine.txt"
    other.write_text("my own words")
    with pytest.raises(Refusal, match=r"was not made by stopsheet, so it is left alone"):
        print_plan(desk, plan, other)
    assert other.read_text() == "my own words"
    print_plan(desk, plan, other, overwrite=True)
    assert "18:15" in other.read_text("utf-8")


@pytest.mark.parametrize("name", ["plan.docx", "plan", "plan.pdf.exe", "x\x1b[31m.odt"])
def test_other_endings_are_refused(desk: Desk, tmp_path: Path, name: str) -> None:
    """The sentence names the endings there are, and nothing is written."""
    with pytest.raises(Refusal, match=r"ends in none of \.pdf, .*\.txt") as refused:
        print_plan(desk, find_plan(desk), tmp_path / name)
    assert "\x1b" not in str(refused.value)
    assert not (tmp_path / name).exists()


def test_odd_paper_and_odd_places_are_refused(desk: Desk, tmp_path: Path) -> None:
    """Paper is letter or A4; a folder must be there; where prints go must be a folder."""
    plan = find_plan(desk)
    with pytest.raises(Refusal, match="'legal' is no paper; say letter or a4"):
        print_plan(desk, plan, tmp_path / "p.pdf", paper="legal")
    with pytest.raises(Refusal, match="There is no folder"):
        print_plan(desk, plan, tmp_path / "nowhere" / "p.txt")
    desk.home = tmp_path
    (tmp_path / "prints").write_text("in the way")
    with pytest.raises(Refusal, match=r"cannot be made \(File exists\); choose a file with --to"):
        print_plan(desk, plan)


def test_the_text_is_plain(desk: Desk) -> None:
    """The text holds no escapes and each segment's clock."""
    plan = find_plan(desk)
    text = plan_as_text(desk, plan)
    assert "\x1b" not in text
    lines = text.splitlines()
    for one in plan.segments:
        clock = f"{one.start // 60:02d}:{one.start % 60:02d}"
        assert any(line.startswith(clock) for line in lines)


def test_the_file_is_named_after_the_practice(desk: Desk) -> None:
    """The day and the start are in the file's name, so that two practices do not share one."""
    assert default_path(desk, find_plan(desk)).name == "practice-2027-01-14-1815.pdf"


def test_the_sheet_says_the_needs_that_the_plan_was_built_for(desk: Desk) -> None:
    """What cost most is kept with the plan: printing neither estimates anew nor changes with later film."""
    before = sheet_notes(desk, find_plan(desk)).needs
    assert len(before) == 3
    set_emphasis(desk, "post", 5.0)
    assert assess_needs(desk).principles[0].principle == "post"
    assert sheet_notes(desk, find_plan(desk)).needs == before
    assert before[0] == "Box out and rebound: 4.1 points per 100"
