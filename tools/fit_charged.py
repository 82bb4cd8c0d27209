"""Fit the weights by which players are charged over film: ``python -m tools.fit_charged [--check]``.

Learns from the annotated narrations (``tests/data/film/narrated/build``), as they are heard with
``learned.npz``, and from example sentences that name one player; writes ``planner/film/charged.toml``. With
``--check`` nothing is written: voices are left out in turn. Run it again after ``tools/fit_narration.py``;
same data, same bytes.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from planner.film.charged import FILE
from planner.film.clues import clues
from planner.film.cues import read_cues
from planner.film.hearing import Hearing
from planner.film.lexicon import Lexicon
from planner.film.narration import Narration, load_narration
from planner.film.spoken import PLAYER, Word, blocks, stream
from planner.film.stance import Stretch
from planner.film.talk import Talk
from planner.film.telling import Telling
from tests.film.scoring import NEAR, shipped_lexicon
from tools.fit_narration import BUILD, Voice, read_data, read_voices

LEAST = 40
"""Cases in which a clue must stand to be weighed."""
STRENGTH = 2.0
NOBODY = 1.0
"""Added to nobody: a player who did not do it is worse than none."""
ROUND = 0.05
"""Weights nearer to nought are left out."""
CUTS = ((0, 5), (3, 9))
"""Parts of a telling that are learned from too: words from its start."""
FEWEST = 3
SENTENCE = 0.2
"""What an example sentence counts: whoever it names did it, which talk is seldom so clear about."""
LONGEST, BESIDE = 24, 4
"""Words of a sentence that are told at most, and how near its end somebody stands beside what is told."""

ANYBODY = "10"
COLLECTIVE = frozenset({"nobody", "nobodys", "none", "noone"})
SUBJECT = 4
"""Words at the start of a telling within which these stand."""

Clued = list[tuple[tuple[str, ...], list[str]]]


@dataclass(frozen=True)
class Case:
    """A telling: who may be charged with which clues, and who did it."""

    clued: Clued
    true: frozenset[str]
    counts: float = 1.0

    @property
    def right(self) -> list[bool]:
        """Return which of the choices are right; where none is whole, one of two who did it is."""
        whole = [set(who) == self.true for who, _ in self.clued]
        if not any(whole):
            whole = [bool(who) and set(who) <= self.true for who, _ in self.clued]
        return whole if any(whole) else [not who for who, _ in self.clued]


@dataclass(frozen=True)
class Cases:
    """The tellings of a voice as they are heard, and all that is learned from."""

    heard: list[Case]
    every: list[Case]


def talk_of(voice: Voice, lexicon: Lexicon, narration: Narration) -> Talk:
    """Return the talk of a voice as it is heard."""
    words: list[Word] = []
    told: list[Telling] = []
    for block in voice.blocks:
        heard = Hearing(Stretch(block, narration, lexicon)).tellings()
        told += [replace(one, start=one.start + len(words), end=one.end + len(words)) for one in heard]
        words += block
    return Talk(words, told, voice.roster)


def matched(talk: Talk, truth: dict[str, Any]) -> list[tuple[Telling, frozenset[str]]]:
    """Return the tellings that are true, each with who did it; nearest in time first."""
    likely = [one for one in talk.told if one.odds > 0]
    true = truth["sightings"]
    pairs = sorted(
        (abs(talk.words[one.start].start / 1000 - seen["at"]), i, j)
        for i, one in enumerate(likely)
        for j, seen in enumerate(true)
        if one.breakdown == seen["breakdown"]
    )
    found: dict[int, int] = {}
    for apart, i, j in pairs:
        if apart <= NEAR and i not in found and j not in found.values():
            found[i] = j
    return [(likely[i], frozenset(true[j]["players"])) for i, j in sorted(found.items())]


def parts(told: Telling) -> list[Telling]:
    """Return shorter tellings of the same, as a team's own words or another reader may tell it."""
    starts = [(min(told.end - FEWEST, told.start + start), told.start + end) for start, end in CUTS]
    ends = [(start, max(start + FEWEST, min(told.end, end))) for start, end in starts]
    return [replace(told, start=start, end=end) for start, end in ends if start >= told.start]


def read_cases(folders: Sequence[Path]) -> dict[str, Cases]:
    """Return the cases of every voice: with the team's jerseys known, cut short, and with them unknown."""
    lexicon = shipped_lexicon()
    narration = load_narration(lexicon.narration)
    made: dict[str, Cases] = {}
    for voice in read_voices(folders, narration):
        talk = talk_of(voice, lexicon, narration)
        told = matched(talk, voice.truth)
        heard = [Case(clues(talk, one), true) for one, true in told]
        cut = [Case(clues(talk, part), true) for one, true in told for part in parts(one)]
        said = [narration.numerals.joined(block) for block in blocks(stream(read_cues(voice.text).cues))]
        bare = talk_of(replace(voice, roster=None, blocks=said), lexicon, narration)
        unknown = [Case(clues(bare, one), true) for one, true in matched(bare, voice.truth)]
        made[voice.name] = Cases(heard, [*heard, *cut, *unknown])
    return made


def sentence_cases() -> list[Case]:
    """Return the example sentences that name one player: told as a whole, and told beside his name."""
    data = read_data([])
    made: list[Case] = []
    for words, breakdown, _ in data.said:
        at = [place for place, word in enumerate(words) if word == PLAYER]
        if len(at) != 1 or len(words) <= FEWEST:
            continue
        said = [Word(text, text, 333 * i, 333 * i + 333, 0) for i, text in enumerate(words)]
        said[at[0]] = replace(said[at[0]], player=ANYBODY)
        for start, end in _spans(at[0], len(words)):
            collective = not COLLECTIVE.isdisjoint(words[start : start + SUBJECT])
            told = Telling(breakdown, start, end, 1.0, collective)
            talk = Talk(said, [told], {ANYBODY})
            made.append(Case(clues(talk, told), frozenset({ANYBODY}), SENTENCE))
    return made


def _spans(named: int, size: int) -> list[tuple[int, int]]:
    spans = [(0, min(LONGEST, size))]
    if named < BESIDE and size - named > FEWEST:
        spans.append((named + 1, size))
    if size - named <= BESIDE and named >= FEWEST:
        spans.append((0, named))
    return spans


def fit(cases: Sequence[Case]) -> dict[str, float]:
    """Return the weights under which those who did it are likeliest."""
    seen = Counter(clue for case in cases for clue in {clue for _, found in case.clued for clue in found})
    column = {clue: at for at, clue in enumerate(sorted(one for one, many in seen.items() if many >= LEAST))}
    rows = [(case, found) for case, one in enumerate(cases) for _, found in one.clued]
    entries = [(row, column[clue]) for row, (_, found) in enumerate(rows) for clue in found if clue in column]
    matrix = csr_matrix((np.ones(len(entries)), np.array(entries).T), shape=(len(rows), len(column)))
    case = np.array([one for one, _ in rows])
    right = np.array([float(one) for each in cases for one in each.right])
    counts = np.array([each.counts for each in cases])

    def loss(weights: Any) -> tuple[float, Any]:
        score = matrix @ weights
        most = np.full(len(cases), -np.inf)
        np.maximum.at(most, case, score)
        grown = np.exp(score - most[case])
        every, good = np.bincount(case, grown), np.bincount(case, grown * right)
        slope = matrix.T @ (counts[case] * (grown / every[case] - grown * right / (good[case] + 1e-12)))
        lost = counts @ (np.log(every) - np.log(good + 1e-12))
        return lost + STRENGTH * weights @ weights / 2, slope + STRENGTH * weights

    found = minimize(loss, np.zeros(len(column)), jac=True, method="L-BFGS-B", options={"maxiter": 500}).x
    made = {clue: float(found[at]) for clue, at in column.items()}
    made["none"] = made.get("none", 0.0) + NOBODY
    return {clue: round(weight, 2) for clue, weight in made.items() if abs(weight) >= ROUND}


def outcome(case: Case, weights: dict[str, float]) -> str:
    """Return how a case is charged: right, nobody, or wrong."""
    who = max(
        (sum(weights.get(clue, 0.0) for clue in found), -at) for at, (_, found) in enumerate(case.clued)
    )
    charged = set(case.clued[-who[1]][0])
    return "right" if charged == case.true else "wrong" if charged else "nobody"


def write(weights: dict[str, float], cases: int) -> None:
    """Write the weights, a line for each clue."""
    lines = [
        "# What clues weigh for charging a player, as log odds.",
        f"# Made by 'python -m tools.fit_charged' from {cases} tellings; do not edit.",
        "[clue]",
        *(f"{json.dumps(clue)} = {weight}" for clue, weight in sorted(weights.items())),
    ]
    FILE.write_text("\n".join(lines) + "\n", encoding="utf-8")


def main() -> None:
    """Fit and write, or check."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--check", action="store_true")
    told.add_argument("--folds", type=int, default=8)
    told.add_argument("--folder", type=Path, action="append")
    options = told.parse_args()
    voices = read_cases(options.folder or [BUILD])
    sentences = sentence_cases()
    every = [*sentences, *(case for cases in voices.values() for case in cases.every)]
    if not options.check:
        write(fit(every), len(every))
        return
    whole: Counter[str] = Counter()
    for out in range(options.folds):
        rest = [
            case
            for at, cases in enumerate(voices.values())
            if at % options.folds != out
            for case in cases.every
        ]
        weights = fit([*sentences, *rest])
        for at, (name, cases) in enumerate(voices.items()):
            if at % options.folds == out:
                counts = Counter(outcome(case, weights) for case in cases.heard)
                sys.stdout.write(f"{name:24s} {dict(counts)}\n")
                whole += counts
    sys.stdout.write(f"{'all':24s} {dict(whole)} {whole['right'] / whole.total():.3f} right\n")


if __name__ == "__main__":
    main()
