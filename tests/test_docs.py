"""The README and the contributor's guide say what is so."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from planner.cli.parser import build_parser
from planner.desk.library import load_library

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text("utf-8")
GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def evening() -> list[str]:
    """Return the commands of the README's block 'An evening', without their remarks."""
    block = README.split("## An evening")[1].split("```")[1]
    lines = [line for line in block.splitlines() if line.startswith("stopsheet")]
    return [re.split(r"\s{2,}", line)[0] for line in lines]


def named_in_text() -> list[str]:
    """Return the commands that stand in the README's running text."""
    text = re.sub(r"```.*?```", "", README, flags=re.DOTALL)
    return re.findall(r"`(stopsheet [^`]+)`", text)


def test_the_evening_goes_round_the_loop() -> None:
    """The block holds the loop's verbs, from the team to undo."""
    verbs = {shlex.split(one)[1] for one in evening()}
    assert verbs >= {"team", "film", "needs", "plan", "print", "log", "season", "undo"}


@pytest.mark.parametrize("command", [*evening(), *named_in_text()])
def test_every_command_of_the_readme_exists(command: str) -> None:
    """The program's own parser takes each command as it is printed."""
    assert build_parser().parse_args(shlex.split(command)[1:]).run


def test_the_drills_that_the_readme_names_exist() -> None:
    """A drill pinned in the README is in the library."""
    library = load_library()
    pins = [
        pin
        for one in evening()
        for pin in vars(build_parser().parse_args(shlex.split(one)[1:])).get("pin", [])
    ]
    assert pins
    assert {one.partition("=")[0] for one in pins} <= set(library.by_id)


@pytest.mark.parametrize(("number", "words"), [(1, "stopsheet demo"), (2, "make check")])
def test_the_two_commands_are_found_by_the_tool(number: int, words: str) -> None:
    """CI runs what a reader would type: the tool prints each of the two shell blocks."""
    tool = [sys.executable, str(ROOT / "tools" / "readme_command.py"), str(number)]
    said = subprocess.run(tool, capture_output=True, text=True, check=True).stdout
    assert "pip install" in said
    assert words in said
    assert said.strip() in README
    assert README.count("```sh\n") == 2


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(name: str) -> None:
    """Every link to a file of this project leads to one."""
    text = (ROOT / name).read_text("utf-8")
    targets = [one for one in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in one]
    assert all((ROOT / one).exists() for one in targets), targets


def test_the_guide_s_rooms_and_files_are_there() -> None:
    """Each room of the table, and each file to begin with, is in the package."""
    rows = re.findall(r"^\| (\w+) \| (.+?) \|", GUIDE, re.MULTILINE)
    rooms = [(room, re.findall(r"`([\w/]+\.py|\w+/)`", files)) for room, files in rows if room != "room"]
    assert len(rooms) >= 7
    for room, files in rooms:
        assert files, room
        for one in files:
            assert (ROOT / "planner" / room / one).exists(), (room, one)


def test_what_the_guide_calls_a_test_is_one() -> None:
    """Tests and folders that the guide names exist."""
    for one in re.findall(r"`(tests/[\w/.]+)`", GUIDE):
        assert (ROOT / one).exists(), one
