"""Film told in one breath: possessions parted by ``next one`` or ``new trip`` inside a long line.

A hand that dictates says the same few words before every possession; where they stand often enough, the text is
cut before each, and the possessions are counted.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from planner.film.words import plain

_TRIP = r"(?:one|trip|poss(?:ession)?|play|clip|time\s+down|attack|sequence)"
_LEAD_IN = r"(?:(?:ok(?:ay)?|so|and|then|now|um+|uh+|right|alright|all\s+right|well)[\s,.]+)*"
_NEXT = re.compile(
    rf"(?<!\bthe\s)(?<!\bhis\s)(?<!\bher\s)(?<!\btheir\s)(?<!\bthat\s)(?<!\bthis\s)(?<!\ba\s)"
    rf"(?<!\w)(?:next|new|first|last|final|another)\s+{_TRIP}\b(?:\s+(?:of|in)\s+the\s+(?:first|second)\s+half)?"
    rf"(?!\s*(?:half|quarter|is\s+(?:the|a)\s+foul))",
)
_BACK = re.compile(
    rf"(?:and\s+)?(?:going|go)\s+back\s+to\s+the\s+{_TRIP}\s+before(?:\s+(?:this|that)(?:\s+one)?)?\b[\s,:]*"
)
_END = re.compile(
    r"(?:(?:ok(?:ay)?|so|and|well)[\s,.]+)*(?:and\s+)?(?<!\w)(?:that'?s|that\s+is)\s+(?:it|the\s+lot|all|everything|the\s+film)\b"
    r"(?=\s*(?:$|[,.]|so\b|by\b|i\b|for\b|from\b|remind\b|and\b|now\b))"
)
_FEW = 4
_LONG = 40
"""Words of a line in which several possessions are told."""
_PER_CUT = 200


def one_by_one(lines: Sequence[str]) -> tuple[list[str], list[int]]:
    """Return the lines, cut before each possession where they tell several, and the line each part is of.

    Possessions are then headed ``poss 7``; a sheet that tells one a line is left as it is.
    """
    whole = list(lines), list(range(len(lines)))
    long = [at for at, line in enumerate(lines) if len(line) > _PER_CUT and len(line.split()) > _LONG]
    if not long:
        return whole
    lows = [plain(line) for line in lines]
    if any(len(low) != len(line) for low, line in zip(lows, lines, strict=True)):
        lines = lows
    inside = sum(match.start() > 0 for at in long for match in _NEXT.finditer(lows[at]))
    if inside < _FEW:
        return whole
    parts: list[str] = []
    owners: list[int] = []
    number = 0
    for at, (line, low) in enumerate(zip(lines, lows, strict=True)):
        cuts = {match.start(): match for form in (_NEXT, _BACK, _END) for match in form.finditer(low)}
        starts = sorted({0, *cuts})
        for start, end in pairwise([*starts, len(line)]):
            match = cuts.get(start)
            text = line[start:end]
            if match is not None and match.re is _NEXT:
                number += 1
                text = f"poss {number} {line[match.end() : end].strip(' ,.:')}"
            elif match is not None and match.re is _BACK and number > 1:
                text = f"poss {number} look at trip {number - 1} again , {line[match.end() : end].strip()}"
            if text.strip():
                parts.append(text)
                owners.append(at)
        if not line.strip():
            parts.append(line)
            owners.append(at)
    return parts, owners
