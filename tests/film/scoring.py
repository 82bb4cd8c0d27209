"""How well narrated films are read against truths written by hand: ``python -m tests.film.scoring FOLDER``.

A truth is ``{"sightings": [{"at": 63.0, "breakdown": "no-box-out", "players": ["21"]}], "traps": [{"at":
120.0, "kind": "praise"}]}``. A proposal is right when the same breakdown is true within 15 seconds, each
once; a trap is sprung when a proposal that is not right stands within 10 seconds of it.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from planner.data import drill_library
from planner.drills.library import read_vocabulary
from planner.film.captions import read_captions
from planner.film.cues import instant
from planner.film.intake import Sighting
from planner.film.lexicon import Lexicon
from planner.film.wording import load_lexicon

NEAR = 15.0
TRAP = 10.0


@dataclass
class Score:
    """What was read of one film or of several."""

    right: int = 0
    proposed: int = 0
    true: int = 0
    charged: int = 0
    """Of those right, how many with exactly the players of the truth."""
    sprung: Counter[str] = field(default_factory=Counter)
    traps: Counter[str] = field(default_factory=Counter)
    false: list[Sighting] = field(default_factory=list)
    missed: list[dict[str, Any]] = field(default_factory=list)
    sure: list[tuple[float, bool]] = field(default_factory=list)
    """How sure each proposal is, and whether it is right."""

    def add(self, other: Score) -> None:
        """Count another film in."""
        self.right += other.right
        self.proposed += other.proposed
        self.true += other.true
        self.charged += other.charged
        self.sprung += other.sprung
        self.traps += other.traps

    @property
    def recall(self) -> float:
        """Return the share of what is true that was proposed."""
        return self.right / self.true if self.true else 1.0

    @property
    def precision(self) -> float:
        """Return the share of what was proposed that is true."""
        return self.right / self.proposed if self.proposed else 1.0

    @property
    def share_sprung(self) -> float:
        """Return the share of traps that were taken for a breakdown."""
        return self.sprung.total() / self.traps.total() if self.traps else 0.0

    def __str__(self) -> str:
        """Return the figures in one line."""
        return (
            f"recall {self.recall:.3f} ({self.right} of {self.true})  precision {self.precision:.3f}"
            f" (of {self.proposed})  traps sprung {self.sprung.total()} of {self.traps.total()}"
            f"  players right {self.charged} of {self.right}"
        )


def shipped_lexicon() -> Lexicon:
    """Return the lexicon of the library."""
    folder = drill_library()
    vocabulary, _ = read_vocabulary(
        *((folder / name).read_text(encoding="utf-8") for name in ("principles.toml", "breakdowns.toml"))
    )
    files = [
        (path.name, path.read_text(encoding="utf-8")) for path in sorted((folder / "wording").glob("*.toml"))
    ]
    return load_lexicon(files, vocabulary)[0]


def film_score(captions: Path, lexicon: Lexicon, *, roster: bool = True) -> Score:
    """Read a caption file and compare it with the truth beside it; the roster is that of the truth."""
    truth = json.loads(captions.with_name(f"{captions.stem}.truth.json").read_text(encoding="utf-8"))
    jerseys = {jersey for one in truth["sightings"] for jersey in one["players"]}
    text = captions.read_text(encoding="utf-8")
    read = read_captions(text, lexicon, jerseys if roster and jerseys else None)
    return compared(read.sightings, truth)


def compared(proposals: tuple[Sighting, ...], truth: dict[str, Any]) -> Score:
    """Match proposals with a truth, nearest in time first."""
    true = truth["sightings"]
    pairs = sorted(
        (abs(_at(read) - one["at"]), i, j)
        for i, read in enumerate(proposals)
        for j, one in enumerate(true)
        if read.breakdown == one["breakdown"] and abs(_at(read) - one["at"]) <= NEAR
    )
    right: dict[int, int] = {}
    for _, i, j in pairs:
        if i not in right and j not in right.values():
            right[i] = j
    false = [read for i, read in enumerate(proposals) if i not in right]
    traps = truth.get("traps", [])
    sprung = [trap for trap in traps if any(abs(_at(read) - trap["at"]) <= TRAP for read in false)]
    return Score(
        right=len(right),
        proposed=len(proposals),
        true=len(true),
        charged=sum(set(proposals[i].players) == set(true[j]["players"]) for i, j in right.items()),
        sprung=Counter(trap["kind"] for trap in sprung),
        traps=Counter(trap["kind"] for trap in traps),
        false=false,
        missed=[one for j, one in enumerate(true) if j not in right.values()],
        sure=[(read.sure, i in right) for i, read in enumerate(proposals)],
    )


def folder_score(folder: Path, lexicon: Lexicon, *, roster: bool = True) -> dict[str, Score]:
    """Return the score of every film of a folder by name, and of all together under ``all``."""
    films = sorted(path for path in folder.iterdir() if path.suffix in (".vtt", ".srt"))
    scores = {path.stem: film_score(path, lexicon, roster=roster) for path in films}
    return {**scores, "all": total(scores.values())}


def total(scores: Iterable[Score]) -> Score:
    """Return the sum of scores."""
    whole = Score()
    for one in scores:
        whole.add(one)
    return whole


def _at(read: Sighting) -> float:
    return (instant(read.start or "") or 0) / 1000


if __name__ == "__main__":
    told = folder_score(Path(sys.argv[1]), shipped_lexicon(), roster="--no-roster" not in sys.argv)
    for name, score in told.items():
        sys.stdout.write(f"{name:16s} {score}\n")
        if "--show" in sys.argv:
            for read in score.false:
                sys.stdout.write(
                    f"    false  {read.start} {read.sure} {read.breakdown} {read.players} | {read.text}\n"
                )
            for one in score.missed:
                sys.stdout.write(f"    missed {one['at']} {one['breakdown']} {one['players']}\n")
    sys.stdout.write(f"sprung by kind: {dict(told['all'].sprung)} of {dict(told['all'].traps)}\n")
