"""Talk for tests: ``twelve [never boxes out] / next``: brackets hold what is told, a slash is a breath."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from planner.film.narration import Narration
from planner.film.spoken import Numerals, Word, sentence
from planner.film.talk import Talk
from planner.film.telling import Telling

BREATH = 3_000


def spoken(
    narration: Narration,
    said: str,
    roster: Collection[str] | None = None,
    numerals: Numerals | None = None,
) -> list[Word]:
    """Return the words of talk, jerseys joined; each slash is three seconds of silence."""
    words: list[Word] = []
    numerals = numerals or narration.numerals.with_roster(roster)
    for part in said.split("/"):
        after = words[-1].end + BREATH if words else 0
        block = numerals.joined(sentence(part))
        words += [replace(one, start=one.start + after, end=one.end + after) for one in block]
    return words


def talked(
    narration: Narration,
    said: str,
    roster: Collection[str] | None = None,
    *,
    told: str = "no-box-out",
    collective: bool = False,
) -> Talk:
    """Return talk that tells one breakdown where the brackets stand, and others in braces."""
    plain = said.translate(dict.fromkeys(map(ord, "[]{}")))
    words = spoken(narration, plain, roster)
    tellings = []
    for opens, closes, breakdown in (("[", "]", told), ("{", "}", "late-closeout")):
        rest, before = said, ""
        while opens in rest:
            head, _, rest = rest.partition(opens)
            inside, _, rest = rest.partition(closes)
            start = len(spoken(narration, _bare(before + head), roster))
            before += head + inside
            end = len(spoken(narration, _bare(before), roster))
            tellings.append(Telling(breakdown, start, end, 1.0, collective=collective and opens == "["))
    return Talk(words, sorted(tellings, key=lambda one: one.start), roster)


def _bare(said: str) -> str:
    return said.translate(dict.fromkeys(map(ord, "[]{}")))


def the_telling(talk: Talk, told: str = "no-box-out") -> Telling:
    """Return the telling in brackets."""
    return next(one for one in talk.told if one.breakdown == told)
