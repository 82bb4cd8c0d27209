"""``stopsheet drills`` and ``stopsheet print drill`` as they are typed."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from planner.drills.vocabulary import Stage
from tests.running import Stopsheet, assert_refused, is_clean

DRILL = "shell-by-script"


def test_the_list_is_grouped_and_fits_eighty_columns(stopsheet: Stopsheet) -> None:
    """All drills under the principles' titles, one a line; looking leaves no folder behind."""
    ran = stopsheet("drills")
    assert ran.code == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    assert "On-ball containment (on-ball)" in ran.out
    assert "Warm-up" in ran.out
    assert not stopsheet.home.exists()
    assert stopsheet("drills", "list").out == ran.out


@pytest.mark.parametrize(
    ("asked", "holds"),
    [
        (["--principle", "tag"], lambda one: "tag" in one["principles"]),
        (["--stage", "live"], lambda one: one["stage"] == "live"),
        (["--players", "5"], lambda one: one["players"][0] <= 5 <= one["players"][1]),
        (["--minutes", "6"], lambda one: one["minutes"][0] <= 6 <= one["minutes"][2]),
        (["--half-court"], lambda one: one["half_courts"] == 1),
        (["--kind", "warm-up"], lambda one: one["kind"] == "warm-up"),
        (["--equipment", "cones"], lambda one: any("cone" in thing for thing in one["equipment"])),
        (["--without", "ball", "cone"], lambda one: not any("ball" in thing for thing in one["equipment"])),
        (["charge"], lambda one: "charge" in str(one).lower()),
    ],
)
def test_only_what_is_asked_for_is_listed(stopsheet: Stopsheet, asked: list[str], holds) -> None:  # type: ignore[no-untyped-def]
    """Each option keeps exactly what it says: all it lists fit, and some of the library do not."""
    found = stopsheet("drills", "list", *asked, "--json").json
    everything = stopsheet("drills", "list", "--json").json
    assert 0 < len(found) < len(everything)
    assert all(holds(one) for one in found)
    if len(asked) == 2 and asked[0] != "--without":
        assert {one["id"] for one in everything if holds(one)} == {one["id"] for one in found}


def test_nothing_found_is_code_one_and_a_wrong_principle_two(stopsheet: Stopsheet) -> None:
    """Exit codes tell nothing found from nonsense asked."""
    ran = stopsheet("drills", "list", "--players", "59")
    assert (ran.code, ran.out.splitlines()[0]) == (1, "0 drills. 'stopsheet drills show ID' shows one.")
    assert_refused(stopsheet("drills", "list", "--principle", "tagg"), "'tagg' is no principle")
    assert_refused(stopsheet("drills", "show", "shel-by-script"), "did you mean shell-by-script")
    assert_refused(stopsheet("drills", "show", DRILL, "--frame", "9"), "There is no diagram 9")
    assert_refused(stopsheet("drills", "show", "\x1b[31m"), "There is no drill")


def test_a_card_is_shown_drawn_told_or_one_picture_large(stopsheet: Stopsheet) -> None:
    """Braille by default, words for a screen reader, one frame within 80 by 24, the key when asked."""
    drawn = stopsheet("drills", "show", DRILL).out
    told = stopsheet("drills", "show", DRILL, "--words").out
    large = stopsheet("drills", "show", DRILL, "--frame", "2").out
    assert "⠈" in drawn
    assert "⠈" not in told
    assert "Frame 3" in told
    assert len(large.splitlines()) <= 24
    assert all(max(map(len, out.splitlines())) <= 80 for out in (drawn, told, large))
    assert "hands off" in stopsheet("drills", "show", DRILL, "--key").out
    assert stopsheet("drills", "show", DRILL, "--court", "international").out != drawn
    assert len(stopsheet("drills", "show", DRILL, "--json").json["diagrams"]) == 3


def test_the_court_setting_is_text_and_shown(stopsheet: Stopsheet) -> None:
    """'team set court' takes a rule book, is listed among the settings, and draws."""
    stopsheet("team", "new", "Herons")
    before = stopsheet("drills", "show", DRILL).out
    assert "court is now international" in stopsheet("team", "set", "court", "International").out
    assert "court = international" in stopsheet("team").out
    assert stopsheet("drills", "show", DRILL).out != before
    assert_refused(stopsheet("team", "set", "court", "4"), "must be school, college or international")
    assert stopsheet("team", "set", "minutes", "80").code == 0
    assert "court = international" in stopsheet("team").out


def test_the_ladder_marks_what_is_passed(stopsheet: Stopsheet) -> None:
    """Without a team nothing is marked; with one, the stages up to the one passed are, and the next."""
    bare = stopsheet("drills", "ladder", "post").out
    assert "once there is a team" in bare
    assert "✓ 1" not in bare
    stopsheet("team", "new", "Herons")
    assert "Nothing passed yet" in stopsheet("drills", "ladder", "post").out
    stopsheet("team", "passed", "post", "guided")
    lines = stopsheet("drills", "ladder", "post").out.splitlines()
    marks = [line[0] for line in lines if line[2:3].isdigit()]
    assert marks == ["✓", "✓", "▸", " "]
    assert lines[-1] == "Passed: guided. Next: contested (▸)."
    assert max(map(len, lines)) <= 80
    found = stopsheet("drills", "ladder", "post", "--json").json
    assert [one["stage"] for one in found["stages"]] == [str(one) for one in Stage]
    assert (found["passed"], found["next"]) == ("guided", "contested")
    overview = stopsheet("drills", "ladder").out
    assert next(line for line in overview.splitlines() if line.startswith("post")).endswith("guided")
    assert len(stopsheet("drills", "ladder", "--json").json) == len(overview.splitlines()) - 2
    assert_refused(stopsheet("drills", "ladder", "pots"), "did you mean post")


def test_the_check_is_quiet_until_something_is_wrong(stopsheet: Stopsheet) -> None:
    """Code 0 and one line for a sound library; a broken own drill is told with file and line, and code 1."""
    ran = stopsheet("drills", "check")
    assert (ran.code, ran.out.count("\n")) == (0, 1)
    assert stopsheet("drills", "new", "gap-and-go").code == 0
    ran = stopsheet("drills", "check")
    assert ran.code == 1
    path = stopsheet.home / "drills" / "gap-and-go.toml"
    assert f"{path}:6: 'title' is missing" in ran.out
    found = stopsheet("drills", "check", "--json").json
    assert {one["file"] for one in found} == {str(path)}
    assert "1 file could not be used; 'stopsheet drills check' says why" in stopsheet("drills").out


def test_an_own_drill_from_copy_to_undo(
    stopsheet: Stopsheet, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Copied, marked in the list, changed in the editor, brought back, removed: each says how to undo."""
    ran = stopsheet("drills", "copy", DRILL)
    assert "Undo with: stopsheet drills remove shell-by-script" in ran.out
    assert f"* guided    {DRILL}" in stopsheet("drills", "list", "--own").out
    assert "1 is your own (*)" in stopsheet("drills").out
    pen = tmp_path / "pen.py"
    pen.write_text(
        "import pathlib, sys\n"
        "path = pathlib.Path(sys.argv[1])\n"
        "path.write_text(path.read_text('utf-8').replace('effort = 4', 'effort = 40'), 'utf-8')\n",
        "utf-8",
    )
    monkeypatch.setenv("VISUAL", f"'{sys.executable}' '{pen}'")
    ran = stopsheet("drills", "edit", DRILL)
    assert ran.code == 1
    assert "'effort' must be a whole number from 0 to 10" in ran.out
    assert "Undo with: stopsheet drills restore shell-by-script" in ran.out
    assert stopsheet("drills", "list", "--own").code == 1
    assert stopsheet("drills", "restore", DRILL).code == 0
    assert "Your own drill: " in stopsheet("drills", "show", DRILL).out
    ran = stopsheet("drills", "remove", DRILL)
    assert "The shipped one is used again." in ran.out
    assert "Undo with: stopsheet drills restore shell-by-script" in ran.out
    assert_refused(stopsheet("drills", "remove", DRILL), "came with stopsheet")
    assert_refused(stopsheet("drills", "new", "../up"), "is no id for a drill")
    assert is_clean(ran.out)


def test_a_changed_original_is_told(stopsheet: Stopsheet) -> None:
    """The list marks the copy with '!' and says so; the card says how to go back."""
    stopsheet("drills", "copy", DRILL)
    path = stopsheet.home / "drills" / f"{DRILL}.toml"
    lines = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text("".join([f"# copied from: {DRILL} {'0' * 64}\n", *lines[1:]]), "utf-8")
    ran = stopsheet("drills", "list")
    assert f"! guided    {DRILL}" in ran.out
    assert f"The shipped drill has changed since '{DRILL}' was copied" in ran.out
    assert f"'stopsheet drills remove {DRILL}' goes back" in " ".join(
        stopsheet("drills", "show", DRILL).out.split()
    )


def test_printing_drills(stopsheet: Stopsheet, tmp_path: Path) -> None:
    """One card, a pack, a drawing; a word too many, no drill and an unknown one are refused."""
    path = tmp_path / "card.pdf"
    assert stopsheet("print", "drill", DRILL, "tall-wall", "--to", str(path)).out == f"Printed to {path}\n"
    assert path.read_bytes().startswith(b"%PDF")
    assert stopsheet("print", "--to", str(tmp_path / "a.svg"), "--frame", "2", "drill", DRILL).code == 0
    assert stopsheet("print", "drill", DRILL).out.endswith(f"prints/drill-{DRILL}.pdf\n")
    assert_refused(stopsheet("print", "drill"), "Name at least one drill")
    assert_refused(stopsheet("print", "drill", "moon"), "There is no drill 'moon'")
    assert_refused(stopsheet("print", "plan", "moon"), "'moon' is one word too many")
