"""One stretch of talk: its words in their base forms, and the markers that say how to take them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from planner.film.lexicon import Lexicon
from planner.film.narration import Marker, Narration
from planner.film.phrases import Hit
from planner.film.spoken import Word


@dataclass(frozen=True)
class Stretch:
    """A run of words without a long pause, as heard."""

    words: Sequence[Word]
    narration: Narration
    lexicon: Lexicon

    @cached_property
    def readings(self) -> list[str]:
        """Return each word in its base form."""
        return [self.narration.speech.base(word.text) for word in self.words]

    @cached_property
    def marks(self) -> list[Hit[Marker]]:
        """Return the markers."""
        return self.narration.marks(self.readings)

    def own(self) -> Iterator[tuple[int, int, str]]:
        """Yield (start, end, breakdown) of the team's own phrases."""
        if not self.lexicon.own:
            return
        said = [word.text for word in self.words]
        for spot in self.lexicon.spots(said, short=False, spelling=False):
            run = said[spot.start : spot.end]
            words = tuple(word.text for word in self.lexicon.canonical(run, spelling=False))
            if spot.meaning.kind == "breakdown" and words in self.lexicon.own:
                yield spot.start, spot.end, spot.meaning.id
