"""What a note went through before it came: quoting, mail headers, emphasis."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.film.transport import unwrapped


def test_a_quoted_mail_is_read_as_its_lines() -> None:
    """Headers, quote marks and the line that announces them go; the lines stay where they were."""
    lines = ["From: A", "To: B", "On Sunday B wrote:", "> Q1", ">> 7:40 stop", "> 7:05 bo 21", "", "--", "A"]
    assert unwrapped(lines) == ["", "", "", "Q1", "7:40 stop", "7:05 bo 21", "", "", ""]


def test_emphasis_and_boxes_go() -> None:
    """Marks of emphasis and ticked boxes are no part of a note."""
    assert unwrapped(["- [x] **bo** 21", "`lc` 4<br>no tag 33"]) == ["- bo 21", "lc 4; no tag 33"]


def test_a_single_sign_is_no_quote() -> None:
    """A line or two that begin with a greater sign are left alone."""
    lines = ["> better here", "7:40 bo 21", "7:20 stop", "7:00 lc 4"]
    assert unwrapped(lines) == lines


@given(st.lists(st.text(max_size=60), max_size=30))
def test_lines_keep_their_numbers(lines: list[str]) -> None:
    """Whatever comes, as many lines go out."""
    assert len(unwrapped(lines)) == len(lines)
