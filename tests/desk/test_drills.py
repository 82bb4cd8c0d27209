"""The library at the desk: finding, ladders, the court to draw on, and a check that finds what is sown."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner import data
from planner.desk.desk import Desk
from planner.desk.drills import check_library, court_rules, find_drill, ladder, passed_stages
from planner.desk.team import set_passed, set_setting, set_up
from planner.desk.undo import undo_last
from planner.drills.vocabulary import Stage
from planner.problem import Problem, Refusal
from planner.store.values import TeamInfo
from tests.running import NOW, TODAY

SOWN: dict[str, tuple[str, str, str]] = {
    # file: what stands there, what is sown instead, what the check says of it
    "hour-hand-feet.toml": (
        'id = "hour-hand-feet"',
        'id = "hour-feet"',
        "the file is not named after the drill",
    ),
    "one-shoe-dig.toml": ("principles = {", "principles = { moon = 0.1,", "unknown principle 'moon'"),
    "tall-wall.toml": ("effort = ", "effort = 4", "'effort' must be a whole number from 0 to 10"),
    "pivot-box.toml": ("title = ", "titel = ", "unknown field 'titel'"),
    "paint-meter.toml": ("cautions = [", 'cautions = []\n# "', "effort 7 of 10 without a caution"),
    "foul-budget.toml": (
        "cues = [",
        'cues = ["Hands back, feet first, then talk, then sit",',
        "cue of 8 words",
    ),
    "tips-and-stops.toml": (
        "cues = [",
        'cues = ["Communicate anticipation",',
        "cue is hard to call across a gym (Communicate, anticipation)",
    ),
    "freeze-and-point.toml": ("easier = [", 'easier = ["moonwalk", ', "'moonwalk' in 'easier' is no drill"),
    "the-rope.toml": ("minutes = { min", "minutes = { most = 9, min", "unknown field 'most'"),
    "wall-of-noise.toml": ("[[diagram]]", "[[diagrom]]", "unknown field 'diagrom'"),
    "meet-it-at-half.toml": ('ball = "', 'ball = "x9', "no place called 'x9c'"),
    "inside-first-three.toml": ("players = { min = ", "players = { min = 4", "'min' must be a whole number"),
    "lane-catch-tax.toml": ("scoring = {", "scoring = { trys = 3,", "unknown field 'trys'"),
    "low-meets-high-sinks.toml": ('"""', '""', "not valid TOML"),
}


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> list[Problem]:
    """Return the findings of a copied library with a fault in every one of some files."""
    root = tmp_path_factory.mktemp("library")
    shutil.copytree(data.drill_library(), root, dirs_exist_ok=True)
    drills = root / "drills"
    for name, (there, instead, _) in SOWN.items():
        path = drills / name
        text = path.read_text("utf-8")
        assert there in text, name
        path.write_text(text.replace(there, instead, 1), "utf-8")
    _sow_by_hand(root)
    desk = Desk(root.parent / "nobody", TODAY, lambda: NOW)
    return check_library(desk, root)


def _sow_by_hand(root: Path) -> None:
    drills = root / "drills"
    for name, there, instead in (
        ("keep-out-of-the-pocket", 'harder = ["tips-and-stops"]', "harder = []"),
        ("tips-and-stops", 'easier = ["keep-out-of-the-pocket", ', "easier = ["),
        ("open-or-closed-turn", ', "hands-in-the-window"]', "]"),
        ("hands-in-the-window", 'easier = ["open-or-closed-turn"]', "easier = []"),
    ):
        path = drills / f"{name}.toml"
        text = path.read_text("utf-8")
        assert there in text, name
        path.write_text(text.replace(there, instead), "utf-8")
    bare = (drills / "open-look-tax.toml").read_text("utf-8")
    (drills / "open-look-tax.toml").write_text(bare.split("[[diagram]]", 1)[0], "utf-8")
    twin = (drills / "either-wing.toml").read_text("utf-8").replace('id = "either-wing"', 'id = "other-wing"')
    (drills / "other-wing.toml").write_text(twin, "utf-8")
    again = (drills / "point-two-ways.toml").read_text("utf-8")
    (drills / "zz-again.toml").write_text(again, "utf-8")
    (drills / "latin.toml").write_bytes(b'title = "\xe9"')
    (root / "wording" / "zz.toml").write_text("[breakdown.moonwalk]\nphrases = ['moon']\n", "utf-8")
    court = root / "courts" / "college.toml"
    court.write_text(court.read_text("utf-8").replace("width", "wideness", 1), "utf-8")


@pytest.mark.parametrize("name", SOWN)
def test_each_sown_fault_is_found_with_its_line(found: list[Problem], name: str) -> None:
    """A fault in a copied library is found in its file, and at a line where the file can be read."""
    what = SOWN[name][2]
    mine = [one for one in found if one.file == name and what in one.what]
    assert mine, (what, [str(one) for one in found if one.file == name])
    assert all(one.line for one in mine)


@pytest.mark.parametrize(
    ("file", "what"),
    [
        ("open-look-tax.toml", "a live drill without a diagram"),
        ("other-wing.toml", "the title is that of 'either-wing'"),
        ("other-wing.toml", "the text is almost that of 'either-wing'"),
        ("other-wing.toml", "does not name it back"),
        ("zz-again.toml", "drill 'point-two-ways' is already in point-two-ways.toml"),
        ("latin.toml", "not UTF-8 text"),
        ("wording/zz.toml", "no breakdown 'moonwalk'"),
        ("courts/college.toml", "width"),
        ("principles.toml", "post has no live drill"),
        ("keep-out-of-the-pocket.toml", "a dead end: nothing harder in vision follows it"),
        ("hands-in-the-window.toml", "no way leads up to it from a walk drill of vision"),
    ],
)
def test_faults_between_files_are_found(found: list[Problem], file: str, what: str) -> None:
    """Twins, missing pictures, wording and courts are looked at too; a principle left thin is named."""
    assert [one for one in found if one.file == file and what in one.what], [str(one) for one in found]


def test_a_player_too_many_in_a_picture(tmp_path: Path) -> None:
    """Player counts are held against the diagrams, on all three courts, and told once."""
    shutil.copytree(data.drill_library(), tmp_path / "library")
    path = tmp_path / "library" / "drills" / "shell-by-script.toml"
    text = path.read_text("utf-8").replace("min = 8, max = 12 }", "min = 6, max = 7 }")
    path.write_text(text, "utf-8")
    found = check_library(Desk(tmp_path, TODAY, lambda: NOW), tmp_path / "library")
    assert {one.what for one in found} == {
        f"diagram {n}: 8 players, but the drill is for at most 7" for n in (1, 2, 3)
    }
    starts = [n for n, line in enumerate(text.splitlines(), 1) if line == "[[diagram]]"]
    assert [one.line for one in found] == starts


def test_a_drill_is_found_or_the_nearest_are_named(desk: Desk) -> None:
    """A near miss names what is near; nonsense names the list."""
    assert find_drill(desk.library, "tall-wall").title == desk.library.by_id["tall-wall"].title
    with pytest.raises(Refusal, match=r"There is no drill 'tal-wall'; did you mean tall-wall"):
        find_drill(desk.library, "tal-wall")
    with pytest.raises(Refusal, match=r"'stopsheet drills list' shows all"):
        find_drill(desk.library, "../../etc/passwd")


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[Desk]:
    """Return a desk without a team."""
    made = Desk(tmp_path / "fresh", TODAY, lambda: NOW)
    yield made
    made.close()


def test_the_ladder_knows_what_the_team_has_passed(fresh: Desk) -> None:
    """Without a team nothing is passed; with one, the stage recorded last counts."""
    assert ladder(fresh, "post")[1] is None
    assert passed_stages(fresh) == {}
    set_up(fresh, TeamInfo("Herons"))
    set_passed(fresh, "post", "guided")
    found, passed = ladder(fresh, "post")
    assert (found.principle, passed) == ("post", Stage.GUIDED)
    assert {one.drill.main_principle for one in found.rungs} == {"post"}
    with pytest.raises(Refusal, match="'pots' is no principle; did you mean post"):
        ladder(fresh, "pots")


def test_the_court_is_the_teams(fresh: Desk) -> None:
    """School is the rule, the team may say otherwise, undo goes back, and nonsense is refused."""
    assert court_rules(fresh) == "school"
    set_up(fresh, TeamInfo("Herons"))
    assert court_rules(fresh) == "school"
    assert set_setting(fresh, "court", "college").startswith("court is now college")
    assert court_rules(fresh) == "college"
    set_setting(fresh, "court", "international")
    undo_last(fresh)
    assert court_rules(fresh) == "college"
    with pytest.raises(Refusal, match=r"'court' must be school, college or international"):
        set_setting(fresh, "court", "moon")
    with pytest.raises(Refusal, match=r"'minutes' must be from 10 to 300 .*not college"):
        set_setting(fresh, "minutes", "college")
    with pytest.raises(Refusal, match=r"'cuort' is no setting; did you mean court"):
        set_setting(fresh, "cuort", "college")
