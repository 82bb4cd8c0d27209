"""How coaches speak over film, as data: what each breakdown sounds like and what turns it round.

The data is the ``[narration]`` table of the wording files (``drill_library/wording/narration.toml``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

from planner.film.phrases import Hit, Phrases, Speech
from planner.film.spoken import Numerals
from planner.film.words import plain


@dataclass(frozen=True, slots=True)
class Marker:
    """Words that say how to take what stands near them, of one ``stance``.

    One with ``past`` is about what was told before it: it adds its ``weight`` to that, as log odds.
    """

    stance: str
    weight: float = 0.0
    past: bool = False


@dataclass(frozen=True)
class Narration:
    """The compiled data of one library; ``faults`` says what in it could not be used."""

    speech: Speech
    markers: Phrases[Marker]
    marker_list: tuple[Marker, ...]
    numerals: Numerals
    base: Mapping[str, float]
    faults: tuple[str, ...] = ()

    def marks(self, readings: Sequence[str]) -> list[Hit[Marker]]:
        """Return the markers in a run of base forms; one inside a longer one says nothing of its own."""
        kept: list[Hit[Marker]] = []
        longest: Hit[Marker] | None = None
        for hit in sorted(self.markers.hits(readings), key=lambda one: (one.start, -one.end)):
            if longest is None or hit.end > longest.end or hit.size >= longest.size:
                kept.append(hit)
                if longest is None or hit.end >= longest.end:
                    longest = hit
        return kept


def load_narration(table: Mapping[str, Any]) -> Narration:
    """Compile the ``[narration]`` table; what cannot be used is left out and told in ``faults``."""
    return _Loader(table).made()


@dataclass
class _Loader:
    table: Mapping[str, Any]
    faults: list[str] = field(default_factory=list)

    def made(self) -> Narration:
        speech = self._speech()
        markers: Phrases[Marker] = Phrases(speech)
        every: list[Marker] = []
        for name, told in self._tables(self.table, "marker").items():
            marker = Marker(
                str(told.get("stance", name)), float(told.get("weight", 0.0)), bool(told.get("past"))
            )
            every.append(marker)
            for said in self._list(told, "say"):
                self._add(markers, said, marker)
        base = {kind: float(value) for kind, value in self._table("base").items()}
        return Narration(
            speech, markers, tuple(every), self._numerals(), defaultdict(float, base), tuple(self.faults)
        )

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

    def _numerals(self) -> Numerals:
        told = self._table("numerals")
        named, before, after = (
            frozenset(self._list(told, key)) for key in ("named", "not_before", "not_after")
        )
        return Numerals(named, before, after)

    def _add(self, phrases: Phrases[Any], said: str, what: Marker) -> None:
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
