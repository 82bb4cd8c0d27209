"""A team's own words: what a coach has said that a wording means, and what of a line is such a wording."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from planner.film.charge import charge
from planner.film.items import read_items
from planner.film.marks import read_head
from planner.film.points import Habits, score
from planner.film.wording import MEANINGS, Lexicon
from planner.film.words import plain, stem, tokens, words
from planner.text import clean_line

MOST_WORDS = 6
"""A longer wording is a sentence that will hardly come again word for word."""
MOST_LEARNT = 500
LONGEST = 60
_COMMON = ("known", "topics", "praise", "linking", "also", "totals", "remarks")
_QUESTION = re.compile(r"no player '?(?P<who>[^;']{1,60}?)'? on the roster")


@dataclass(frozen=True, slots=True)
class Detail:
    """What an unclear line says besides its breakdown: players of ours, how often, points if it tells."""

    players: tuple[str, ...] = ()
    count: int = 1
    points: int | None = None


def question(why: str) -> str | None:
    """Return whom a line asks for when it is counted already and only asks who it was."""
    match = _QUESTION.match(why)
    return match["who"] if match else None


def wording(text: str) -> str:
    """Return a line's words without clock, numbering, jerseys and points: lines with the same are alike."""
    return " ".join(word for stretch in _stretches(text) for word in stretch)[:200]


def learnable(text: str, lexicon: Lexicon) -> str | None:
    """Return the short wording of a line that a team can teach, None when there is none.

    It is the one stretch between separators that says nothing we know, of at most six words; a single
    everyday word is none, for it would be read everywhere.
    """
    unknown = [stretch for stretch in _stretches(text) if stretch and not _known(stretch, lexicon)]
    if len(unknown) != 1 or len(unknown[0]) > MOST_WORDS:
        return None
    said = unknown[0]
    phrase = " ".join(said)
    bare = [word for word in said if word not in lexicon.fillers]
    if not 2 <= len(phrase) <= LONGEST or not lexicon.canonical(said, spelling=False):
        return None
    if len(bare) == 1 and _everyday(bare[0], lexicon):
        return None
    return phrase


def detail(
    text: str, phrase: str | None, breakdown: str, lexicon: Lexicon, roster: Collection[str] | None
) -> Detail:
    """Return the players, count and points of an unclear line once its wording is known."""
    if phrase is not None:
        lexicon = lexicon.with_words({phrase: breakdown})
    items = read_items(read_head(plain(clean_line(text)).strip()).rest, lexicon)
    habit = Habits()
    scored = score(items, habit)
    made = [one for one in charge(items, scored.used, habit, lexicon).charges if one.breakdown == breakdown]
    if not made:
        return Detail()
    ours = [one for one in made[0].players if roster is None or one in roster]
    return Detail(tuple(ours), max(1, min(20, made[0].count)), scored.points if scored.used else None)


def usable(stored: object, lexicon: Lexicon) -> dict[str, str]:
    """Return the learnt words in a stored setting that still mean something here."""
    if not isinstance(stored, Mapping):
        return {}
    return {
        said: meant
        for said, meant in list(stored.items())[:MOST_LEARNT]
        if isinstance(said, str) and isinstance(meant, str) and (meant in lexicon.ids or meant in MEANINGS)
    }


def _stretches(text: str) -> list[list[str]]:
    """Return the words of a line, parted at its separators."""
    line = tokens(read_head(plain(clean_line(text)).strip()).rest)
    found: list[list[str]] = [[]]
    for token in line:
        if token.kind == "break":
            found.append([])
        elif token.kind in ("word", "and"):
            found[-1].append(token.text)
    return [trimmed for one in found if (trimmed := _trimmed(one))]


def _trimmed(said: list[str]) -> list[str]:
    """Return words without an ``and`` at either end, where it joined players."""
    while said and said[-1] == "and":
        said = said[:-1]
    while said and said[0] == "and":
        said = said[1:]
    return said


def _known(said: Sequence[str], lexicon: Lexicon) -> bool:
    return bool(lexicon.spots(said, spelling=False))


def _everyday(word: str, lexicon: Lexicon) -> bool:
    if len(word) < 2:
        return True
    return any(
        (form,) in lexicon.groups[name] for name in _COMMON for form in (word, stem(word), *words(word))
    )
