"""The pinned versions that the program is known to run with."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent
TOOL = ROOT / "tools" / "pins.py"


@pytest.fixture(scope="module")
def tool() -> ModuleType:
    """Return the tool as a module."""
    found = importlib.util.spec_from_file_location("pins", TOOL)
    assert found is not None
    assert found.loader is not None
    made = importlib.util.module_from_spec(found)
    found.loader.exec_module(made)
    return made


@pytest.mark.parametrize(("name", "extras"), [("runtime.txt", ()), ("staff.txt", ("staff",))])
def test_the_pins_satisfy_what_is_asked_for(tool: ModuleType, name: str, extras: tuple[str, ...]) -> None:
    """All that pyproject asks for, and what that asks for, is pinned within its range, each with a hash."""
    pinned = tool.pins((tool.FOLDER / name).read_text("utf-8"))
    assert len(pinned) > 20
    assert list(tool.faults(pinned, extras)) == []


@pytest.mark.parametrize("name", ["runtime.txt", "staff.txt"])
def test_the_pins_name_no_place_to_fetch_from(tool: ModuleType, name: str) -> None:
    """Neither address nor option stands among the pins: where packages come from is the reader's choice."""
    text = (tool.FOLDER / name).read_text("utf-8")

    assert not re.search(r"://|^-|^ +-(?!-hash=)", text, re.MULTILINE)


def test_a_pin_that_is_missing_or_wrong_is_seen(tool: ModuleType) -> None:
    """A package left out, one out of range and one without a hash are found."""
    pinned = tool.pins((tool.FOLDER / "runtime.txt").read_text("utf-8"))
    without = {name: version for name, version in pinned.items() if name not in {"rich", "mako"}}
    said = "\n".join(tool.faults({**without, "highspy": "1.16.0"}, ()))
    assert "pyproject.toml asks for rich" in said
    assert "alembic asks for Mako, which is not pinned" in said
    assert "but 1.16.0 is pinned" in said
    with pytest.raises(ValueError, match="without a hash: rich"):
        tool.pins("rich==15.0.0 \\\n")
    with pytest.raises(ValueError, match="neither a pin nor a hash"):
        tool.pins("--index-url https://example.org/simple\n")


def test_every_licence_is_told(tool: ModuleType) -> None:
    """The table of licences holds every pinned package and version, and a licence for each."""
    rows = re.findall(r"^\| (\S+) \| (\S+) \| (.+) \|$", tool.LICENCES.read_text("utf-8"), re.MULTILINE)
    told = {name: version for name, version, _ in rows if name not in {"package", "---"}}
    assert told == tool.pins((tool.FOLDER / "staff.txt").read_text("utf-8"))
    assert not [name for name, _, licence in rows if licence == "not stated"]
