"""What a team has besides the database: its own drills, the trash, live entries, the running practice."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from planner.paper.files import write_atomically
from planner.problem import Refusal
from planner.text import clean_line

FOLDERS = ("drills", "trash", "live", "floor")
LARGEST = 4_000_000
"""Bytes of one file."""

_NAME = re.compile(
    r"(?:drills|trash)/(?P<toml>[^/\\:\x00-\x1f\x7f]{1,200})\.toml"
    r"|live/(?:(?:added|dropped)/)?game-[0-9]{1,18}[0-9A-Za-z-]{0,60}\.keys"
    r"|floor/(?:running|logged|dropped)\.json"
)
_SECONDS_OLD = 3600


def is_own_name(name: str) -> bool:
    """Return whether ``name`` can be that of a team's file: ``folder/name`` within the data folder."""
    found = _NAME.fullmatch(name)
    return found is not None and not (found["toml"] or "").startswith(".")


def own_data(home: Path) -> dict[str, bytes]:
    """Return name -> bytes of every file of the team's own in a data folder, by name.

    Raises:
        Refusal: one of them cannot be read, so that a copy would lack it.

    """
    found: dict[str, bytes] = {}
    for name in sorted(_names(home)):
        path = home / name
        try:
            if path.is_file():
                found[name] = path.read_bytes()
        except FileNotFoundError:
            continue  # put aside while we were looking: it is found under its other name
        except OSError as fault:
            why = fault.strerror or "unreadable"
            raise Refusal(
                f"'{clean_line(str(path), 300)}' cannot be read ({why}); nothing was saved."
            ) from None
    return found


def put_own_data(home: Path, files: Mapping[str, bytes]) -> None:
    """Let the team's own files be exactly these.

    Raises:
        Refusal: one cannot be written.

    """
    for name, data in files.items():
        path = home / name
        if not path.is_file() or path.read_bytes() != data:
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            write_atomically(path, data, overwrite=True)
    for name in set(_names(home)) - set(files):
        (home / name).unlink(missing_ok=True)


def leftovers(home: Path, now: dt.datetime) -> list[Path]:
    """Return what writing that was cut short left behind, an hour old at least: nobody is at work on it."""
    found = []
    for folder in (home, home / "backups", home / "prints", home / "cache", *_data_folders(home)):
        if folder.is_dir():
            found += [one for one in folder.iterdir() if one.name.endswith(".part")]
    return sorted(one for one in found if now.timestamp() - one.lstat().st_mtime > _SECONDS_OLD)


def _data_folders(home: Path) -> Iterator[Path]:
    for name in FOLDERS:
        yield home / name
    yield home / "live" / "added"
    yield home / "live" / "dropped"


def _names(home: Path) -> Iterator[str]:
    for folder in _data_folders(home):
        if folder.is_dir():
            for one in folder.iterdir():
                name = one.relative_to(home).as_posix()
                if is_own_name(name):
                    yield name
