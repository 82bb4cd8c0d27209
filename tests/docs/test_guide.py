"""The coach's guide: every command is run, every picture is there, every drill it names exists."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from planner.desk.library import load_library

PAGE = Path(__file__).resolve().parents[2] / "planner" / "guide" / "GUIDE.md"
TEXT = PAGE.read_text("utf-8")
BLOCKS = re.findall(r"```sh\n(.*?)```", TEXT, flags=re.DOTALL)


@pytest.mark.skipif(sys.platform == "win32", reason="the blocks are typed into a POSIX shell")
def test_every_command_runs_in_the_order_it_is_read(tmp_path: Path) -> None:
    """Typed one after the other into a shell, no command fails, and what it promises to write is there."""
    script = "set -e\nstopsheet() { " + f'"{sys.executable}" -m planner "$@"; }}\n' + "\n".join(BLOCKS)
    root = str(PAGE.parents[2])
    environ = {**os.environ, "PYTHONPATH": root, "STOPSHEET_HOME": str(tmp_path / "own"), "NO_COLOR": "1"}
    ran = subprocess.run(
        ["bash", "-c", script], cwd=tmp_path, env=environ, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr == ""
    assert "stood around" in ran.stdout
    written = ("needs.json", "unclear.json", "practice.html", "assistant.pdf", "otters.ics", "review.pdf")
    assert [one for one in written if not (tmp_path / one).stat().st_size] == []
    assert not (tmp_path / "own").exists()


def test_its_pictures_are_there_and_ask_for_nothing() -> None:
    """Each picture exists, is SVG, and names no address but the standard's own."""
    names = re.findall(r"!\[.+?\]\((.+?)\)", TEXT)
    assert len(names) == 4
    for name in names:
        svg = (PAGE.parent / name).read_text("utf-8")
        assert svg.startswith("<svg")
        assert set(re.findall(r"https?://[^\"' )]+", svg)) == {"http://www.w3.org/2000/svg"}


def test_the_drills_it_names_exist() -> None:
    """A drill shown in the guide is in the library."""
    named = re.findall(r"drills show ([a-z0-9-]+)", TEXT)
    assert named
    assert set(named) <= set(load_library().by_id)
