"""What coaches write for each breakdown: phrases and short forms, compiled once, looked up word by word.

The wording is data (``drill_library/wording``). Before words are compared, one word stands for its other
forms (``same``), every way of saying that something was not done becomes ``no``, and fillers are dropped;
so ``nobody boxed out`` and ``didn't box out`` meet the one phrase ``no boxout``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, cast

from planner.drills.fields import parse_toml
from planner.drills.vocabulary import Vocabulary
from planner.film.lexicon import GROUPS, MEANINGS, NO, Lexicon, Meaning, Phrase, Spot
from planner.film.words import stem, words
from planner.problem import Problem
from planner.text import clean_line

__all__ = ["GROUPS", "MEANINGS", "Lexicon", "Meaning", "Spot", "load_lexicon"]


def load_lexicon(files: Iterable[tuple[str, str]], vocabulary: Vocabulary) -> tuple[Lexicon, list[Problem]]:
    """Compile wording files, given as (name, text); what cannot be used is left out and reported.

    A file may hold ``[common]`` word lists, ``[common.same]``, ``[common.abbreviated]`` and
    ``[breakdown.<id>]`` tables with ``phrases``, ``short`` and ``alone``. Ids and titles of the vocabulary
    are phrases in any case.
    """
    tables: list[tuple[str, dict[str, Any]]] = []
    problems: list[Problem] = []
    for name, text in sorted(files):
        table, faults = parse_toml(name, text)
        problems += faults
        tables.append((name, table))
    return _Loader(tables, vocabulary, problems).lexicon(), problems


class _Loader:
    def __init__(
        self, tables: list[tuple[str, dict[str, Any]]], vocabulary: Vocabulary, problems: list[Problem]
    ) -> None:
        self.tables = tables
        self.vocabulary = vocabulary
        self.problems = problems
        self.phrases: dict[Phrase, Meaning] = {}
        self.joined: dict[str, Phrase] = {}
        self.bridges: set[Phrase] = set()
        self.spoken: set[str] = set()
        self.trade: set[str] = set()
        self.alone: dict[Phrase, str] = {}
        self.exact: dict[Phrase, str] = {}
        self.base = self._base()

    def _base(self) -> Lexicon:
        fillers: set[str] = set()
        same: dict[Phrase, str] = {}
        clipped: dict[str, str] = {}
        groups: dict[str, set[Phrase]] = {name: set() for name in GROUPS}
        for file, table in self.tables:
            common = self._table(file, table, "common")
            for key in set(common) - {"same", "fillers", "no", "abbreviated", "undone", *GROUPS, *MEANINGS}:
                self._fault(file, f"[common] has no list '{key}'")
            fillers.update(word for said in self._list(file, common, "fillers") for word in words(said))
            same.update({tuple(words(said)): NO for said in self._list(file, common, "no") if words(said)})
            forms = self._table(file, common, "same")
            for word in forms:
                same.update(
                    {tuple(words(said)): word for said in self._list(file, forms, word) if words(said)}
                )
            short = self._table(file, common, "abbreviated")
            for word in short:
                clipped.update(dict.fromkeys(self._list(file, short, word), word))
            for name in GROUPS:
                groups[name].update(tuple(words(said)) for said in self._list(file, common, name))
        for name in ("praise", "topics", "plays", "lacking", "firm", "credit"):
            groups[name] = {tuple(stem(word) for word in phrase) for phrase in groups[name]}
        frozen = {name: frozenset(group - {()}) for name, group in groups.items()}
        return Lexicon({}, same, frozenset(fillers), frozen, abbreviated=clipped)

    def lexicon(self) -> Lexicon:
        known = {one.id for one in self.vocabulary.breakdowns}
        for one in self.vocabulary.breakdowns:
            self._add("", one.id, Meaning("breakdown", one.id))
            self._add("", one.title, Meaning("breakdown", one.id))
        for file, table in self.tables:
            for meaning in MEANINGS:
                for said in self._list(file, self._table(file, table, "common"), meaning):
                    self._add(file, said, Meaning(meaning))
            told = self._table(file, table, "breakdown")
            for breakdown in told:
                if breakdown not in known:
                    self._fault(file, f"no breakdown '{clean_line(breakdown, 60)}' in the vocabulary")
                    continue
                self._entry(file, breakdown, self._table(file, told, breakdown))
        return replace(
            self.base,
            phrases=self.phrases,
            joined=self.joined,
            ids=frozenset(known),
            bridges=frozenset(self.bridges),
            spoken=frozenset(self.spoken),
            trade=frozenset(self.trade - self.base.fillers),
            narration=self._narration(),
            alone={said: name for said, name in self.alone.items() if said not in self.phrases},
            exact=dict(self.exact),
            undone=self._undone(known),
            memo={"phrases": self.phrases},
        )

    def _entry(self, file: str, breakdown: str, entry: Mapping[str, Any]) -> None:
        """Take the lists of words of one breakdown."""
        for said in self._list(file, entry, "phrases"):
            self._add(file, said, Meaning("breakdown", breakdown))
        for said in self._list(file, entry, "short"):
            self._add(file, said, Meaning("breakdown", breakdown, short=True))
        for said in self._list(file, entry, "exact"):
            self.exact[tuple(words(said))] = breakdown
        for said in self._list(file, entry, "alone"):
            self._add_alone(file, said, breakdown)

    def _undone(self, known: set[str]) -> dict[str, str]:
        """Return what is taught -> the breakdown it is when it is lacking."""
        made: dict[str, str] = {}
        for file, table in self.tables:
            for action, name in self._table(file, self._table(file, table, "common"), "undone").items():
                if name in known:
                    made[stem(action)] = name
                else:
                    self._fault(file, f"no breakdown '{clean_line(str(name), 60)}' in the vocabulary")
        return made

    def _narration(self) -> dict[str, Any]:
        """Return the ``[narration]`` tables of all files as one; lists of two files follow one another."""
        made: dict[str, Any] = {}
        for file, table in self.tables:
            for key, value in self._table(file, table, "narration").items():
                both = isinstance(value, dict) and isinstance(made.get(key), dict)
                made[key] = _joined(made[key], value) if both else value
        return made

    def _add(self, file: str, said: str, meaning: Meaning) -> None:
        phrase = tuple(word.text for word in self.base.canonical(words(said), spelling=False))
        if not phrase or phrase == (NO,):
            self._fault(file, f"'{clean_line(said, 60)}' says nothing once fillers are dropped")
            return
        spelled_out = [word for word in words(said) if word not in self.base.fillers]
        bare = len(spelled_out) == 1 < len(words(said)) and phrase == (stem(spelled_out[0]),)
        if bare and meaning.kind == "breakdown":
            self._fault(file, f"'{clean_line(said, 60)}' says no more than '{spelled_out[0]}'")
            return
        self.spoken.update(words(said))
        if meaning.kind == "breakdown" and not meaning.short:
            self.trade.update(words(said))
        before = self.phrases.get(phrase)
        if before is None:
            self.phrases[phrase] = meaning
        elif (before.kind, before.id) != (meaning.kind, meaning.id):
            first, second = before.id or before.kind, meaning.id or meaning.kind
            self._fault(
                file, f"'{clean_line(said, 60)}' would mean both {first} and {second}; it means {first}"
            )
            return
        if "," in said:
            self.bridges.add(phrase)
        spelled = "".join(words(said))
        if meaning.kind == "breakdown" and len(words(said)) > 1 and len(spelled) >= 5:
            self.joined.setdefault(spelled, phrase)

    def _add_alone(self, file: str, said: str, breakdown: str) -> None:
        phrase = tuple(word.text for word in self.base.canonical(words(said), spelling=False))
        if not phrase or phrase == (NO,) or self.alone.get(phrase, breakdown) != breakdown:
            self._fault(file, f"'{clean_line(said, 60)}' cannot stand alone for one breakdown")
        else:
            written = tuple(words(said))
            told = (
                len(written) == 1
                and written[0].endswith("ed")
                and stem(written[0]) in set(self.base.same.values())
            )
            self.alone[written if told or len(written) > len(phrase) == 1 else phrase] = breakdown

    def _table(self, file: str, table: Mapping[str, Any], key: str) -> dict[str, Any]:
        value = table.get(key, {})
        if not isinstance(value, dict):
            self._fault(file, f"'{clean_line(key, 60)}' is no table")
            return {}
        return cast("dict[str, Any]", value)

    def _list(self, file: str, table: Mapping[str, Any], key: str) -> list[str]:
        value = table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self._fault(file, f"'{clean_line(key, 60)}' is no list of words")
            return []
        return value

    def _fault(self, file: str, what: str) -> None:
        fault = Problem(file, None, what)
        if fault not in self.problems:
            self.problems.append(fault)


def _joined(first: Mapping[str, Any], second: Mapping[str, Any]) -> dict[str, Any]:
    """Return two tables as one: lists follow one another, of anything else the later stands."""
    made = dict(first)
    for key, value in second.items():
        stood = made.get(key)
        made[key] = [*stood, *value] if isinstance(stood, list) and isinstance(value, list) else value
    return made
