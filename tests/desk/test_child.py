"""A command of ours in a process of its own: what it says comes back, what it refuses is refused here."""

from __future__ import annotations

import sys

import pytest

from planner.desk.child import run_command
from planner.desk.desk import Desk
from planner.problem import Refusal


def test_the_command_runs_at_the_same_desk(desk: Desk) -> None:
    """It sees this desk's data folder and nobody else's."""
    assert str(desk.home) in run_command(desk, "team")


def test_what_it_refuses_is_refused_in_its_own_words(desk: Desk) -> None:
    """The one sentence on stderr becomes the refusal, without the program's name before it."""
    with pytest.raises(Refusal, match=r"^There is no drill 'no-such-drill'"):
        run_command(desk, "print", "drill", "no-such-drill")


def test_a_program_that_does_not_start_is_one_sentence(desk: Desk) -> None:
    """Where the program cannot be started, that is said."""
    with pytest.raises(Refusal, match="did not start"):
        run_command(desk, "print", command=["/nowhere/python"])


def test_a_silent_failure_is_told_by_its_code(desk: Desk) -> None:
    """A command that ends badly without a word is still refused; escape sequences in its words are gone."""
    with pytest.raises(Refusal, match="ended with code 3"):
        run_command(desk, "print", command=[sys.executable, "-c", "raise SystemExit(3)"])
    assert run_command(desk, command=[sys.executable, "-c", r"print('\x1b[31mred')"]) == "red"
