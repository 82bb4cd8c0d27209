"""Film told in one breath: possessions parted by ``next one`` or ``new trip`` inside a long line.

A hand that dictates says the same few words before every possession; where they stand often enough, the text
is cut before each, and the possessions are counted.
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
_TEENS = "thirteenth|fourteenth|fifteenth|sixteenth|seventeenth|eighteenth|nineteenth"
_ORDINAL = (
    rf"(?:(?:twenty|thirty)[\s-])?(?:first|second|third|fourth|fifth|sixth|seventh|eighth|ninth)|tenth|eleventh|twelfth"
    rf"|{_TEENS}|twentieth|thirtieth|\d{{1,2}}(?:st|nd|rd|th)"
)
_OF_HALF = (
    r"(?:\s+(?:of|in|after)\s+(?:the\s+)?(?:(?:first|second|other)\s+)?"
    r"(?:half|interval|break|game|match|quarter))?"
)
_ANOTHER_THING = (
    r"(?!\s+(?:half|quarter|shots?|pass|screen|pick|foul|miss|free|chances?|man|girl|boy|guy|kid|rebound|board|look|effort|help"
    r"|rotation|time\b(?!\s+down)|person|defender|season|dribble|cutter|shooter|step|team|unit|group|week|practice|side|line"
    r"|two|three|points?|ball|big|drive|closeout|tip|attempt|fake))"
)
_SENTENCE = re.compile(
    rf"(?:^|(?<=[.!?])\s+|(?<=[.!?][\"')])\s+)(?:(?:and|then|but|so|now)\s+)?(?:"
    rf"(?:(?:on|in|at|with|for|to)\s+)?(?:the|their|our|that)\s+(?:very\s+)?(?:{_ORDINAL}|next|last|final)"
    rf"(?:\s+{_TRIP}|\s+of\s+(?:them|these|those)|(?<!next)(?<!last)(?<!final)){_ANOTHER_THING}{_OF_HALF}\b"
    rf"|(?:on\s+)?(?:the\s+)?{_TRIP}\s+after(?:\s+(?:that|this))?\b"
    rf"|next\s*,|after\s+that\s+(?:came|there|they|we)\b|then\s+came\b|(?:on\s+)?the\s+following\s+{_TRIP}\b"
    rf")[\s,]*"
)
"""How a sentence of a letter begins that tells of the next possession."""
_OPENS = re.compile(rf"\W*{_LEAD_IN}(?:the\s+)?(?:(?:next|new|first|last)\s+{_TRIP}|next)\b")
_BARE = re.compile(
    rf"(?:^{_LEAD_IN}|(?<=\btwo\s)|(?<=\bthree\s)|(?<=\bnothing\s)|(?<=\bpoints\s)|(?<=\bpoint\s)|(?<=\bscore\s)|(?<=\bharm\s))"
    r"(?:next\b(?!\s+(?:half|quarter|to|time\b|pass|man|girl|guy|shot|week|game))|first\s+time\s+(?=they\b))"
    r"|(?<=\s)next\s+(?=\d{1,2}\s)"
)
"""The word alone, where it opens a line or follows what the possession before cost."""
_MANY = 6
_SEVERAL = 2
_FEW = 4
_LONG = 40
"""Words of a line in which several possessions are told."""
_PER_CUT = 200
_PER_LETTER = 100
_BREATH = 12
_STOPS = re.compile(r"[,.;!?]\s")
_TURNS = re.compile(
    r"\s+(?P<word>but\b|and then\b|and so\b|so then\b|because\b|(?<!\d )and (?=(?:nobody|no one|it's"
    r"|that's|#?\d{1,2})\b))",
    re.IGNORECASE,
)


def one_by_one(lines: Sequence[str]) -> tuple[list[str], list[int]]:
    """Return the lines, cut before each possession where they tell several, and the line each part is of.

    Possessions are then headed ``poss 7``; a sheet that tells one a line is left as it is.
    """
    whole = list(lines), list(range(len(lines)))
    long = [at for at, line in enumerate(lines) if len(line) > _PER_CUT and len(line.split()) > _LONG]
    lows = [plain(line) for line in lines]
    letter = [found for low in lows if len(low) > _PER_LETTER and (found := len(_SENTENCE.findall(low)))]
    told_in_order = sum(letter) >= _MANY and sum(one > 1 for one in letter) >= _SEVERAL
    bare = sum(bool(_BARE.match(low)) and not _NEXT.match(low) for low in lows) >= _MANY
    forms = (_NEXT, _BARE, _BACK, _END) if bare else (_NEXT, _BACK, _END)
    told = sum(len(form.findall(low)) for low in lows for form in forms[:-2]) if not long else 0
    opened = sum(bool(_OPENS.match(low)) for low in lows)
    if not (long or told_in_order) and not (opened >= _MANY and told > opened):
        return whole
    if any(len(low) != len(line) for low, line in zip(lows, lines, strict=True)):
        lines = lows
    if told_in_order:
        return _cut(lines, lows, (_SENTENCE,))
    inside = sum(match.start() > 0 for at in long for match in _NEXT.finditer(lows[at]))
    if long and inside < _FEW:
        return whole
    return _cut(lines, lows, forms)


def _cut(
    lines: Sequence[str], lows: Sequence[str], forms: Sequence[re.Pattern[str]]
) -> tuple[list[str], list[int]]:
    parts: list[str] = []
    owners: list[int] = []
    number = 0
    for at, (line, low) in enumerate(zip(lines, lows, strict=True)):
        cuts = {match.start(): match for form in reversed(forms) for match in form.finditer(low)}
        starts = sorted({0, *cuts})
        for start, end in pairwise([*starts, len(line)]):
            match = cuts.get(start)
            text = line[start:end]
            if match is not None and match.re in (_NEXT, _BARE, _SENTENCE):
                number += 1
                text = f"poss {number} {line[match.end() : end].strip(' ,.:')}"
            elif match is not None and match.re is _BACK and number > 1:
                text = f"poss {number} look at trip {number - 1} again , {line[match.end() : end].strip()}"
            if text.strip():
                parts.append(_breathed(text))
                owners.append(at)
        if not line.strip():
            parts.append(line)
            owners.append(at)
    return parts, owners


def _breathed(text: str) -> str:
    """Set the commas that a dictating hand leaves out, before what turns a long stretch elsewhere."""
    if len(text.split()) < _BREATH or _STOPS.search(text):
        return text
    return _TURNS.sub(r" , \g<word>", text)
