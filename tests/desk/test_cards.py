"""Printing drill cards to files."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from planner.court.frame import Frame
from planner.desk.cards import print_drills
from planner.desk.desk import Desk
from planner.desk.library import court_of
from planner.desk.own_drills import copy_drill
from planner.desk.team import set_setting
from planner.drills.pictures import frames_of
from planner.paper.files import MADE_BY, made_here
from planner.problem import Refusal
from tests.running import NOW, TODAY

DRILL = "shell-by-script"


@pytest.fixture
def bare(tmp_path: Path) -> Desk:
    """Return a desk without a team: cards need none."""
    return Desk(tmp_path / "home", TODAY, lambda: NOW)


@pytest.mark.parametrize("ending", [".pdf", ".svg", ".txt", ".json"])
def test_each_ending_gives_its_file_twice_the_same(bare: Desk, tmp_path: Path, ending: str) -> None:
    """A file of ours is written over without asking, with the same bytes; a stranger's is left alone."""
    path = tmp_path / f"card{ending}"
    print_drills(bare, [DRILL], path)
    first = path.read_bytes()
    assert made_here(path)
    print_drills(bare, [DRILL], path)
    assert path.read_bytes() == first
    path.write_bytes(b"mine")
    with pytest.raises(Refusal, match="was not made by stopsheet"):
        print_drills(bare, [DRILL], path)
    assert path.read_bytes() == b"mine"
    print_drills(bare, [DRILL], path, overwrite=True)
    assert path.read_bytes() == first


def test_an_svg_holds_the_diagram_asked_for(bare: Desk, tmp_path: Path) -> None:
    """The first by default, another by number; its words are its title."""
    titles = []
    for number in (None, 1, 2, 3):
        path = print_drills(bare, [DRILL], tmp_path / "one.svg", frame=number).path
        root = ElementTree.fromstring(path.read_text("utf-8"))
        assert root.get("width") == "88mm"
        titles.append(root.find("{http://www.w3.org/2000/svg}title").text)  # type: ignore[union-attr]
    assert titles[0] == titles[1]
    assert len(set(titles)) == 3


def test_text_and_json_hold_card_and_words(bare: Desk, tmp_path: Path) -> None:
    """Both say the cues and tell every frame in words; JSON draws them as well."""
    drill = bare.library.by_id[DRILL]
    text = print_drills(bare, [DRILL, "tall-wall"], tmp_path / "a.txt").path.read_text("utf-8")
    assert all(cue in text for cue in drill.cues)
    assert text.count("Frame 1: ") == 2
    assert max(len(one) for one in text.splitlines() if not one.startswith("Frame ")) <= 80
    assert text.endswith(f"{MADE_BY}\n")
    found = json.loads(print_drills(bare, [DRILL], tmp_path / "a.json").path.read_text("utf-8"))
    assert found["made"] == MADE_BY
    assert found["drills"][0]["cues"] == list(drill.cues)
    assert [one["caption"] for one in found["drills"][0]["diagrams"]] == [
        one.caption for one in frames_of(bare.library, DRILL, court_of("school"))
    ]
    assert all(one["svg"].startswith("<svg") for one in found["drills"][0]["diagrams"])


def test_without_a_name_the_print_goes_to_the_data_folder(bare: Desk) -> None:
    """One drill and a pack have names of their own; naming a drill twice prints it once."""
    assert print_drills(bare, [DRILL, DRILL]).path == bare.home / "prints" / f"drill-{DRILL}.pdf"
    pack = print_drills(bare, [DRILL, "tall-wall", "pivot-box"]).path
    assert pack == bare.home / "prints" / f"drill-{DRILL}-and-2-more.pdf"


def test_the_court_is_the_teams_unless_said(desk: Desk, tmp_path: Path) -> None:
    """The setting decides, the argument goes before it."""

    def drawn(**more: str) -> bytes:
        return print_drills(desk, [DRILL], tmp_path / "a.svg", **more).path.read_bytes()

    school, college = drawn(court="school"), drawn(court="college")
    assert school != college
    set_setting(desk, "court", "college")
    assert drawn() == college
    assert drawn(court="school") == school


def test_what_is_not_possible_is_refused(bare: Desk, tmp_path: Path) -> None:
    """No drill, an unknown one, a wrong ending, several drills in one drawing, a diagram too far."""
    copy_drill(bare, "tall-wall", "plain")
    path = bare.home / "drills" / "plain.toml"
    path.write_text(path.read_text("utf-8").split("[[diagram]]")[0], "utf-8")
    bare.__dict__.pop("library", None)
    for ids, name, more, words in (
        ([], "a.pdf", {}, "Name at least one drill"),
        (["tall-wal"], "a.pdf", {}, "did you mean tall-wall"),
        ([DRILL], "a.docx", {}, "ends in none of .pdf, .svg, .txt, .json"),
        ([DRILL, "tall-wall"], "a.svg", {}, "An .svg holds one diagram"),
        ([DRILL], "a.svg", {"frame": 4}, f"There is no diagram 4: '{DRILL}' has 3 diagrams"),
        ([DRILL], "a.svg", {"frame": 0}, "There is no diagram 0"),
        (["plain"], "a.svg", {}, "'plain' has no diagram"),
        ([DRILL], "a.pdf", {"frame": 1}, "--frame chooses the diagram of an .svg"),
        ([DRILL], "a.pdf", {"paper": "napkin"}, "'napkin' is no paper"),
        ([DRILL], "no/such/a.pdf", {}, "There is no folder"),
    ):
        with pytest.raises(Refusal, match=words):
            print_drills(bare, ids, tmp_path / name, **more)  # type: ignore[arg-type]
    assert list(tmp_path.iterdir()) == [bare.home]


def test_the_sheet_of_the_practice_carries_a_picture_of_each_drill(desk: Desk) -> None:
    """Every planned drill that has a diagram has its most telling one on the court-side sheet, with words."""
    from planner.desk.practice import find_plan
    from planner.desk.printing import sheet_notes

    plan = find_plan(desk)
    notes = sheet_notes(desk, plan)
    used = {station.drill for one in plan.segments for station in one.stations}
    drawn = {one for one in used if desk.library.diagram_rows.get(one)}
    assert drawn
    assert set(notes.diagrams) == set(notes.diagram_texts) == drawn
    assert all('width="33mm"' in one for one in notes.diagrams.values())
    for drill, text in notes.diagram_texts.items():
        frames: tuple[Frame, ...] = frames_of(desk.library, drill, court_of("school"))
        assert any(text.startswith(one.caption.rstrip(".")) for one in frames)
