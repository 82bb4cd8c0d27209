"""Drill files: what is kept, what is left out, and that nothing written in one can break the rest."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner import data
from planner.court.describe import describe
from planner.court.svg import frame_svg
from planner.desk.library import court_of
from planner.drills.library import (
    Library,
    read_drill,
    read_drill_and_rows,
    read_drills,
    read_shelf,
    read_vocabulary,
)
from planner.drills.pictures import frames_of
from planner.drills.vocabulary import Stage, Vocabulary
from planner.paper.card import CardNotes, card_view
from planner.paper.frame import plain_text
from tests.drills.making import VOCABULARY

TEXT = '''id = "front"
title = "Front the post"
kind = "drill"
stage = "guided"
principles = { post = 0.6, talk = 0.2 }
players = { min = 4, max = 10 }
half_courts = 1
layout = "half"
minutes = { min = 5, usual = 8, max = 12 }
effort = 5
equipment = ["2 balls"]
set_up = """Two at each block."""
how = """Three passes, then play."""
cues = ["Beat the feet"]
faults = [
  { seen = "Pinned behind", say = "Step over the foot" },
]
scoring = { rule = "No catch.", counts = "denials", target = 6, tries = 10 }

[[diagram]]
players = { 1 = "top", 5 = "right block", x5 = "front" }
ball = "1"
moves = ["1 passes to 5"]
'''


def faults(text: str) -> list[str]:
    return [str(one) for one in read_drill("front.toml", text, VOCABULARY)[1]]


def test_a_whole_file_is_read() -> None:
    """Every field comes out as it stands; shares are whole twentieths; the rows stay raw."""
    drill, rows, problems = read_drill_and_rows("front.toml", TEXT, VOCABULARY)
    assert problems == []
    assert drill is not None
    assert (drill.id, drill.stage, dict(drill.shares)) == ("front", Stage.GUIDED, {"post": 12, "talk": 4})
    assert (drill.players_min, drill.players_max, drill.minutes.usual) == (4, 10, 8)
    assert drill.scoring is not None
    assert (drill.scoring.target, drill.scoring.tries) == (6, 10)
    assert rows == tuple(tomllib.loads(TEXT)["diagram"])


@pytest.mark.parametrize(
    ("there", "instead", "fault"),
    [
        (
            'id = "front"',
            'id = "Front Post"',
            "front.toml:1: id 'Front Post' must be lower-case words joined",
        ),
        ("effort = 5", "effort = 11", "front.toml:10: 'effort' must be a whole number from 0 to 10"),
        ("effort = 5", "effrot = 5", "front.toml:10: unknown field 'effrot'"),
        ("min = 4", "least = 4", "front.toml:6: unknown field 'least'"),
        ("max = 10", "max = 3", "front.toml:6: 'max' must be a whole number from 4 to 60"),
        ("usual = 8", "usual = 13", "front.toml:9: 'usual' must be a whole number from 5 to 12"),
        ("post = 0.6", "post = 0.61", "front.toml:5: the share of 'post' must be 0.05 to 1 in steps of 0.05"),
        ("post = 0.6", "moon = 0.6", "front.toml:5: unknown principle 'moon'"),
        ("post = 0.6", "post = 0.9", "front.toml:5: the shares add up to more than 1"),
        ('say = "Step', 'shout = "Step', "front.toml:16: unknown field 'shout'"),
        ("target = 6", "target = 12", "front.toml:18: the target is larger than the number of tries"),
        ("tries = 10", "trys = 10", "front.toml:18: unknown field 'trys'"),
        ('layout = "half"', 'layout = "full"', "front.toml:8: a full-court drill needs half_courts = 2"),
        ('stage = "guided"', 'stage = "easy"', "front.toml:4: 'stage' must be one of walk, guided"),
        ('cues = ["Beat the feet"]', "cues = [3]", "front.toml:14: 'cues' must be a list of texts"),
        ("[[diagram]]", "[diagram]", "front.toml:20: 'diagram' must be a list of tables"),
        ('kind = "drill"', "kind = ", "front.toml:3: not valid TOML"),
    ],
)
def test_a_fault_is_told_with_its_line(there: str, instead: str, fault: str) -> None:
    """The first fault of a spoilt file names the line to open and what is wrong."""
    assert there in TEXT
    assert any(one.startswith(fault) for one in faults(TEXT.replace(there, instead, 1)))


def test_a_faulty_file_does_not_spoil_the_rest() -> None:
    """What is good is kept, by id; the second of two with one id is left out."""
    second = TEXT.replace('"front"', '"back"', 1)
    files = [("z.toml", TEXT), ("b.toml", second), ("c.toml", "id = "), ("d.toml", TEXT)]
    drills, problems = read_drills(files, VOCABULARY)
    assert [one.id for one in drills] == ["back", "front"]
    assert [one.file for one in problems] == ["c.toml", "d.toml"]
    assert problems[1].what == "drill 'front' is already in z.toml"


def test_a_file_may_be_held_to_its_name() -> None:
    """Named by id, a drill under another file name is left out and told."""
    shelf = read_shelf([("folder/front.toml", TEXT), ("moon.toml", TEXT)], VOCABULARY, named_by_id=True)
    assert list(shelf.drills) == ["front"]
    assert [str(one) for one in shelf.problems] == [
        "moon.toml: the id inside is 'front'; it must be the file's name"
    ]


VALUES: st.SearchStrategy[Any] = st.sampled_from(
    [
        *("nan", "inf", "-1", "1e308", "true", '""', '"\\u0000\\u001b[31m"', "[]", "[[]]", "{}", "{ a = 1 }"),
        *("1979-05-27", "07:32:00", "0x7fffffffffffffffffff", "[1, 'a']", '"\\u202e"', "9" * 30),
    ]
)
KEYS = [line.split(" = ")[0] for line in TEXT.splitlines() if " = " in line and not line.startswith(" ")]


@given(st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=3))
@settings(max_examples=100, deadline=None)
def test_no_value_breaks_the_reader_or_what_comes_after(changes: dict[str, str]) -> None:
    """Whatever stands at a field: a fault or a drill, and a drill can be shown, told and drawn."""
    lines = []
    for line in TEXT.replace("\n  {", " {").replace(",\n]", ",]").splitlines():
        key = line.split(" = ")[0]
        lines.append(f"{key} = {changes[key]}" if key in changes else line)
    _shown("\n".join(lines), VOCABULARY)


@given(st.data())
@settings(max_examples=100, deadline=None)
def test_no_text_breaks_the_reader(draw: st.DataObject) -> None:
    """A shipped file with anything written into it anywhere is read or refused, never a crash."""
    path = data.drill_library() / "drills" / "shell-by-script.toml"
    text = path.read_text("utf-8")
    start = draw.draw(st.integers(0, len(text)))
    end = draw.draw(st.integers(start, min(start + 40, len(text))))
    _shown(text[:start] + draw.draw(st.text(max_size=12)) + text[end:], _words())


@cache
def _words() -> Vocabulary:
    root = data.drill_library()
    texts = [(root / name).read_text("utf-8") for name in ("principles.toml", "breakdowns.toml")]
    return read_vocabulary(texts[0], texts[1])[0]


def _shown(text: str, vocabulary: Vocabulary) -> None:
    shelf = read_shelf([("front.toml", text)], vocabulary)
    library = Library(vocabulary, tuple(shelf.drills.values()), diagram_rows=shelf.rows)
    assert library.drills or shelf.problems
    for drill in library.drills:
        frames = frames_of(library, drill.id, court_of("school"))
        assert plain_text(card_view(drill, CardNotes({}, frames)))
        for frame in frames:
            assert describe(frame)
            assert frame_svg(frame).startswith("<svg")
