from __future__ import annotations

import dataclasses
import tomllib
from pathlib import Path

import pytest

from planner.court.diagram import read_diagrams
from planner.court.frame import Frame
from planner.court.geometry import Court, read_court
from planner.data import drill_library
from planner.drills.card import Drill, Minutes
from planner.drills.diagram_preview import main
from planner.drills.diagram_rules import check, in_paint

DRILL = Drill(
    id="shell",
    title="Shell",
    kind="drill",
    stage=None,
    shares={"help-side": 12, "talk": 4},
    players_min=8,
    players_max=12,
    half_courts=1,
    layout="half",
    minutes=Minutes(5, 8, 12),
    effort=5,
    equipment=("1 ball",),
    set_up="Four against four.",
    how="Move on the pass.",
    cues=(),
    faults=(),
    scoring=None,
    file="shell.toml",
)
SHELL = """
[[diagram]]
players = { 1 = "right slot", 2 = "right corner", 3 = "left corner", 4 = "left slot", \
x1 = "on", x2 = "deny", x3 = "help", x4 = "gap" }
ball = "1"
moves = ["1 passes to 2", "x2 closes out to 2", "x4 drops to help 4"]
"""


@pytest.fixture
def court() -> Court:
    path = drill_library() / "courts" / "school.toml"
    made, problems = read_court(path.name, path.read_text("utf-8"))
    assert made is not None, problems
    return made


def frames_of(text: str, court: Court) -> tuple[Frame, ...]:
    frames, problems = read_diagrams("shell.toml", tomllib.loads(text)["diagram"], court)
    assert problems == []
    return frames


def said(drill: Drill, text: str, court: Court) -> list[str]:
    return [one.what for one in check(drill, frames_of(text, court))]


def test_a_good_diagram_passes(court: Court) -> None:
    """The shell with one helper in the paint has nothing wrong, and no diagram at all is no fault."""
    assert said(DRILL, SHELL, court) == []
    assert check(DRILL, ()) == []


def test_off_the_court(court: Court) -> None:
    """A player in the stands is a fault; an inbounder and a coach just outside the lines are not."""
    assert "diagram 1: 2 is off the court at [30, 4]" in said(
        DRILL, SHELL.replace('"right corner"', "[30, 4]"), court
    )
    for spot in ("right inbound", "right side inbound"):
        assert said(DRILL, SHELL.replace("right corner", spot).replace("deny", "on"), court) == []
    assert "something is off the court" in said(DRILL, SHELL + "cones = [[0, 70]]", court)[0]


def test_a_place_off_the_smaller_floor_is_found_there(court: Court) -> None:
    """[0, 46] is on a college half court and off a school's."""
    text = SHELL.replace('"right corner"', "[0, 46]")
    assert said(DRILL, text, court)
    path = drill_library() / "courts" / "college.toml"
    college, _ = read_court(path.name, path.read_text("utf-8"))
    assert college is not None
    assert said(DRILL, text, college) == []


def test_too_many_players(court: Court) -> None:
    """Eight in the picture of a drill for six is a fault; a coach does not count."""
    small = dataclasses.replace(DRILL, players_max=6)
    assert said(small, SHELL, court) == ["diagram 1: 8 players, but the drill is for at most 6"]
    eight = dataclasses.replace(DRILL, players_max=8)
    assert said(eight, SHELL.replace("{ 1", '{ C = "left sideline", 1'), court) == []


def test_two_on_one_spot(court: Court) -> None:
    """The same place typed twice is a slip of the pen."""
    assert said(DRILL, SHELL.replace("left corner", "left slot"), court) == [
        "diagram 1: 3 and 4 stand on the same place"
    ]


def test_ball_missing(court: Court) -> None:
    """A drill whose equipment has a ball shows one; footwork without a ball need not."""
    text = SHELL.replace('ball = "1"\n', "").replace("deny", "on").replace('"gap"', '"on"')
    text = text.replace('"1 passes to 2", ', "")
    assert any("no diagram shows one" in one for one in said(DRILL, text, court))
    assert said(dataclasses.replace(DRILL, equipment=("4 cones",)), text, court) == []


def test_help_means_the_paint(court: Court) -> None:
    """In a help-side drill who is said to be in help has a foot in the paint, and somebody must have."""
    outside = SHELL.replace('"x4 drops to help 4"', '"x4 helps at the left gap"')
    assert any("x4 helps at" in one for one in said(DRILL, outside, court))
    hugging = SHELL.replace('"help"', '"on"').replace('"gap"', '"on"').replace(', "x4 drops to help 4"', "")
    assert any("no diagram of this help-side drill" in one for one in said(DRILL, hugging, court))
    other = dataclasses.replace(DRILL, shares={"closeout": 12})
    assert said(other, hugging, court) == []


def test_paint_is_at_the_defended_basket(court: Court) -> None:
    """A foot in the paint counts at the basket the defence guards, with a foot's tolerance."""
    (half,) = frames_of(SHELL, court)
    assert in_paint(half, (6.9, 10.0))
    assert not in_paint(half, (7.1, 10.0))
    assert not in_paint(half, (0.0, 21.0))
    (full,) = frames_of(SHELL.replace("[[diagram]]", '[[diagram]]\ncourt = "full"'), court)
    assert in_paint(full, (0.0, court.length - 10.0))
    assert not in_paint(full, (0.0, 10.0))


def test_layout_and_floor_agree(court: Court) -> None:
    """A full-court drill shows the full court, a half-court drill does not."""
    full = dataclasses.replace(DRILL, layout="full", half_courts=2, shares={"transition": 12})
    assert said(full, SHELL, court) == ['a full-court drill has no full-court diagram: write court = "full"']
    whole = SHELL.replace("[[diagram]]", '[[diagram]]\ncourt = "full"\nattack = "near"')
    assert said(full, whole, court) == []
    assert said(DRILL, whole, court) == ["a drill on half courts is drawn on a full one"]


def test_long_drills_need_two_pictures(court: Court) -> None:
    """More than three acts with the ball do not fit one picture; nor do nine moves."""
    acts = '"1 passes to 2", "2 dribbles to the right wing", "2 passes to 1", "1 passes to 4"'
    text = SHELL.replace('"1 passes to 2"', acts)
    assert any("4 actions with the ball in one picture" in one for one in said(DRILL, text, court))
    assert said(DRILL, text + '\n[[diagram]]\nmoves = ["4 passes to 3"]', court) == []
    many = ", ".join(['"x3 slides to the split line", "x3 slides to help"'] * 5)
    assert any(
        "too many to read" in one for one in said(DRILL, SHELL.replace('"1 passes to 2"', many), court)
    )


def test_faults_carry_the_file(court: Court) -> None:
    """A fault names the drill's file."""
    small = dataclasses.replace(DRILL, players_max=6)
    assert {one.file for one in check(small, frames_of(SHELL, court))} == {"shell.toml"}


def test_preview_prints_and_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The preview prints picture and words, writes SVG in two sizes, and exits with 1 on a fault."""
    good, bad = tmp_path / "good.toml", tmp_path / "bad.toml"
    good.write_text(SHELL, "utf-8")
    bad.write_text(SHELL.replace("1 passes to 2", "1 passes to 8"), "utf-8")

    assert main([str(good), "--svg", str(tmp_path / "out")]) == 0
    shown = capsys.readouterr().out
    assert "(1)" in shown
    assert "Attackers: 1 at the right slot" in shown
    assert "nothing wrong" in shown
    assert sorted(one.name for one in (tmp_path / "out").iterdir()) == ["good-1-card.svg", "good-1-thumb.svg"]
    assert main([str(bad), "--quiet"]) == 1
    assert "bad.toml:5: diagram 1: '1 passes to 8': 8 is not on the floor" in capsys.readouterr().out
    assert main([str(tmp_path / "missing.toml")]) == 1
    assert "cannot be read" in capsys.readouterr().out
