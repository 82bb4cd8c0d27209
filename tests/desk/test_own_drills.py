"""The team's own drills: begun, copied, edited, put away and brought back."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from planner import data
from planner.desk import own_drills
from planner.desk.desk import Desk
from planner.desk.drill_template import template
from planner.drills.library import read_drill_and_rows
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from tests.running import NOW, TODAY

EDITOR = {"EDITOR": "pen"}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a cache folder that the shipped library is read into once."""
    return tmp_path_factory.mktemp("kept")


@pytest.fixture
def bare(tmp_path: Path, kept: Path) -> Desk:
    """Return a desk without a team: own drills need none."""
    return Desk(tmp_path / "home", TODAY, lambda: NOW, cache=kept)


def typed(change: Callable[[str], str]) -> Callable[[Sequence[str]], int]:
    """Return an editor in which the coach makes one change."""

    def run(command: Sequence[str]) -> int:
        path = Path(command[-1])
        path.write_text(change(path.read_text("utf-8")), "utf-8")
        return 0

    return run


def filled(text: str) -> str:
    """Return a new drill's file filled in, as its remarks say."""
    text = text.replace('title = ""', 'title = "Gap and go"').replace(
        'set_up = """"""', 'set_up = """Two lines."""'
    )
    text = text.replace('how = """"""', 'how = """Pass and go."""').replace(
        "cues = []", 'cues = ["Gap first"]'
    )
    return text.replace('rule = ""', 'rule = "No lay-up."')


def drawn(text: str) -> str:
    """Return a new drill's file with the signs before its picture taken away."""
    lines = text.splitlines()
    start = lines.index("# [[diagram]]")
    return "\n".join([*lines[:start], *(one.removeprefix("# ") for one in lines[start:])])


def test_a_new_drill_is_left_out_until_it_is_filled_in(bare: Desk) -> None:
    """The template is valid TOML; empty fields are named; filled in, it is in the library, drawn."""
    path = own_drills.new_drill(bare, "gap-and-go", principle="vision", stage=Stage.CONTESTED)
    assert path == bare.home / "drills" / "gap-and-go.toml"
    assert tomllib.loads(path.read_text("utf-8"))["stage"] == "contested"
    assert "gap-and-go" not in bare.library.by_id
    missing = {"'title' is missing", "'set_up' is missing", "'how' is missing", "'cues' is missing"}
    assert missing <= {one.what for one in bare.library.problems}
    done = own_drills.edit_drill(bare, "gap-and-go", EDITOR, typed(lambda text: drawn(filled(text))))
    assert (done.problems, done.changed, done.copied) == ((), True, False)
    assert bare.library.by_id["gap-and-go"].main_principle == "vision"
    assert len(bare.library.diagram_rows["gap-and-go"]) == 1
    assert bare.library.problems == ()


@pytest.mark.parametrize("principle", ["on-ball", "talk"])
@pytest.mark.parametrize("stage", list(Stage))
def test_the_template_fits_every_principle_and_stage(bare: Desk, principle: str, stage: Stage) -> None:
    """Filled in, it has no fault, whatever the title."""
    title = 'A "quoted" \\ title — über 防守'
    text = filled(template("gap-and-go", title, principle, stage))
    drill, _, problems = read_drill_and_rows("gap-and-go.toml", text, bare.library.vocabulary)
    assert problems == []
    assert drill is not None
    assert (drill.title, drill.stage, drill.main_principle) == (title, stage, principle)


@pytest.mark.parametrize(
    "raw",
    [
        *("../up", "a/b", "a\\b", "/etc/passwd", "", ".", "..", "Upper", "a b", "a--b", "-a", "a.toml"),
        *("con", "lpt1", "x" * 61, "a\x00b", "ä", "~", "$HOME", "a\nb", "a\n", " a"),
    ],
)
def test_no_id_leads_elsewhere(bare: Desk, raw: str) -> None:
    """What cannot name a file here is refused by every verb, and nothing is written."""
    for verb in (own_drills.new_drill, own_drills.remove_drill, own_drills.restore_drill):
        with pytest.raises(Refusal, match="is no id for a drill"):
            verb(bare, raw)
    with pytest.raises(Refusal, match="is no id for a drill"):
        own_drills.edit_drill(bare, raw, EDITOR, typed(str))
    if raw:
        with pytest.raises(Refusal, match="is no id for a drill"):
            own_drills.copy_drill(bare, "tall-wall", raw)
    assert not bare.home.exists()


def test_a_copy_keeps_the_id_and_replaces_the_shipped_drill(
    bare: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy is the shipped file with a line above; an updated library changes nothing, but it is said."""
    path = own_drills.copy_drill(bare, "tall-wall")
    shipped = data.drill_library() / "drills" / "tall-wall.toml"
    first, rest = path.read_text("utf-8").split("\n", 1)
    assert first.startswith("# copied from: tall-wall ")
    assert rest == shipped.read_text("utf-8")
    assert (bare.library.own, bare.library.changed) == ({"tall-wall"}, frozenset())
    assert bare.library.by_id["tall-wall"].file == str(path)
    with pytest.raises(Refusal, match="'stopsheet drills edit tall-wall' changes it"):
        own_drills.copy_drill(bare, "tall-wall")
    path.write_text(
        path.read_text("utf-8").replace(first, first[:-1] + ("0" if first[-1] != "0" else "1")), "utf-8"
    )
    bare.__dict__.pop("library")
    assert bare.library.changed == {"tall-wall"}


def test_a_copy_under_a_new_id_stands_beside(bare: Desk) -> None:
    """Id and title are its own; what it was copied from is still known; a copy of a copy works too."""
    own_drills.copy_drill(bare, "tall-wall", "our-wall")
    found = bare.library.by_id
    assert found["our-wall"].title == f"{found['tall-wall'].title} (ours)"
    assert found["our-wall"].how == found["tall-wall"].how
    own_drills.copy_drill(bare, "our-wall", "third-wall")
    assert bare.library.own == {"our-wall", "third-wall"}
    with pytest.raises(Refusal, match="There is a drill 'arm-and-a-half' already"):
        own_drills.copy_drill(bare, "tall-wall", "arm-and-a-half")
    with pytest.raises(Refusal, match="There is no drill 'moon'"):
        own_drills.copy_drill(bare, "moon")


def test_editing_a_shipped_drill_copies_it_first(bare: Desk) -> None:
    """Only what is changed is kept: an editor closed without a change leaves no copy."""
    done = own_drills.edit_drill(bare, "tall-wall", EDITOR, typed(str))
    assert (done.changed, done.copied, done.path.exists()) == (False, True, False)
    done = own_drills.edit_drill(
        bare, "tall-wall", EDITOR, typed(lambda text: text.replace("effort = ", "effort = 1#"))
    )
    assert (done.changed, done.copied, done.problems) == (True, True, ())
    assert bare.library.by_id["tall-wall"].effort == 1


def test_a_drill_broken_in_the_editor_is_reported_with_its_lines(bare: Desk) -> None:
    """The file is left as the coach wrote it, the shipped drill is used, and the last state can come back."""
    path = own_drills.copy_drill(bare, "tall-wall")
    good = path.read_text("utf-8")
    done = own_drills.edit_drill(
        bare, "tall-wall", EDITOR, typed(lambda text: text.replace("effort", "efort").replace('"1 ', '"9 '))
    )
    assert done.changed
    assert any(one.what == "unknown field 'efort'" and one.line for one in done.problems)
    assert "efort" in path.read_text("utf-8")
    assert bare.library.own == frozenset()
    own_drills.restore_drill(bare, "tall-wall")
    assert path.read_text("utf-8") == good
    own_drills.restore_drill(bare, "tall-wall")
    assert "efort" in path.read_text("utf-8")


def test_diagram_faults_are_told_after_an_edit(bare: Desk) -> None:
    """A picture that cannot be drawn is named with its line; it does not keep the drill out."""
    done = own_drills.edit_drill(
        bare, "one-shoe-dig", EDITOR, typed(lambda text: text + '\n[[diagram]]\nplayers = { 1 = "moon" }\n')
    )
    assert done.problems
    assert all(one.file == str(done.path) and one.line and "diagram" in one.what for one in done.problems)
    assert "one-shoe-dig" in bare.library.own


def test_an_id_changed_in_the_editor_is_reported(bare: Desk) -> None:
    """A file cannot take another drill's place under its own name."""
    done = own_drills.edit_drill(
        bare, "tall-wall", EDITOR, typed(lambda text: text.replace('"tall-wall"', '"paint-meter"', 1))
    )
    assert [one.what for one in done.problems] == [
        "the id inside is 'paint-meter'; it must be the file's name"
    ]
    assert bare.library.own == frozenset()


def test_without_an_editor_nothing_happens(bare: Desk) -> None:
    """No variable, an unusable one, and a program that is not there are refused; no copy is left behind."""
    for environ in ({}, {"EDITOR": ""}, {"VISUAL": '"'}):
        with pytest.raises(Refusal, match="No editor is known; set VISUAL or EDITOR"):
            own_drills.edit_drill(bare, "tall-wall", environ)
    with pytest.raises(Refusal, match=r"The editor 'no-such-pen' did not start"):
        own_drills.edit_drill(bare, "tall-wall", {"VISUAL": "no-such-pen --wait", "EDITOR": "pen"})
    assert not (bare.home / "drills" / "tall-wall.toml").exists()


def test_an_editor_is_called_with_its_own_words(bare: Desk) -> None:
    """VISUAL goes before EDITOR; its options stay apart, and the path is one word."""
    called: list[Sequence[str]] = []

    def run(command: Sequence[str]) -> int:
        called.append(command)
        return 3

    own_drills.edit_drill(bare, "tall-wall", {"VISUAL": "pen --wait 'a b'", "EDITOR": "other"}, run)
    assert called == [["pen", "--wait", "a b", str(bare.home / "drills" / "tall-wall.toml")]]


def test_removing_moves_to_the_trash_and_back(bare: Desk) -> None:
    """Nothing is deleted; the shipped drill is in use again; two removals in one second keep both."""
    with pytest.raises(Refusal, match="no drill of your own called 'tall-wall'; it came with stopsheet"):
        own_drills.remove_drill(bare, "tall-wall")
    with pytest.raises(Refusal, match="The trash folder holds nothing of 'tall-wall'"):
        own_drills.restore_drill(bare, "tall-wall")
    path = own_drills.copy_drill(bare, "tall-wall")
    text = path.read_text("utf-8")
    assert "The shipped one is used again." in own_drills.remove_drill(bare, "tall-wall")
    assert not path.exists()
    assert bare.library.own == frozenset()
    own_drills.copy_drill(bare, "tall-wall").write_text(text + "# second\n", "utf-8")
    own_drills.remove_drill(bare, "tall-wall")
    assert len(list((bare.home / "trash").iterdir())) == 2
    own_drills.restore_drill(bare, "tall-wall")
    assert path.read_text("utf-8") == text + "# second\n"
    assert bare.library.own == {"tall-wall"}


def test_a_link_in_the_way_is_not_followed(bare: Desk, tmp_path: Path) -> None:
    """A name that leads elsewhere, even to nothing, is refused rather than written through."""
    (bare.home / "drills").mkdir(parents=True)
    (bare.home / "drills" / "tall-wall.toml").symlink_to(tmp_path / "elsewhere.toml")
    with pytest.raises(Refusal, match="is there already"):
        own_drills.copy_drill(bare, "tall-wall")
    assert not (tmp_path / "elsewhere.toml").exists()
