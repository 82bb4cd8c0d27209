"""The user's own keys from keys.toml: what is read, what is refused, and that nothing hides anything."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.screens.keymap import actions_of_places, keys_from, read_keys


def test_no_file_changes_nothing(tmp_path: Path) -> None:
    """Without a key map every action keeps its key and nothing is said."""
    assert read_keys(tmp_path) == ({}, ())


def test_a_line_moves_an_action_with_and_without_quotes(tmp_path: Path) -> None:
    """Both ways of writing a dotted name in TOML mean the same; several keys stand by commas."""
    (tmp_path / "keys.toml").write_text('"season.print" = "z"\ndrills.find = "f5, ?"\napp.help = "f1"\n')
    keys, faults = read_keys(tmp_path)
    assert faults == ()
    assert keys == {"season.print": "z", "drills.find": "f5,question_mark", "app.help": "f1"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('"season.prnt" = "z"', "did you mean season.print"),
        ('"season.print" = 3', "needs a key in quotes"),
        ('"season.print" = ""', "needs a key in quotes"),
        ('"season.print" = "banana"', "'banana' for 'season.print' is no key"),
        ('"season.print" = "enter"', "lists and dialogs need that key"),
        ('"season.print" = "e"', "'e' is that of 'season.emphasis'"),
        ('"season.print" = "u"', "'u' is that of 'app.undo'"),
        ('"app.theme" = "g"', "'app.theme' keeps its key"),
        ('"season.print" = ', "not valid TOML"),
    ],
)
def test_what_cannot_be_used_is_said_and_the_rest_holds(text: str, words: str) -> None:
    """Each fault is one sentence that names the action; a good line beside it still holds."""
    keys, faults = keys_from(f'"team.add" = "z"\n{text}')
    assert [one for one in faults if words in one.what], faults
    assert keys == ({} if "TOML" in words else {"team.add": "z"})


def test_two_actions_can_change_places() -> None:
    """A key that is given up at the same time is free for another action."""
    keys, faults = keys_from('"season.print" = "e"\n"season.emphasis" = "p"')
    assert faults == ()
    assert keys == {"season.print": "e", "season.emphasis": "p"}


def test_a_file_that_is_no_text_is_said(tmp_path: Path) -> None:
    """Bytes that are no UTF-8 are one fault, and no key is changed."""
    (tmp_path / "keys.toml").write_bytes(b"\xff\xfe\x00z")
    keys, faults = read_keys(tmp_path)
    assert keys == {}
    assert "not UTF-8" in faults[0].what


@given(
    st.dictionaries(
        st.sampled_from(sorted({one.id for actions in actions_of_places().values() for one in actions})),
        st.sampled_from([*"abcdefgz0123?[+", "f5", "ctrl+s"]),
        max_size=6,
    )
)
def test_whatever_is_wanted_nothing_new_clashes(wanted: dict[str, str]) -> None:
    """After reading, no key that was changed is also another action's key in the same place."""
    text = "\n".join(f'"{name}" = "{key}"' for name, key in wanted.items())
    keys, faults = keys_from(text)
    assert len(keys) + len(faults) == len(wanted)
    for actions in actions_of_places().values():
        for one in actions:
            if one.id in keys:
                others = {k for o in actions if o.id != one.id for k in keys.get(o.id, o.key).split(",")}
                assert not set(keys[one.id].split(",")) & others


@given(st.text(max_size=200))
def test_any_text_is_survived(text: str) -> None:
    """Whatever lies in the file, reading it gives keys and faults and never breaks."""
    keys, faults = keys_from(text)
    assert all(isinstance(one, str) for one in keys.values())
    assert all(one.file == "keys.toml" for one in faults)
