"""Reading the shipped drill library and the team's own drills from their folders."""

from __future__ import annotations

import functools
import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner import data
from planner.drills.library import Library, Shelf, read_shelf, read_vocabulary
from planner.drills.vocabulary import Vocabulary
from planner.problem import Problem
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.court.geometry import Court

MAX_BYTES = 400_000
RULES = ("school", "college", "international")
"""Rule books whose courts ship with the library."""

_COPIED = re.compile(r"^# copied from: ([a-z0-9-]{1,80}) ([0-9a-f]{64})$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Text:
    """One file as it lies: the name it goes by in messages, and its bytes."""

    name: str
    raw: bytes

    @property
    def text(self) -> str:
        """Return the text with plain line ends.

        Raises:
            UnicodeDecodeError: it is not UTF-8.

        """
        return self.raw.decode("utf-8").replace("\r\n", "\n")


def load_library(own: Path | None = None, cache: Path | None = None, root: Path | None = None) -> Library:
    """Return vocabulary and drills; a team's own drill replaces the shipped one of the same id.

    ``cache`` is a folder in which what was read may be kept, to be read faster next time; ``root`` is
    another library than the shipped one.
    """
    root = root or data.drill_library()
    shipped, problems = _files((root / "drills").glob("*.toml"))
    words = [Text(name, (root / name).read_bytes()) for name in ("principles.toml", "breakdowns.toml")]
    vocabulary, faults, shelf = _shipped(words, shipped, cache)
    problems += [*faults, *shelf.problems]
    mine, faults = own_files(own) if own else ([], [])
    own_shelf = _own(mine, vocabulary, cache, hashlib.sha256(words[0].raw + words[1].raw).hexdigest())
    problems += [*faults, *own_shelf.problems]
    drills = dict(sorted({**shelf.drills, **own_shelf.drills}.items()))
    return Library(
        vocabulary,
        tuple(drills.values()),
        tuple(problems),
        {**shelf.rows, **own_shelf.rows},
        frozenset(own_shelf.drills),
        _changed(mine, shipped),
    )


def own_files(folder: Path) -> tuple[list[Text], list[Problem]]:
    """Return the files of the team's own drills under their whole paths, and those that cannot be read."""
    return _files(folder.glob("*.toml"), whole=True) if folder.is_dir() else ([], [])


@functools.cache
def court_of(rules: str) -> Court:
    """Return the court of a rule book that ships with the library.

    Raises:
        ValueError: the library's own file cannot be used.

    """
    from planner.court.geometry import read_court

    path = data.drill_library() / "courts" / f"{rules}.toml"
    court, problems = read_court(path.name, path.read_text("utf-8"))
    if court is None:
        raise ValueError("; ".join(str(one) for one in problems))
    return court


def origin_line(drill: str, shipped: Text) -> str:
    """Return the line that a copy carries, so that a later change of the original is seen."""
    return f"# copied from: {drill} {digest_of(shipped)}"


def origin_of(text: str) -> tuple[str, str] | None:
    """Return the shipped drill a file was copied from and what it read then, or None."""
    found = _COPIED.search(text[:4_000])
    return (found[1], found[2]) if found else None


def digest_of(text: Text) -> str:
    """Return what tells one state of a file from another, whatever its line ends."""
    return hashlib.sha256(text.raw.replace(b"\r\n", b"\n")).hexdigest()


def _shipped(
    words: Sequence[Text], files: Sequence[Text], cache: Path | None
) -> tuple[Vocabulary, list[Problem], Shelf]:
    from planner.desk import shelf_cache

    key = shelf_cache.key_of([*words, *files])
    if kept := shelf_cache.fetch(cache, "library", key):
        return kept
    vocabulary, faults = read_vocabulary(words[0].text, words[1].text)
    shelf = _read(files, vocabulary, named_by_id=False)
    shelf_cache.keep(cache, "library", key, (vocabulary, faults, shelf))
    return vocabulary, faults, shelf


def _own(files: Sequence[Text], vocabulary: Vocabulary, cache: Path | None, words: str) -> Shelf:
    from planner.desk import shelf_cache

    if not files:
        return Shelf({}, {}, ())
    key = shelf_cache.key_of([Text("words", words.encode()), *files])
    if kept := shelf_cache.fetch(cache, "own", key):
        return kept[2]
    shelf = _read(files, vocabulary, named_by_id=True)
    shelf_cache.keep(cache, "own", key, (Vocabulary((), ()), [], shelf))
    return shelf


def _read(files: Iterable[Text], vocabulary: Vocabulary, *, named_by_id: bool) -> Shelf:
    texts: list[tuple[str, str]] = []
    unreadable: list[Problem] = []
    for one in files:
        try:
            texts.append((one.name, one.text))
        except UnicodeDecodeError:
            unreadable.append(Problem(one.name, None, "cannot be read: not UTF-8 text"))
    shelf = read_shelf(texts, vocabulary, named_by_id=named_by_id)
    return Shelf(shelf.drills, shelf.rows, (*unreadable, *shelf.problems))


def _changed(mine: Iterable[Text], shipped: Iterable[Text]) -> frozenset[str]:
    """Return which own drills were copied from a shipped one that reads otherwise now, or is gone."""
    copies = {
        Path(one.name).stem: found
        for one in mine
        if (found := origin_of(one.raw[:4_000].decode("utf-8", "replace")))
    }
    wanted = {origin for origin, _ in copies.values()}
    now = {Path(one.name).stem: digest_of(one) for one in shipped if Path(one.name).stem in wanted}
    return frozenset(one for one, (origin, digest) in copies.items() if now.get(origin) != digest)


def _files(paths: Iterable[Path], *, whole: bool = False) -> tuple[list[Text], list[Problem]]:
    """Return what lies in each readable file, by name, and a problem per other."""
    texts: list[Text] = []
    problems: list[Problem] = []
    for path in sorted(paths):
        name = shown(path) if whole else clean_line(path.name, 120)
        try:
            if not path.is_file():
                problems.append(Problem(name, None, "is no ordinary file; not read"))
            elif path.stat().st_size > MAX_BYTES:
                problems.append(Problem(name, None, f"larger than {MAX_BYTES} bytes; not read"))
            else:
                texts.append(Text(name, path.read_bytes()))
        except OSError as fault:
            problems.append(Problem(name, None, f"cannot be read: {fault.strerror or 'unreadable'}"))
    return texts, problems


def shown(path: Path) -> str:
    """Return a path as it may be printed."""
    return clean_line(str(path), 400)


def texts_of(files: Iterable[Text]) -> Mapping[str, str]:
    """Return file name -> text of those that are text."""
    return {one.name: one.raw.decode("utf-8", "replace").replace("\r\n", "\n") for one in files}
