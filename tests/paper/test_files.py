"""Writing files: whole, private, and never over somebody else's."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from types import SimpleNamespace

import pytest

from planner.paper import files
from planner.paper.files import MADE_BY, made_here, write_atomically
from planner.paper.sheet import court_side_sheet
from planner.problem import Refusal


def test_a_new_file_is_written_whole_and_only_its_owner_may_read_it(tmp_path: Path) -> None:
    """The bytes are there, nothing else is left in the folder, and the mode is 0600."""
    path = tmp_path / "sheet.pdf"
    assert write_atomically(path, b"abc", overwrite=False) == path
    assert path.read_bytes() == b"abc"
    assert list(tmp_path.iterdir()) == [path]
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_our_own_sheet_is_replaced(tmp_path: Path, sample: SimpleNamespace) -> None:
    """A PDF that this program printed is known again and may be printed over."""
    path = tmp_path / "sheet.pdf"
    printed = court_side_sheet(sample.sized_plan(6), sample.notes())
    write_atomically(path, printed.data, overwrite=False)
    assert made_here(path)
    write_atomically(path, f"new, {MADE_BY}".encode(), overwrite=False)
    assert path.read_bytes() == b"new, made by stopsheet"


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7 my own work", b"x" * 300_000])
def test_a_file_of_somebody_else_is_left_alone_unless_told(tmp_path: Path, data: bytes) -> None:
    """Without the mark a file stays as it was; with ``overwrite`` it is replaced."""
    path = tmp_path / "plan.pdf"
    path.write_bytes(data)
    with pytest.raises(Refusal, match="not made by stopsheet"):
        write_atomically(path, b"new", overwrite=False)
    assert path.read_bytes() == data
    write_atomically(path, b"new", overwrite=True)
    assert path.read_bytes() == b"new"


@pytest.mark.parametrize(
    "data",
    [
        b"BEGIN:VCALENDAR\r\nPRODID:-//stopsheet//practice//EN\r\n",
        b"x" * 200_000 + b"made by stopsheet\n",
        b"made by stopsheet" + b"x" * 200_000,
    ],
)
def test_the_mark_is_found_at_either_end(tmp_path: Path, data: bytes) -> None:
    """A calendar and long files are known by their first or last lines."""
    path = tmp_path / "file"
    path.write_bytes(data)
    assert made_here(path)


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """Writing through a link changes the file behind it."""
    behind, link = tmp_path / "behind.pdf", tmp_path / "link.pdf"
    behind.write_bytes(b"made by stopsheet")
    link.symlink_to(behind)
    write_atomically(link, b"new", overwrite=False)
    assert link.is_symlink()
    assert behind.read_bytes() == b"new"


def test_a_place_that_is_no_place_is_refused(tmp_path: Path) -> None:
    """A missing folder, a folder in the file's place, a file in the folder's place, a device, an odd name."""
    (tmp_path / "file").write_bytes(b"made by stopsheet")
    for path, words in (
        (tmp_path / "no" / "sheet.pdf", "There is no folder"),
        (tmp_path, "is a folder"),
        (tmp_path / "file" / "sheet.pdf", "is a file, not a folder"),
        (tmp_path / "nul\0.pdf", "not a name"),
        (tmp_path / ("n" * 400), "too long"),
    ):
        with pytest.raises(Refusal, match=words):
            write_atomically(path, b"new", overwrite=True)
    with pytest.raises(Refusal, match="not an ordinary file"):
        write_atomically(Path(os.devnull), b"new", overwrite=True)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "The disk is full"),
        (errno.EROFS, "may not be written"),
        (errno.EACCES, "may not be written"),
        (errno.EIO, "could not be written"),
    ],
)
def test_a_failed_write_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str
) -> None:
    """Disk full or read-only half way: one sentence, the old file whole, no temporary file."""
    path = tmp_path / "sheet.pdf"
    write_atomically(path, b"old, made by stopsheet", overwrite=False)

    def fails(_handle: int) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(files.os, "fsync", fails)
    with pytest.raises(Refusal, match=words):
        write_atomically(path, b"new", overwrite=False)
    assert path.read_bytes() == b"old, made by stopsheet"
    assert list(tmp_path.iterdir()) == [path]
