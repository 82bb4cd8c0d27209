from __future__ import annotations

import argparse
from collections.abc import Iterator
from importlib import import_module

import pytest

from planner.cli.parser import build_parser


def commands(
    parser: argparse.ArgumentParser, path: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], argparse.ArgumentParser, str | None]]:
    """Yield every command and subcommand with its parser and its line of help."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            lines = {one.dest: one.help for one in action._choices_actions}
            for name, made in action.choices.items():
                yield (*path, name), made, lines.get(name)
                yield from commands(made, (*path, name))


ALL = list(commands(build_parser()))


def test_the_loop_has_its_commands() -> None:
    """The words of the loop are commands, and so is what keeps the data safe."""
    names = {path[0] for path, _, _ in ALL}
    assert names >= {"demo", "team", "film", "needs", "plan", "print", "log", "season", "drills"}
    assert names >= {"undo", "backup", "restore", "export", "check"}


@pytest.mark.parametrize(("path", "parser", "line"), ALL, ids=[" ".join(path) for path, _, _ in ALL])
def test_every_command_has_help(
    path: tuple[str, ...],
    parser: argparse.ArgumentParser,
    line: str | None,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Each command is listed with a line of its own, and its --help repeats the line and ends with 0."""
    assert line
    with pytest.raises(SystemExit) as stop:
        build_parser().parse_args([*path, "--help"])
    assert stop.value.code == 0
    assert line.split(";")[0][:30] in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(("path", "parser", "line"), ALL, ids=[" ".join(path) for path, _, _ in ALL])
def test_every_command_is_run_by_something(
    path: tuple[str, ...], parser: argparse.ArgumentParser, line: str | None
) -> None:
    """The function that a command names is there."""
    module, name = parser.get_default("run").split(":")
    assert callable(getattr(import_module(f"planner.cli.{module}"), name))


def test_no_command_at_all_is_where_things_stand() -> None:
    """The bare name is a command too."""
    assert build_parser().parse_args([]).run == "standing:standing"
