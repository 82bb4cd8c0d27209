"""Lines that look at a possession a second time: ``(R)``, ``rewound``, ``looked at number 20 again``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from planner.film.charge import Charge

_POSSESSION = r"(?:clip|trip|poss(?:ession)?|play|one|time down)"
_AGAIN = re.compile(
    rf"""\W*(?:
    [(\[]\s?r(?:ep|eplay|w)?\s?[)\]]
    |re-?(?:watch(?:ed|ing)?|wound|wind|play(?:ed)?|run)\b
    |(?:a\s)?(?:second|2nd|another|closer)\s(?:look|view|viewing)\b
    |(?:looked|looking|watched|watching|saw|seen)\s(?:(?:at\s)?(?:it|this|that|this\sone|that\sone)\s)?(?:again|twice|a\ssecond\stime)\b
    |again\b(?=\W*(?:$|[:/|–—-]|\w+\W))
    |(?:going|go|went)\sback\b
    |back\s(?:to|on)\s(?:the\s|that\s)?(?:last\s)?{_POSSESSION}\b
    |on\s(?:the\s)?(?:replay|rewind|second\slook|rewatch)\b
    |(?:the\s)?same\s{_POSSESSION}\b
    )""",
    re.VERBOSE,
)
_SAME = re.compile(
    r"\W*(?:(?:still|and|also)\s)?(?:on\s)?(?:the\s)?(?:same\s(?:trip|poss(?:ession)?|sequence|time\sdown)"
    r"|(?:that|this)\ssame\s(?:trip|one|poss(?:ession)?))\b(?!\s(?:again|as)\b)"
)
_AT_NUMBER = re.compile(
    rf"""\W*(?:(?:ok|okay|so|then|and|i|we|just|also|have|had)\W+){{0,3}}(?:
    (?:look(?:ed|ing)?|watch(?:ed|ing)?|rewound|rewatched|replayed|saw|seen)\s(?:back\s)?(?:at\s|to\s|on\s|over\s)?
      (?:number|no\.?|nr\.?|{_POSSESSION}|p|\#)\s?\#?(?P<a>\d{{1,3}})\b(?:\s(?:again|once\smore|a\ssecond\stime))?
    |(?:(?:going|went|go)\s)?back\s(?:to|on|at)\s{_POSSESSION}\s(?:number\s)?\#?(?P<c>\d{{1,3}})\b(?:\sagain)?
    |{_POSSESSION}\s(?:number\s)?\#?(?P<b>\d{{1,3}})\s(?:again|once\smore|a\ssecond\stime|a\ssecond\slook|revisited)\b
    )""",
    re.VERBOSE,
)


def looked_again(said: str) -> bool:
    """Say whether notes in plain form start by saying that they are of a possession seen before."""
    return _AGAIN.match(said) is not None


def same_trip(said: str) -> bool:
    """Say whether notes start by saying that they are of the possession before, whatever their clock."""
    return _SAME.match(said) is not None


def number_looked_at(said: str) -> int | None:
    """Return the possession that notes say they look at again, by its number; None where they say none."""
    match = _AT_NUMBER.match(said)
    return int(match["a"] or match["b"] or match["c"]) if match else None


def without_reference(said: str) -> str:
    """Return notes without the words that say which possession they look at again."""
    match = _AT_NUMBER.match(said)
    return said[match.end() :].lstrip(" ,:;–-") if match else said


def unseen(made: Sequence[Charge], before: Sequence[Charge]) -> list[Charge]:
    """Return what a second look charges that the first did not: the same slip of the same player is one."""
    return [
        one
        for one in made
        if not any(
            other.breakdown == one.breakdown and (not one.players or set(one.players) <= set(other.players))
            for other in before
        )
    ]
