from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.drills.fields import MAX_FILE, Fields, parse_toml
from tests.running import is_clean

SOURCE = """\
id = "one"
title = "A title"
effort = 5
minutes = { min = 4, usual = 8, max = 12 }
cues = ["Say it", "Early"]
"""


def fields(**table: Any) -> Fields:
    return Fields("one.toml", SOURCE, table)


def test_good_toml_is_read() -> None:
    """A sound file gives its table and no problem."""
    table, problems = parse_toml("one.toml", SOURCE)
    assert table["minutes"]["usual"] == 8
    assert problems == []


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('id = "one"\ntitle = \n', 2, "not valid TOML"),
        ("id = 1\nid = 2\n", 2, "not valid TOML"),
        ("a = " + "[" * 5000, None, "brackets"),
        ("a = " + "1" * 5000, None, "too many digits"),
        ("#" * (MAX_FILE + 1), None, "larger than"),
    ],
)
def test_what_is_no_toml_is_one_problem(text: str, line: int | None, words: str) -> None:
    """A broken, endless or oversized file is a problem with its line where there is one, never an error."""
    table, problems = parse_toml("one.toml", text)
    assert table == {}
    assert len(problems) == 1
    assert (problems[0].file, problems[0].line) == ("one.toml", line)
    assert words in problems[0].what


@given(st.text(st.sampled_from('a=[]{}".,\n#1e-:TZ\\ux0')))
def test_any_text_is_read_or_is_a_problem(text: str) -> None:
    """Whatever a file holds, reading it raises nothing."""
    table, problems = parse_toml("one.toml", text)
    assert not (table and problems)


def test_a_fault_names_the_line_of_its_field() -> None:
    """The line is where the field stands."""
    found = fields(effort=99)
    assert found.whole("effort", 0, 10) == 0
    assert (found.problems[0].line, found.problems[0].file) == (3, "one.toml")
    assert "whole number from 0 to 10" in found.problems[0].what


@pytest.mark.parametrize("value", [True, 5.0, "5", None, -1, 11, [5]])
def test_only_whole_numbers_within_bounds_are_taken(value: Any) -> None:
    """A truth value, a text, a list, or a number outside is a fault; the least stands in for it."""
    found = fields(effort=value)
    assert found.whole("effort", 0, 10) == 0
    assert len(found.problems) == 1


@pytest.mark.parametrize("value", [True, "1", None, -0.1, 1.1, float("nan"), float("inf")])
def test_only_numbers_within_bounds_are_taken(value: Any) -> None:
    """What is no number, or no finite one within its bounds, is a fault."""
    found = fields(share=value)
    assert found.number("share", 0.0, 1.0) == 0.0
    assert len(found.problems) == 1
    assert fields(share=1).number("share", 0.0, 1.0) == 1.0


def test_missing_texts_are_faults_only_where_they_are_needed() -> None:
    """An absent field is a fault when required, and empty when not."""
    found = fields(how=" \x1b[31m ")
    assert found.text("how") == ""
    assert found.line("few_players", required=False) == ""
    assert found.lines("equipment", required=False) == ()
    assert found.choice("stage", ("walk", "live"), required=False) == ""
    assert [one.what for one in found.problems] == ["'how' is missing"]


@pytest.mark.parametrize("value", ["one text", [1, 2], [["a"]], {"a": "b"}])
def test_lists_of_texts_are_just_that(value: Any) -> None:
    """A list is a list of texts and nothing else."""
    found = fields(cues=value)
    assert found.lines("cues") == ()
    assert "must be a list of texts" in found.problems[0].what


def test_tables_and_choices_of_the_wrong_kind_are_faults() -> None:
    """A text where a table is due, or a word that is no choice, is told and replaced by what is harmless."""
    found = fields(minutes="ten", faults={"seen": "x"}, layout="round", stage=["walk"])
    assert found.sub("minutes") == {}
    assert found.tables("faults") == []
    assert found.choice("layout", ("half", "full")) == "half"
    assert found.choice("stage", ("walk", "live")) == "walk"
    assert len(found.problems) == 4


def test_misspelt_fields_are_told() -> None:
    """A field that is not known does not vanish silently."""
    found = fields(titel="x", id="one")
    found.only({"id", "title"})
    assert [one.what for one in found.problems] == ["unknown field 'titel'"]


def test_texts_come_out_clean() -> None:
    """Escapes and turned-round writing in a card are gone before anybody sees them."""
    found = fields(title="\x1b[31mred\x07\u202e", cues=["\x1b]0;x\x07say", "\x1b[0m"], how="a\x00\nb")
    assert found.line("title") == "red"
    assert found.lines("cues") == ("say",)
    assert is_clean(found.text("how"))
