"""Files that leave the program: written whole or not at all, and never over somebody else's."""

from __future__ import annotations

import contextlib
import errno
import os
import tempfile
from pathlib import Path

from planner.problem import Refusal
from planner.text import clean_line

MADE_BY = "made by stopsheet"
"""The words by which the program knows its own files again; every kind of file carries them."""

_MARKS = (MADE_BY.encode(), b"PRODID:-//stopsheet//")
_ENDS = 64 * 1024
_FULL = frozenset({errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)})
_SHUT = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})


def made_here(path: Path) -> bool:
    """Say whether the file at ``path`` carries the program's mark near its beginning or its end."""
    try:
        with path.open("rb") as file:
            head = file.read(_ENDS)
            size = file.seek(0, os.SEEK_END)
            file.seek(max(0, size - _ENDS))
            tail = file.read(_ENDS)
    except OSError:
        return False
    return any(mark in head or mark in tail for mark in _MARKS)


def write_atomically(path: Path, data: bytes, overwrite: bool) -> Path:
    """Write ``data`` to ``path`` whole or not at all, readable by its owner only; return where it lies.

    A file that this program made before is replaced; any other only when ``overwrite`` says so. A link is
    followed, so that the link stays.

    Raises:
        Refusal: the folder is missing or read-only, the disk is full, or the file is somebody else's.

    """
    shown = clean_line(str(path), 300)
    try:
        target = Path(os.path.realpath(path))
        _permit(target, shown, overwrite)
        _replace(target, data)
    except OSError as error:
        raise Refusal(_reason(error, shown)) from None
    except ValueError:
        raise Refusal(f"'{shown}' is not a name that a file can have; choose another.") from None
    return target


def _permit(target: Path, shown: str, overwrite: bool) -> None:
    if not target.parent.exists():
        folder = clean_line(str(target.parent), 300)
        raise Refusal(f"There is no folder '{folder}'; make it first, or choose another place for the file.")
    if not target.parent.is_dir():
        raise Refusal(
            f"'{clean_line(str(target.parent), 300)}' is a file, not a folder; choose another place."
        )
    if target.is_dir():
        raise Refusal(f"'{shown}' is a folder; give the name of a file inside it.")
    if target.exists() and not target.is_file():
        raise Refusal(f"'{shown}' is not an ordinary file, so it is left alone; choose another name.")
    if target.exists() and not overwrite and not made_here(target):
        raise Refusal(
            f"'{shown}' was not made by stopsheet, so it is left alone; choose another name, "
            "or say to overwrite it."
        )


def _replace(target: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=".stopsheet-", suffix=".part", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise


def _reason(error: OSError, shown: str) -> str:
    if error.errno in _FULL:
        return f"The disk is full, so '{shown}' was not written; free some space or choose another disk."
    if error.errno in _SHUT:
        return (
            f"'{shown}' may not be written (read-only, or open elsewhere); choose another folder or close it."
        )
    if error.errno == errno.ENAMETOOLONG:
        return "The name of the file is too long; choose a shorter one."
    why = clean_line(error.strerror or "no reason given", 100)
    return f"'{shown}' could not be written ({why}); choose another place."
