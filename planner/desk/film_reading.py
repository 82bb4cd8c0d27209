"""Film notes read at the desk with what the team knows; nothing is added."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner import data
from planner.desk.desk import Desk
from planner.film.bounds import MOST_BYTES, megabytes
from planner.film.intake import Intake
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.film.answers import Answers
    from planner.film.table_columns import Columns
    from planner.film.wording import Lexicon

MOST_FILES = 2_000
ENDINGS = frozenset({".txt", ".md", ".csv", ".tsv", ".tab", ".xlsx", ".xlsm", ".vtt", ".srt"})
"""What is taken from a folder; a file that is named is read whatever its ending."""
LEARNT, COLUMNS = "learnt-words", "film-columns"
"""Settings: the team's own words, and what it said of the columns of its tables."""
_MOST_HEADERS = 100

Step = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Reading:
    """One file as it was read: its bytes and what they say."""

    path: Path
    raw: bytes
    intake: Intake


@dataclass(frozen=True, slots=True)
class Refused:
    """One file that gave nothing, and why in a sentence."""

    path: Path
    why: str

    def as_json(self) -> dict[str, Any]:
        """Return it in the shape of a reading, empty."""
        return {
            "file": clean_line(self.path.name, 200),
            "kind": None,
            "possessions": None,
            "sightings": [],
            "unclear": [],
            "problems": [self.why],
            "refused": self.why,
        }


@dataclass(frozen=True, slots=True)
class Added:
    """What became of one file; ``number`` is its intake, None where the very same file is already in."""

    reading: Reading
    number: int | None
    game: str


@dataclass(frozen=True, slots=True)
class Batch:
    """What became of several files, each whole or not at all."""

    readings: tuple[Reading, ...] = ()
    added: tuple[Added, ...] = ()
    refused: tuple[Refused, ...] = ()
    left_alone: int = 0

    @property
    def new(self) -> tuple[Added, ...]:
        """Return the files that added something."""
        return tuple(one for one in self.added if one.number is not None)


def lexicon(desk: Desk, *, own: bool = True) -> Lexicon:
    """Return the words in which coaches write breakdowns, compiled, the team's own among them if ``own``."""
    from planner.film.learnt import usable
    from planner.film.wording import load_lexicon

    folder = data.drill_library() / "wording"
    files = [(one.name, one.read_text("utf-8")) for one in sorted(folder.glob("*.toml"))]
    words = load_lexicon(files, desk.library.vocabulary)[0]
    if not own or not desk.has_team():
        return words
    with desk.reading() as session:
        taught = usable(queries.setting(session, LEARNT), words)
    return words.with_words(taught) if taught else words


def film_files(paths: Sequence[Path]) -> tuple[list[Path], int]:
    """Return the files among paths and folders, each once, and how many others a folder holds.

    Folders are gone through in order of names, hidden ones and links to folders left out.

    Raises:
        Refusal: a folder holds no film note, or there are more than 2,000 files.

    """
    found: dict[str, Path] = {}
    others = 0
    for path in paths:
        if not is_folder(path):
            found.setdefault(str(path), path)
            continue
        inside = list(_inside(path))
        notes = [one for one in inside if one.suffix.lower() in ENDINGS]
        if not notes:
            shown = clean_line(str(path), 120)
            raise Refusal(f"The folder '{shown}' holds no film note ({', '.join(sorted(ENDINGS))}).")
        others += len(inside) - len(notes)
        for one in notes:
            found.setdefault(str(one), one)
    if len(found) > MOST_FILES:
        raise Refusal(f"Those are more than {MOST_FILES:,} files; add fewer at a time.")
    return list(found.values()), others


def is_folder(path: Path) -> bool:
    """Say whether a path is a folder; one that cannot even be looked at is none."""
    try:
        return path.is_dir()
    except OSError:
        return False


def _inside(folder: Path) -> list[Path]:
    found: list[Path] = []
    for root, folders, files in os.walk(folder):
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        found += [Path(root) / one for one in sorted(files) if not one.startswith(".")]
        if len(found) > 10 * MOST_FILES:
            raise Refusal(
                f"'{clean_line(str(folder), 120)}' holds too many files; name the folder of the notes."
            )
    return found


def read_files(
    desk: Desk,
    paths: Sequence[Path],
    *,
    columns: Sequence[str] = (),
    possessions: int | None = None,
    step: Step | None = None,
) -> Batch:
    """Read files without adding anything; one that cannot be read is among ``refused``.

    ``columns`` are corrections such as ``Mistake=breakdown``, remembered for the header they stand in;
    ``possessions`` is how many were watched, for notes that do not say; ``step`` is told each name.

    Raises:
        Refusal: a correction says nothing, or no table has such a column.

    """
    from planner.film.read import with_possessions

    files, others = film_files(paths)
    reader = _Reader(desk, columns)
    readings: list[Reading] = []
    refused: list[Refused] = []
    for path in files:
        try:
            raw = _bytes(path)
            intake = reader.read(path, raw)
            if possessions is not None:
                intake = with_possessions(intake, possessions)
            readings.append(Reading(path, raw, intake))
        except Refusal as refusal:
            refused.append(Refused(path, str(refusal)))
        if step is not None:
            step(clean_line(path.name, 60))
    reader.remember(readings)
    return Batch(tuple(readings), (), tuple(refused), others)


class _Reader:
    """Reads with what the team knows: its words, roster, names and columns."""

    def __init__(self, desk: Desk, columns: Sequence[str]) -> None:
        from planner.film.table_columns import Columns, told_columns
        from planner.film.table_players import name_keys

        self.desk = desk
        self.words = lexicon(desk)
        self.roster: frozenset[str] | None = None
        self.names: Mapping[str, str] = {}
        self.told = told_columns(columns, self.words)
        self.columns: Columns = Columns(self.told)
        self.answers: Answers = {}
        if desk.has_team():
            with desk.reading() as session:
                players = queries.players(session)
                known = queries.setting(session, COLUMNS) or {}
                self.answers = queries.answers(session)
            self.roster = frozenset(one.jersey for one in players) or None
            self.names = name_keys((one.jersey, one.name) for one in players)
            self.columns = Columns(self.told, known)

    def read(self, path: Path, raw: bytes) -> Intake:
        from planner.film.answers import with_answers
        from planner.film.read import read_note

        read = read_note(path.name, raw, self.words, self.roster, names=self.names, columns=self.columns)
        return with_answers(read, self.answers)

    def remember(self, readings: Sequence[Reading]) -> None:
        """Keep what was said of columns for the next file with the same header."""
        if not self.told:
            return
        headers = dict.fromkeys(one.intake.header for one in readings if one.intake.header)
        fitting = {
            key: {title: meant for title, meant in self.told.items() if title in key.split("|")}
            for key in headers
        }
        missing = [title for title in self.told if not any(title in one for one in fitting.values())]
        if missing and readings:
            raise Refusal(f"No table read has a column '{missing[0]}'; nothing was remembered.")
        if not self.desk.has_team():
            return
        with self.desk.writing() as session:
            before = queries.setting(session, COLUMNS)
            known = dict(before or {})
            for key, said in fitting.items():
                if said:
                    known[key] = {**known.pop(key, {}), **said}
            known = dict(list(known.items())[-_MOST_HEADERS:])
            if known != before:
                queries.set_setting(session, COLUMNS, known)
                self.desk.note(session, "setting", "what columns mean", {"key": COLUMNS, "before": before})


def _bytes(path: Path) -> bytes:
    shown = clean_line(str(path), 120)
    try:
        if not path.is_file():
            raise Refusal(f"'{shown}' is {_kind(path)}; name a film note.")
        if path.stat().st_size > MOST_BYTES:
            raise Refusal(f"'{shown}' is larger than {megabytes(MOST_BYTES)}; that is no film note.")
        return path.read_bytes()
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "unreadable"
        raise Refusal(f"'{shown}' cannot be read: {reason}.") from None


def _kind(path: Path) -> str:
    if path.is_dir():
        return "a folder"
    if path.exists():
        return "no file that can be read"
    return "a link to nothing" if path.is_symlink() else "not there"
