"""Notes spoken into a telephone: marks said as words, numbers as words, possessions counted aloud.

``four twelve lets it go middle comma nobody home period two points`` is possession 4, player 12.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from planner.film.words import TENS, UNITS, plain

_TEN = "|".join(TENS)
_UNIT = "|".join([*UNITS][1:10])
_TEENS = "|".join([*UNITS][10:])
NUMBER = rf"(?:(?:{_TEN})(?:[\s-]+(?:{_UNIT}))?|{_TEENS}|{_UNIT})"
_MARKS = tuple(
    (re.compile(pattern), mark)
    for pattern, mark in (
        (r"\s*\b(?:new line|new paragraph|next line|full stop)\b\s*", " . "),
        (r"\s*\b(?:exclamation (?:point|mark)|question mark)\b", "."),
        (r"\s*\b(?:semi ?colon)\b", ";"),
        (r"\s*\bcomma\b", ","),
        (
            r"(?<!first)(?<!second)(?<!third)(?<!fourth)(?<!this)(?<!the)\s+period\b(?!\s+(?:one|two|three|four|\d)\b(?!\s+(?:more\s+)?points?))",
            ".",
        ),
        (r"\b(?:open|close) (?:quote|paren(?:thesis)?)s?\b", " "),
    )
)
_MARKED = re.compile(
    r"\b(?:comma|new line|new paragraph|question mark|exclamation (?:point|mark)|full stop)\b|\w period\b"
)
_SPOKEN = re.compile(
    rf"\b(?:comma|new line|new paragraph|question mark|full stop)\b"
    rf"|^\W*(?:\w+\W+){{0,2}}?(?:{_TEN}|{_TEENS}|{_UNIT})\b",
    re.IGNORECASE | re.MULTILINE,
)
"""Something that only a spoken note has."""
_FEW_MARKS = 3
_LEAD = r"^\W*(?:(?:ok(?:ay)?|so|and|then|now|um+|uh+|next(?: one)?|alright|all right)\W+)*"
_SAID = re.compile(
    rf"{_LEAD}(?:(?:poss(?:ession)?|trip|clip|play|number)\s+)?(?P<n>{NUMBER}|\d{{1,3}})\b(?!\s+(?:on|against|v|of|free|points?)\b)\W*"
)
_MENDED = re.compile(
    r"\b(?:no|sorry|wait|scratch that)\b.{0,24}?\b(?:on|it'?s|is|thats|that's)\s+"
    rf"(?P<n>{NUMBER}|\d{{1,3}})\b(?:\s+now\b)?(?:\s+(?P=n)\b)?"
)
_CLOSE = 60
_FEW = 6
_RUN = 0.8
_NO_PLAYER = (
    r"(?:on|of|out|points?|pts|free|dribbles?|seconds?|pass(?:es)?|feet|foot|guys?|hands?|more|times|against"
    r"|shots?|for|possessions?|in|minutes?|steps?)\b"
)
_SUBJECT = re.compile(
    r"^poss \d+ (?P<m>four|five|six|seven|eight|nine)\b"
    r"(?!\s+(?:men|players|people|girls|boys|of|on|against|seconds?|points?|more|guys)\b)"
    r"|(?:^(?:poss \d+ )?|[,.:]\s*|\b(?:and|on|but|then|from|by|for|that's|thats|it was) )"
    r"(?P<n>four|five|six|seven|eight|nine)\b(?=\s*[,.]|\s*$"
    r"|\s+(?:gets?|got|is|was|and|again|gives?|gave|loses?|lost|goes|went|helps?|late|no|never|doesn't|does"
    r"|didn't|watch|reach(?:es)?|stuck|beaten|beat|done|caught|leaves|jumps|bites|flies|runs|lets|stays|puts"
    r"|closes|boxes|has|shows|just)\b)"
)
"""A small number that stands where a player would."""
_SUBJECTS = 2
_MANY_SUBJECTS = 3
_PLAYER = re.compile(rf"\b(?:number|player|jersey)\s+(?P<n>{_UNIT})\b")


def dictated(lines: Sequence[str]) -> list[str]:
    """Return the lines with marks for words that say them, and ``poss 4`` for possessions counted aloud."""
    if not _SPOKEN.search("\n".join(lines)):
        return list(lines)
    lows = [plain(line) for line in lines]
    found = list(lines)
    if sum(len(_MARKED.findall(low)) for low in lows) >= _FEW_MARKS:
        found = [_with_marks(low) for low in lows]
        lows = found
    heads = [_SAID.match(low) for low in lows]
    numbers = [_number(one["n"]) for one in heads if one]
    if not _counted(numbers) or 2 * sum(one is not None and one["n"].isdigit() for one in heads) > len(
        numbers
    ):
        return found
    last = 0
    for at, one in enumerate(heads):
        if one is None or not last <= _number(one["n"]) <= last + 2:
            continue
        rest, last = lows[at][one.end() :], _number(one["n"])
        mended = _MENDED.search(rest[:_CLOSE])
        if mended and _number(mended["n"]) == last + 1:
            rest, last = rest[mended.end() :], last + 1
        found[at] = f"poss {last} {rest}"
    return found


def value(said: str) -> int:
    """Return the number that words say: ``twenty five`` is 25."""
    parts = re.split(r"[\s-]+", said)
    return sum(TENS[one] if one in TENS else UNITS[one] for one in parts)


def _with_marks(low: str) -> str:
    for said, mark in _MARKS:
        low = said.sub(mark, low)
    return low


def _number(said: str) -> int:
    return int(said) if said.isdigit() else value(said)


def _counted(numbers: Sequence[int]) -> bool:
    """Say whether the lines of a sheet count one, two, three."""
    good = sum(b - a in (0, 1, 2) for a, b in pairwise(numbers))
    return (
        len(numbers) >= _FEW
        and numbers[0] <= 2
        and good >= _RUN * (len(numbers) - 1)
        and max(numbers) >= _FEW
    )


def with_players(lines: Sequence[str], lows: Sequence[str]) -> list[str]:
    """Write as jerseys the small numbers also called ``number four``; ``lows`` is as it was said."""
    known = {match["n"] for low in lows for match in _PLAYER.finditer(low)}
    subjects = [match["m"] or match["n"] for low in lows for match in _SUBJECT.finditer(low)]
    known |= {one for one in subjects if subjects.count(one) >= _SUBJECTS or len(subjects) >= _MANY_SUBJECTS}
    if not known:
        return list(lines)
    pattern = re.compile(
        rf"(?<!\ball )(?<!\bthe )(?<!\bour )(?<!\blast )\b(?P<n>{'|'.join(sorted(known))})\b"
        rf"(?=\s+(?!{_NO_PLAYER})|,|\.|$)"
    )
    return [pattern.sub(lambda match: f"#{value(match['n'])}", line) for line in lines]
