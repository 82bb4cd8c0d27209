"""Fit the weights by which narrated film is read: ``python -m tools.fit_narration [--check] [--folds 6]``.

Learns from the example sentences of the library (``wording/spoken*.toml``), from those that only the fit
reads (``tests/data/film/sentences``) and from the annotated narrations (``tests/data/film/narrated/build``),
and writes ``planner/film/learned.npz``. With ``--check`` nothing is written: voices are left out in turn and
read with what was learned from the others.
Needs scikit-learn (the dev group); same data, same bytes.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import multiprocessing
import pickle
import random
import sys
import time
import tomllib
import warnings
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from scipy.sparse import csr_matrix
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.linear_model import LogisticRegression
from sklearn.preprocessing import StandardScaler
from sklearn.svm import LinearSVC
from threadpoolctl import threadpool_limits

from planner.film import hearing
from planner.film.captions import read_captions
from planner.film.cues import read_cues
from planner.film.grams import Grams, about, said
from planner.film.hearing import Hearing
from planner.film.learned import FILE, KINDS, Head, Learned
from planner.film.lexicon import Lexicon
from planner.film.narration import Narration, load_narration
from planner.film.signs import names
from planner.film.spoken import Word, blocks, sentence, stream
from planner.film.stance import Stretch
from planner.film.trees import Trees
from tests.film.scoring import Score, compared, shipped_lexicon, total

ROOT = Path(__file__).parent.parent
BUILD = ROOT / "tests/data/film/narrated/build"
SENTENCES = ROOT / "tests/data/film/sentences"
WORDING = ROOT / "drill_library/wording"
LONGEST = 28
"""Words after the start of a telling that are taken for it, unless the next begins before."""
EARLY, LATE = -7.0, 12.0
"""Seconds around the start of a telling within which a candidate is about it."""
SHIFT = 0.1
"""Added to the log odds, so that 0.5 is where found and right balance (see ``--check``)."""
SPREAD = 10.0
"""What makes shares of margins: the value at which the unseen are likeliest (tried 3 to 12)."""
SEED = 7
REMARKS, REMARK = 500, 0.3
"""Sentences left out with each fold, and what one counts when signs are weighed."""
PROCESSES = 2
TREES, LEAVES = 240, 8
"""How many trees weigh the signs, and the most ends of each."""
NO_TREES = Trees(*(np.zeros((0, 1), dtype=np.int16) for _ in range(5)), 0, 0.0)

Examples = list[tuple[list[str], Any, float]]


@dataclass(frozen=True)
class Voice:
    """An annotated narration: its blocks of words, and what is true of it."""

    name: str
    text: str
    roster: frozenset[str] | None
    blocks: list[list[Word]]
    truth: dict[str, Any]

    @property
    def words(self) -> list[Word]:
        """Return all words in order."""
        return [word for block in self.blocks for word in block]

    def place(self, at: float) -> int:
        """Return the place of the word said at a second."""
        words = self.words
        later = (i for i, word in enumerate(words) if word.start / 1000 >= at - 0.4)
        return next(later, len(words) - 1)

    def windows(self) -> list[tuple[int, int, dict[str, Any]]]:
        """Return (start, end, truth) of what is told and of traps."""
        events = sorted([*self.truth["sightings"], *self.truth["traps"]], key=lambda one: one["at"])
        places = [self.place(one["at"]) for one in events]
        made = []
        for event, place in zip(events, places, strict=True):
            after = [other for other in places if other > place + 5]
            made.append((max(0, place - 2), min([place + LONGEST, *after[:1], len(self.words)]), event))
        return made


def read_voice(path: Path, narration: Narration) -> Voice:
    """Return the narration of a caption file with its truth beside it."""
    truth = json.loads(path.with_name(f"{path.stem}.truth.json").read_text(encoding="utf-8"))
    roster = frozenset(jersey for one in truth["sightings"] for jersey in one["players"]) or None
    text = path.read_text(encoding="utf-8")
    numerals = narration.numerals.with_roster(roster)
    return Voice(
        f"{path.parent.name}/{path.stem}", text, roster,
        [numerals.joined(block) for block in blocks(stream(read_cues(text).cues))], truth,
    )  # fmt: skip


def read_voices(folders: Sequence[Path], narration: Narration) -> list[Voice]:
    """Return every narration of some folders."""
    paths = [
        path for folder in folders for path in sorted(folder.iterdir()) if path.suffix in (".vtt", ".srt")
    ]
    return [read_voice(path, narration) for path in paths]


@dataclass(frozen=True)
class Data:
    """What there is to learn from."""

    lexicon: Lexicon
    narration: Narration
    said: Examples
    turned: Examples
    followed: Examples
    voices: list[Voice]


def sentence_files() -> list[Path]:
    """Return the files of sentences that only the fit reads."""
    return sorted(SENTENCES.glob("*.toml"))


def read_data(folders: Sequence[Path]) -> Data:
    """Return the example sentences and the narrations."""
    lexicon = shipped_lexicon()
    narration = load_narration(lexicon.narration)
    tables = [lexicon.narration, *(tomllib.loads(one.read_text("utf-8")) for one in sentence_files())]

    def sentences(key: str) -> Examples:
        told = [(one, name) for table in tables for name, many in table.get(key, {}).items() for one in many]
        return [
            ([word.text for word in narration.numerals.joined(sentence(one))], name, 1.0)
            for one, name in dict.fromkeys(told)
        ]

    return Data(
        lexicon, narration, sentences("said"), sentences("turned"), sentences("followed"),
        read_voices(folders, narration),
    )  # fmt: skip


def about_examples(data: Data, voices: Sequence[Voice]) -> Examples:
    """Return what talk is about: sentences, and the tellings of narrations cut long and short."""
    made = list(data.said)
    for voice in voices:
        words = [word.text for word in voice.words]
        for start, end, event in voice.windows():
            if "players" in event:
                made.append((words[start:end], event["breakdown"], 0.8))
                made.append((words[start + 2 : min(end, start + 16)], event["breakdown"], 0.8))
            elif "breakdown" in event:
                made.append((words[start:end], event["breakdown"], 0.7))
    return [one for one in made if one[0]]


def fault_examples(data: Data, voices: Sequence[Voice]) -> Examples:
    """Return what charges our defence now (1) and what does not (0)."""
    dice = random.Random(SEED)
    made: Examples = [(words, 1, 0.5) for words, _, _ in data.said]
    made += [(words, 0, 1.0) for words, _, _ in data.turned]
    for voice in voices:
        words = [word.text for word in voice.words]
        told = np.zeros(len(words), dtype=bool)
        for start, end, event in voice.windows():
            if "players" in event:
                told[max(0, start - 4) : end] = True
                made.append((words[start:end], 1, 0.7))
                made.append((words[start + 2 : min(end, start + 14)], 1, 0.7))
            elif event["kind"] != "repeat":
                made.append((words[start:end], 0, 1.0))
        for _ in range(30):
            start = dice.randrange(max(1, len(words) - 12))
            end = start + dice.choice((8, 12, 16))
            if not told[start:end].any():
                made.append((words[start:end], 0, 0.5))
    return [one for one in made if one[0]]


def kind_examples(data: Data, voices: Sequence[Voice]) -> Examples:
    """Return what names a breakdown in one of the ways that charge nobody of ours now, and what does."""
    made: Examples = [(words, "told", 0.5) for words, _, _ in data.said]
    made += [(words, _kind(name), 1.0) for words, name, _ in data.turned]
    for voice in voices:
        words = [word.text for word in voice.words]
        for start, end, event in voice.windows():
            if "players" in event:
                made += [
                    (words[start:end], "told", 0.7),
                    (words[start + 2 : min(end, start + 14)], "told", 0.7),
                ]
            elif event["kind"] != "repeat":
                made.append((words[start:end], _kind(event["kind"]), 1.0))
    return [one for one in made if one[0]]


def _kind(name: str) -> str:
    return name if name in KINDS else "theirs" if name == "scouting" else "neutral"


def follow_examples(data: Data, kind: str) -> Examples:
    """Return what takes back or shows again (1), and what does not (0)."""
    rest = [one for one in data.turned if one[1] != "retraction" or kind != "taken_back"]
    made = [(words, int(name == kind), 1.0) for words, name, _ in data.followed]
    return [*made, *((words, 0, 1.0) for words, _, _ in (*data.said, *rest))]


View = Callable[[Sequence[str], Any], Grams]


_counted: dict[View, dict[tuple[str, ...], Counter[str]]] = {}


class Features:
    """The features of examples as sparse rows of length one."""

    def __init__(self, view: View, data: Data, examples: Examples, least: int = 2) -> None:
        self.view, self.speech = view, data.narration.speech
        seen = [self._counts(words) for words, _, _ in examples]
        often = Counter(name for one in seen for name in one)
        kept = sorted(name for name, count in often.items() if count >= least)
        self.names = kept
        self.rows = {name: row for row, name in enumerate(kept)}
        self.rarity = np.array([1 + np.log((1 + len(seen)) / (1 + often[name])) for name in kept])

    def _counts(self, words: Sequence[str]) -> Counter[str]:
        known = _counted.setdefault(self.view, {})
        key = tuple(words)
        if key not in known:
            grams = self.view(words, self.speech)
            known[key] = Counter(name for many in (*grams.single, *grams.pair) for name in many)
        return known[key]

    def matrix(self, examples: Examples) -> csr_matrix:
        """Return a row for each example, as ``Spans.scores`` makes it."""
        values, columns, ends = [], [], [0]
        for words, _, _ in examples:
            known = [(self.rows[n], c) for n, c in sorted(self._counts(words).items()) if n in self.rows]
            size = np.sqrt(max(1.0, sum(c * self.rarity[row] ** 2 for row, c in known)))
            columns += [row for row, _ in known]
            values += [c * self.rarity[row] / size for row, c in known]
            ends.append(len(columns))
        return csr_matrix((values, columns, ends), shape=(len(examples), len(self.names)))

    def head(self, weights: np.ndarray, bias: np.ndarray) -> Head:
        """Return the head of fitted weights."""
        return Head(
            self.rows, weights.astype(np.float32), self.rarity.astype(np.float32), bias.astype(np.float32)
        )


def fit_about(data: Data, voices: Sequence[Voice]) -> tuple[Head, tuple[str, ...]]:
    """Fit what talk is about."""
    examples = about_examples(data, voices)
    features = Features(about, data, examples)
    labels = np.array([label for _, label, _ in examples])
    share = Counter(labels.tolist())
    weights = [weight * len(labels) / len(share) / share[label] for _, label, weight in examples]
    model = LinearSVC(C=0.3, tol=1e-3, random_state=SEED)
    model.fit(features.matrix(examples), labels, sample_weight=weights)
    return features.head(SPREAD * model.coef_.T, SPREAD * model.intercept_), tuple(model.classes_.tolist())


def fit_said(data: Data, voices: Sequence[Voice]) -> Head:
    """Fit how it is said: a charge, words taken back, a replay."""
    sets = [
        fault_examples(data, voices),
        *(follow_examples(data, kind) for kind in ("taken_back", "shown_again")),
    ]
    features = Features(said, data, sets[0] + data.followed)
    weights, bias = [], []
    for examples in sets:
        model = LogisticRegression(
            C=5, max_iter=200, tol=1e-3, class_weight="balanced", solver="liblinear", random_state=SEED
        )
        model.fit(
            features.matrix(examples),
            [label for _, label, _ in examples],
            [weight for _, _, weight in examples],
        )
        weights.append(model.coef_[0])
        bias.append(model.intercept_[0])
    examples = kind_examples(data, voices)
    kinds = LinearSVC(C=0.3, tol=1e-3, class_weight="balanced", random_state=SEED)
    kinds.fit(
        features.matrix(examples), [label for _, label, _ in examples], [weight for _, _, weight in examples]
    )
    for kind in KINDS:
        row = kinds.classes_.tolist().index(kind)
        weights.append(3 * kinds.coef_[row])
        bias.append(3 * kinds.intercept_[row])
    return features.head(np.array(weights).T, np.array(bias))


def fit_heads(data: Data, voices: Sequence[Voice]) -> Learned:
    """Fit both heads; the signs are not weighed yet."""
    stances = sorted({mark.stance for mark in data.narration.marker_list})
    head, breakdowns = fit_about(data, voices)
    every = tuple(names(stances, breakdowns))
    return Learned(
        breakdowns, head, fit_said(data, voices), every, np.zeros((2, len(every)), dtype=np.float32), NO_TREES
    )


def use(made: Learned) -> None:
    """Read with these weights from here on."""
    hearing.learned = lambda: made  # type: ignore[assignment]


Signs = tuple[np.ndarray, np.ndarray, float]
"""Rows of signs, which of them are true, and what each counts."""


def signs_of(data: Data, voice: Voice, made: Learned) -> Signs:
    """Return the signs of a narration's candidates and which of them are true."""
    use(made)
    rows, labels = [], []
    for block in voice.blocks:
        heard = Hearing(Stretch(block, data.narration, data.lexicon))
        found = heard.candidates()
        if not found:
            continue
        rows.append(heard.signs(found))
        for one in found:
            at = block[one.start].start / 1000
            near = [s for s in voice.truth["sightings"] if EARLY <= at - s["at"] <= LATE]
            labels.append(any(s["breakdown"] == made.breakdowns[one.breakdown] for s in near))
    return np.vstack(rows), np.array(labels), 1.0


def remarks(data: Data, fold: int) -> Examples:
    """Return the sentences that are left out with a fold, to learn how a short remark is heard."""
    dice = random.Random(SEED + fold)
    return dice.sample([*data.said, *((words, "", one) for words, _, one in data.turned)], REMARKS)


def signs_of_remarks(data: Data, fold: int, made: Learned) -> Signs:
    """Return the signs of the candidates of left-out sentences, one to three in a breath."""
    use(made)
    dice = random.Random(SEED + fold)
    left, rows, labels = remarks(data, fold), [], []
    while left:
        many = [left.pop() for _ in range(min(len(left), dice.choice((1, 1, 2, 3))))]
        block, places, at = [], [], 0
        for words, name, _ in many:
            at += dice.choice((0, 300, 900))
            places.append((len(block), len(block) + len(words), name))
            block += [Word(text, text, at + 333 * i, at + 333 * (i + 1), 0) for i, text in enumerate(words)]
            at = block[-1].end
        heard = Hearing(Stretch(block, data.narration, data.lexicon))
        found = heard.candidates()
        if not found:
            continue
        rows.append(heard.signs(found))
        for one in found:
            inside = (name for a, b, name in places if one.start < b - 1 and a < one.end - 2)
            labels.append(made.breakdowns[one.breakdown] in inside)
    return np.vstack(rows), np.array(labels), REMARK


def weigh(signs: Sequence[Signs], strength: float = 0.03) -> dict[str, Any]:
    """Return what signs weigh: the trees that tell, and by themselves (see ``Learned``)."""
    rows = np.vstack([one for one, _, _ in signs]).astype(np.float32)
    labels = np.concatenate([one for _, one, _ in signs])
    counts = np.concatenate([np.full(len(one), count) for _, one, count in signs])
    scale = StandardScaler().fit(rows)
    with threadpool_limits(1):
        alone = LogisticRegression(C=strength, max_iter=500).fit(scale.transform(rows), labels, counts)
        model = HistGradientBoostingClassifier(
            learning_rate=0.05, max_iter=TREES, max_leaf_nodes=LEAVES, min_samples_leaf=20,
            l2_regularization=5, max_features=0.2, early_stopping=False, random_state=SEED,
        ).fit(rows, labels, counts)  # fmt: skip
    weights = np.stack([alone.coef_[0] / scale.scale_, scale.mean_]).astype(np.float32)
    return {"weights": weights, "trees": trees_of(model, SHIFT)}


def trees_of(model: HistGradientBoostingClassifier, shift: float) -> Trees:
    """Return the fitted trees as arrays."""
    every = [one[0].nodes for one in model._predictors]
    shape = len(every), max(len(nodes) for nodes in every)
    sign, left, right = (np.zeros(shape, dtype=np.int16) for _ in range(3))
    limit, value = (np.zeros(shape, dtype=np.float32) for _ in range(2))
    for tree, nodes in enumerate(every):
        many, leaf, own = len(nodes), nodes["is_leaf"].astype(bool), np.arange(len(nodes))
        sign[tree, :many] = np.where(leaf, 0, nodes["feature_idx"])
        limit[tree, :many] = np.where(leaf, 0.0, nodes["num_threshold"])
        left[tree, :many] = np.where(leaf, own, nodes["left"])
        right[tree, :many] = np.where(leaf, own, nodes["right"])
        value[tree, :many] = np.where(leaf, nodes["value"], 0.0)
    depth = max(int(nodes["depth"].max()) for nodes in every)
    return Trees(sign, limit, left, right, value, depth, float(model._baseline_prediction.item()) + shift)


def folds_of(voices: Sequence[Voice], many: int) -> dict[str, int]:
    """Return the fold of each voice."""
    return {voice.name: at % many for at, voice in enumerate(voices)}


_shared: dict[str, Any] = {}
Crossed = dict[tuple[int, int], tuple[Learned, dict[str, Signs]]]


def crossed(data: Data, many: int, *, twice: bool) -> Crossed:
    """Return for every fold the heads fitted without it, and the signs of the voices in it.

    With ``twice`` the same for every two folds, to tell how voices are read that nothing was learned from.
    """
    fold = folds_of(data.voices, many)
    made: Crossed = {}
    began = time.monotonic()
    pairs = [
        (first, second) for first in range(many) for second in range(first, many if twice else first + 1)
    ]
    with multiprocessing.get_context("fork").Pool(PROCESSES, _share, (data, fold)) as pool:
        for pair, one in zip(pairs, pool.imap(_crossed, pairs), strict=True):
            made[pair] = one
            _say(f"fitted {pair} after {time.monotonic() - began:.0f} s")
    return made


def _share(data: Data, fold: dict[str, int]) -> None:
    _shared["data"], _shared["fold"] = data, fold


def _crossed(out: tuple[int, int]) -> tuple[Learned, dict[str, Signs]]:
    data, fold = _shared["data"], _shared["fold"]
    gone = {tuple(words) for one in out for words, _, _ in remarks(data, one)}
    rest = replace(
        data,
        said=[one for one in data.said if tuple(one[0]) not in gone],
        turned=[one for one in data.turned if tuple(one[0]) not in gone],
    )
    heads = fit_heads(rest, [voice for voice in data.voices if fold[voice.name] not in out])
    signs = {v.name: signs_of(data, v, heads) for v in data.voices if fold[v.name] in out}
    return heads, {**signs, **{f"{one}": signs_of_remarks(data, one, heads) for one in out}}


def others(data: Data, many: int) -> dict[str, int]:
    """Return the fold of everything whose signs are known: voices by name, left-out sentences by fold."""
    return {**folds_of(data.voices, many), **{f"{one}": one for one in range(many)}}


def unheard(data: Data, made: Crossed, many: int) -> list[Learned]:
    """Return for each fold what was learned from the others."""
    fold = others(data, many)
    return [
        replace(
            made[out, out][0],
            **weigh([made[min(out, at), max(out, at)][1][name] for name, at in fold.items() if at != out]),
        )
        for out in range(many)
    ]


def check(data: Data, learned: Sequence[Learned], shift: float = 0.0) -> dict[str, Score]:
    """Return the score of every voice, read by what was learned from the voices of the other folds."""
    fold = folds_of(data.voices, len(learned))
    scores: dict[str, Score] = {}
    for out, made in enumerate(learned):
        use(replace(made, trees=made.trees._replace(base=made.trees.base + shift)))
        for voice in data.voices:
            if fold[voice.name] == out:
                read = read_captions(voice.text, data.lexicon, voice.roster)
                scores[voice.name] = compared(read.sightings, voice.truth)
    return scores


def digest() -> str:
    """Return the SHA-256 of everything learned from, names and bytes."""
    made = hashlib.sha256()
    wording = [WORDING / "narration.toml", *sorted(WORDING.glob("spoken*.toml")), *sentence_files()]
    for path in [*wording, *sorted(one for one in BUILD.iterdir() if one.suffix != ".md")]:
        made.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return made.hexdigest()


def write(made: Learned, data: Data) -> None:
    """Write the weights as bytes: a scale for each outcome, rare features in half precision."""
    facts = {
        "about": "Made by 'python -m tools.fit_narration'; do not edit. What talk over film is about (36"
        " breakdowns), how it is said (charge, taken back, shown again), and what signs weigh.",
        "learned from": f"{len(data.said)} sentences that tell a breakdown, {len(data.turned)} that do not,"
        f" {len(data.followed)} that take back or show again, {len(data.voices)} annotated narrations",
        "sha256": digest(),
        "depth": made.trees.depth,
        "base": made.trees.base,
        "breakdowns": made.breakdowns,
        "signs": made.signs,
    }
    arrays: dict[str, Any] = {"made": _bytes(json.dumps(facts, indent=1))}
    for key, head in (("about", made.about), ("said", made.said)):
        scale = np.abs(head.weights).max(axis=0) / 127
        arrays[f"{key}_names"] = _bytes("\n".join(head.rows))
        arrays[f"{key}_weights"] = np.round(head.weights / scale).astype(np.int8)
        arrays[f"{key}_scale"] = scale.astype(np.float32)
        arrays[f"{key}_rarity"] = head.rarity.astype(np.float16)
        arrays[f"{key}_bias"] = head.bias.astype(np.float32)
    arrays["signs"] = made.weights.astype(np.float32)
    arrays |= {f"trees_{name}": getattr(made.trees, name) for name in Trees._fields[:5]}
    np.savez_compressed(FILE, **arrays)


def _bytes(text: str) -> Any:
    return np.frombuffer(text.encode(), dtype=np.uint8)


def _say(text: str) -> None:
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


def main() -> None:
    """Fit and write, or check."""
    warnings.simplefilter("ignore")
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--check", action="store_true")
    told.add_argument("--folds", type=int, default=6)
    told.add_argument("--folder", type=Path, action="append")
    told.add_argument("--keep", type=Path)
    options = told.parse_args()
    data = read_data(options.folder or [BUILD])
    _say(f"{len(data.said)} sentences, {len(data.turned)} turned, {len(data.voices)} voices")
    made = crossed(data, options.folds, twice=options.check)
    if options.keep:
        options.keep.write_bytes(pickle.dumps(made))
    if options.check:
        report(data, made, options.folds)
        return
    every = [made[one, one][1][name] for name, one in others(data, options.folds).items()]
    write(replace(fit_heads(data, data.voices), **weigh(every)), data)


def report(data: Data, made: Crossed, many: int) -> None:
    """Say how voices are read that nothing was learned from: each, all, by threshold, by sureness."""
    learned = unheard(data, made, many)
    for shift in (-0.4, -0.2, 0.2, 0.4):
        _say(f"{SHIFT + shift:+.1f} {total(check(data, learned, shift).values())}")
    scores = check(data, learned)
    for name, one in scores.items():
        _say(f"{name:24s} {one}")
    whole = total(scores.values())
    _say(f"{'all':24s} {whole}\nsprung {dict(whole.sprung)} of {dict(whole.traps)}")
    for low, right, proposed in reliability(scores):
        _say(f"sure from {low:.1f}: {right} of {proposed} right")


def reliability(scores: dict[str, Score]) -> list[tuple[float, int, int]]:
    """Return (sureness from, how many right, how many proposed) in steps of a tenth."""
    steps = [at / 10 for at in range(5, 10)]
    counts = []
    for low in steps:
        every = [
            s
            for one in scores.values()
            for s in one.sure
            if low <= s[0] < low + 0.1 or (low == steps[-1] and s[0] >= 1)
        ]
        counts.append((low, sum(right for _, right in every), len(every)))
    return counts


if __name__ == "__main__":
    main()
