"""The shipped lexicon, and how well a sheet is read against a truth written by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from planner.data import drill_library
from planner.drills.library import read_vocabulary
from planner.drills.vocabulary import Vocabulary
from planner.film.intake import Intake
from planner.film.narration import Narration, load_narration
from planner.film.read import read_note
from planner.film.wording import Lexicon, load_lexicon

DATA = Path(__file__).resolve().parent.parent / "data" / "film"
Seen = tuple[int | None, str, frozenset[str], int]
Read = Callable[..., Intake]


@dataclass(frozen=True)
class Score:
    """``right`` of ``read`` sightings are true, of ``true`` ones there are; possessions and points too."""

    right: int
    read: int
    true: int
    possessions: bool
    points: bool
    false: tuple[Seen, ...]
    missed: tuple[Seen, ...]

    @property
    def precision(self) -> float:
        """Return the share of what was read that is true."""
        return self.right / self.read if self.read else 1.0

    @property
    def recall(self) -> float:
        """Return the share of what is true that was read."""
        return self.right / self.true if self.true else 1.0


def sheet_score(name: str, lexicon: Lexicon) -> Score:
    """Read ``name.txt`` and compare it with ``name.truth``.

    A truth holds ``possessions N``, ``points 2 0 - 3`` and lines of possession, breakdown and players.
    """
    intake = read_note(name, (DATA / f"{name}.txt").read_bytes(), lexicon)
    possessions: int | None = None
    points: tuple[int | None, ...] = ()
    true: Counter[Seen] = Counter()
    for line in (DATA / f"{name}.truth").read_text(encoding="utf-8").splitlines():
        first, *rest = line.split()
        if first == "possessions":
            possessions = int(rest[0])
        elif first == "points":
            points = tuple(None if one == "-" else int(one) for one in rest)
        else:
            times = [int(one[1:]) for one in rest[1:] if one.startswith("x")]
            players = frozenset(one for one in rest[1:] if not one.startswith("x"))
            true[(None if first == "-" else int(first), rest[0], players, (times or [1])[0])] += 1
    read = Counter((s.possession, s.breakdown, frozenset(s.players), s.count) for s in intake.sightings)
    return Score(
        (read & true).total(),
        read.total(),
        true.total(),
        intake.possessions == possessions,
        tuple(trip.points for trip in intake.trips) == points,
        tuple((read - true).elements()),
        tuple((true - read).elements()),
    )


@pytest.fixture(scope="session")
def vocabulary() -> Vocabulary:
    folder = drill_library()
    texts = [(folder / name).read_text(encoding="utf-8") for name in ("principles.toml", "breakdowns.toml")]
    read, problems = read_vocabulary(texts[0], texts[1])
    assert not problems
    return read


@pytest.fixture(scope="session")
def wording_files() -> list[tuple[str, str]]:
    folder = drill_library() / "wording"
    return [(path.name, path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.toml"))]


@pytest.fixture(scope="session")
def lexicon(vocabulary: Vocabulary, wording_files: list[tuple[str, str]]) -> Lexicon:
    made, problems = load_lexicon(wording_files, vocabulary)
    assert problems == []
    return made


@pytest.fixture(scope="session")
def read_bytes(lexicon: Lexicon) -> Read:
    """Return a reader of bytes: ``read_bytes(data, roster={"21"})``."""

    def reader(data: bytes, roster: set[str] | None = None) -> Intake:
        return read_note("notes.txt", data, lexicon, roster)

    return reader


@pytest.fixture(scope="session")
def ids(vocabulary: Vocabulary) -> tuple[str, ...]:
    return tuple(one.id for one in vocabulary.breakdowns)


@pytest.fixture(scope="session")
def read(lexicon: Lexicon) -> Read:
    """Return a reader of text: ``read("Q1 8:42 2 bo 21", roster={"21"})``."""

    def reader(text: str, roster: set[str] | None = None) -> Intake:
        return read_note("notes.txt", text.encode(), lexicon, roster)

    return reader


@pytest.fixture(scope="session")
def scored(lexicon: Lexicon) -> Callable[[str], Score]:
    return lambda name: sheet_score(name, lexicon)


@pytest.fixture(scope="session")
def scored_unclear(lexicon: Lexicon) -> Callable[[str], list[int | None]]:
    return lambda name: [
        one.line for one in read_note(name, (DATA / f"{name}.txt").read_bytes(), lexicon).unclear
    ]


@pytest.fixture(scope="session")
def narration(lexicon: Lexicon) -> Narration:
    return load_narration(lexicon.narration)
