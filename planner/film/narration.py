"""How coaches speak over film, as data: what each breakdown sounds like and what turns it round.

The data is the ``[narration]`` table of the wording files (``drill_library/wording/narration.toml``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal, cast

from planner.film.likeness import NEGATION, Faults, Topics, learn_faults
from planner.film.phrases import Hit, Phrases, Speech
from planner.film.spoken import PLAYER, Numerals, sentence
from planner.film.words import plain

RuleKind = Literal["undone", "hints", "never", "late", "wrong", "theirs", "perhaps"]
RULES: tuple[RuleKind, ...] = ("undone", "hints", "never", "late", "wrong", "theirs", "perhaps")


@dataclass(frozen=True, slots=True)
class Rule:
    """A phrase of one breakdown.

    ``undone``: the right action, a breakdown where it is missing or late; ``never`` and ``late``: only one
    of these; ``hints``: an action that belongs to several breakdowns. ``wrong``: our defender's mistake in
    words; ``theirs``: the opponent's gain from it; ``perhaps``: a weak sign. Hints and weak signs need
    support from what is talked about.
    """

    breakdown: str
    kind: RuleKind


@dataclass(frozen=True, slots=True)
class Marker:
    """Words that say how to take what stands near them.

    ``weight`` is added to the log odds of a breakdown up to ``before`` words after the marker or ``after``
    words before it, or later in the stretch of talk (``block``). A marker with ``fits`` makes right actions
    of these kinds a breakdown, with ``weight`` as its log odds; one with ``past`` is about what was told
    before it, and one that ``swallows`` leaves no plain "no" inside it.
    """

    stance: str
    weight: float = 0.0
    before: int = 0
    after: int = 0
    block: bool = False
    crosses: bool = False
    past: bool = False
    swallows: bool = False
    fits: frozenset[str] = frozenset()
    spares: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Narration:
    """The compiled data of one library; ``faults`` says what in it could not be used."""

    speech: Speech
    rules: Phrases[Rule]
    markers: Phrases[Marker]
    numerals: Numerals
    near: Mapping[str, frozenset[str]]
    base: Mapping[str, float]
    turns: frozenset[str]
    ours: frozenset[str]
    opponents: frozenset[str]
    negations: frozenset[str]
    topics: Topics
    mistakes: Faults
    follows: Mapping[str, Faults]
    faults: tuple[str, ...] = ()

    def marks(self, readings: Sequence[str]) -> list[Hit[Marker]]:
        """Return the markers in a run of base forms.

        One inside a longer one says nothing of its own, unless it is a plain "no".
        """
        kept: list[Hit[Marker]] = []
        longest: Hit[Marker] | None = None
        for hit in sorted(self.markers.hits(readings), key=lambda one: (one.start, -one.end)):
            inside = longest is not None and hit.end <= longest.end and hit.size < longest.size
            if not inside or (hit.what.fits and longest and not longest.what.swallows):
                kept.append(hit)
                if longest is None or hit.end >= longest.end:
                    longest = hit
        return kept

    def topic_words(self, readings: Sequence[str]) -> list[str]:
        """Return the words that say what talk is about: no fillers, no players, one word for every no."""
        fillers = self.speech.fillers
        kept = (word for word in readings if word not in fillers and word != PLAYER)
        return [NEGATION if word in self.negations else word for word in kept]


def load_narration(table: Mapping[str, Any]) -> Narration:
    """Compile the ``[narration]`` table; what cannot be used is left out and told in ``faults``."""
    return _Loader(table).made()


@dataclass
class _Loader:
    table: Mapping[str, Any]
    faults: list[str] = field(default_factory=list)

    def made(self) -> Narration:
        speech = self._speech()
        rules: Phrases[Rule] = Phrases(speech)
        near: dict[str, frozenset[str]] = {}
        for breakdown, told in self._tables(self.table, "breakdown").items():
            near[breakdown] = frozenset(speech.base(word) for word in self._list(told, "near"))
            for kind in RULES:
                for said in self._list(told, kind):
                    self._add(rules, said, Rule(breakdown, kind))
        markers: Phrases[Marker] = Phrases(speech)
        for name, told in self._tables(self.table, "marker").items():
            marker = self._marker(name, told)
            for said in self._list(told, "say"):
                self._add(markers, said, marker)
        made = Narration(
            speech,
            rules,
            markers,
            self._numerals(),
            near,
            defaultdict(float, {kind: float(value) for kind, value in self._table("base").items()}),
            self._words("turns", speech),
            self._words("ours", speech),
            self._words("opponents", speech),
            frozenset(phrase[0] for phrase in speech.classes.get("no", ()) if len(phrase) == 1),
            Topics(),
            Faults({}),
            {},
            tuple(self.faults),
        )
        return self._learned(made)

    def _topics(self, made: Narration) -> Topics:
        topics = Topics()
        for breakdown, told in self._tables(self.table, "breakdown").items():
            for kind in RULES:
                for said in self._list(told, kind):
                    choices = [_choices(word) for word in said.split() if word[0] not in "~@#"]
                    first = [made.speech.base(word[0]) for word in choices]
                    every = [made.speech.base(word) for words in choices for word in words]
                    topics.learn(breakdown, made.topic_words(first))
                    topics.learn_words(breakdown, made.topic_words(every))
        for breakdown in self._table("said"):
            for said in self._list(self._table("said"), breakdown):
                readings = [made.speech.base(word.text) for word in made.numerals.joined(sentence(said))]
                topics.learn(breakdown, made.topic_words(readings))
        return topics.settle()

    def _learned(self, made: Narration) -> Narration:
        told, turned, followed = (
            {
                name: [_heard(said, made) for said in self._list(self._table(table), name)]
                for name in self._table(table)
            }
            for table in ("said", "turned", "followed")
        )
        plain = [one for many in told.values() for one in many]
        other = [one for many in turned.values() for one in many]
        follows = {}
        for name, many in followed.items():
            rest = [one for key, others in followed.items() if key != name for one in others]
            others = [one for key, those in turned.items() if key != "retraction" for one in those]
            follows[name] = learn_faults(many, [*plain, *others, *rest])
        return replace(made, topics=self._topics(made), mistakes=learn_faults(plain, other), follows=follows)

    def _speech(self) -> Speech:
        forms: dict[str, str] = {}
        for word, others in self._table("forms").items():
            forms[word] = word
            forms.update(dict.fromkeys((plain(one) for one in others), word))
        bare = Speech(forms, {}, {}, frozenset(), frozenset())
        heard = {
            bare.base(word): tuple(tuple(one.split()) for one in others)
            for word, others in self._table("heard").items()
        }
        classes = {
            name: tuple(tuple(one.split()) for one in phrases)
            for name, phrases in self._table("class").items()
        }
        return Speech(forms, heard, classes, self._words("fillers", bare), self._words("barriers", bare))

    def _marker(self, name: str, told: Mapping[str, Any]) -> Marker:
        return Marker(
            stance=str(told.get("stance", name)),
            weight=float(told.get("weight", 0.0)),
            before=int(told.get("before", 0)),
            after=int(told.get("after", 0)),
            block=bool(told.get("block")),
            crosses=bool(told.get("crosses")),
            past=bool(told.get("past")),
            swallows=bool(told.get("swallows")),
            fits=frozenset(self._list(told, "fits")),
            spares=frozenset(self._list(told, "spares")),
        )

    def _numerals(self) -> Numerals:
        told = self._table("numerals")
        return Numerals(*(frozenset(self._list(told, key)) for key in ("named", "not_before", "not_after")))

    def _add(self, phrases: Phrases[Any], said: str, what: Rule | Marker) -> None:
        try:
            phrases.add(said, what)
        except ValueError as fault:
            self.faults.append(str(fault))

    def _words(self, key: str, speech: Speech) -> frozenset[str]:
        return frozenset(speech.base(word) for word in self._list(self.table, key))

    def _table(self, key: str) -> Mapping[str, Any]:
        return cast("Mapping[str, Any]", self.table.get(key, {}))

    def _tables(self, table: Mapping[str, Any], key: str) -> Mapping[str, Mapping[str, Any]]:
        return cast("Mapping[str, Mapping[str, Any]]", table.get(key, {}))

    def _list(self, table: Mapping[str, Any], key: str) -> list[str]:
        return [str(one) for one in table.get(key, ())]


def _choices(word: str) -> list[str]:
    return [
        choice for choice in word.removesuffix("?").replace("_", "|").split("|") if choice[0] not in "@#"
    ] or [""]


def _heard(said: str, made: Narration) -> tuple[list[str], list[str]]:
    words = [word.text for word in made.numerals.joined(sentence(said))]
    marks = made.marks([made.speech.base(word) for word in words])
    return words, sorted({mark.what.stance for mark in marks})
