"""Tags in brackets behind what is told, ``[GLASS]``: what a coach would drill, not what went wrong."""

from __future__ import annotations

import re
from collections.abc import Sequence

from planner.film.wording import Lexicon
from planner.film.words import words

_TAG = re.compile(r"\s*\[(?P<tag>[A-Z][A-Z0-9+-]{1,11})\]")
_FEW = 6
_SHARE = 0.4
_KINDS = 3


def without_tags(lines: Sequence[str], lexicon: Lexicon) -> list[str]:
    """Return the lines without their tags, where a sheet is full of such and none is a breakdown's code."""
    found = [_TAG.findall(line) for line in lines]
    tagged = sum(bool(one) for one in found)
    kinds = {tag for one in found for tag in one}
    filled = sum(bool(line.strip()) for line in lines)
    if tagged < _FEW or tagged < _SHARE * filled or len(kinds) < _KINDS:
        return list(lines)
    if any(_code(tag, lexicon) for tag in kinds):
        return list(lines)
    return [_TAG.sub("", line) for line in lines]


def _code(tag: str, lexicon: Lexicon) -> bool:
    spot = lexicon.whole(words(tag.lower()))
    return spot is not None and spot.meaning.kind == "breakdown"
