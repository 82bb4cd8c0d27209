"""How a hand lays its lines out, found over the whole sheet, and each line put the one way the reader knows.

Numbers, times and points that stand in fields parted by arrows, dashes, pipes or tabs go to where they are
looked for (``3 → 8 lc → 2`` becomes ``poss 3 8 lc . 2 pts``), clocks without a colon get theirs, numbers said
in words become digits, and a line that tells several moments is cut at their times.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from planner.film.dictated import dictated, value, with_players
from planner.film.fields import parted
from planner.film.marks import heading_period
from planner.film.numbering import numbered
from planner.film.one_by_one import one_by_one
from planner.film.trips import paragraphs
from planner.film.words import TENS, UNITS, plain
from planner.text import LINE_LIMIT

_BULLET = r"\s*(?:[-*•–—▪◦·‣●○■□➤➢✓✔✗]+\s+|[-*•]+(?=\d))?"
_TIGHT = re.compile(
    rf"^(?P<bullet>{_BULLET}(?:[-–—]+\s+)?)(?P<m>\d{{1,2}})(?P<s>[0-5]\d)(?![\d:.])\s*(?=\D|$|\d)"
)
_TIGHT_SHARE = 0.55
_FEW = 4
_LONGEST_PERIOD = 20
_MOMENT = re.compile(
    r"(?:(?:(?<=[\s,;.])|^)(?:and\s+|then\s+|so\s+)*(?:at|by|around|about|near|@)\s+)?"
    r"(?<![\d:/])(?P<time>\d{1,2}:\d\d(?::\d\d)?)(?![\d:])"
)
_LEAD_IN = re.compile(r"(?:[^.;!?]{0,60})$")
_CLOCK = re.compile(r"(?<![\d:])(?P<m>\d{1,3}):(?P<s>[0-5]\d)(?![\d:])")
_LONG = 60
_POINTS = 3
_GLUED = re.compile(r"^(?P<mark>\s*[-*•])(?P<rest>#?(?:(?P<n>\d{1,2})\b|[^\W\d]).*)$", re.DOTALL)
_PLUS = re.compile(r"\+ +(?=[^\s=])")
_SOME = 2
_HEADED = re.compile(r"poss \d+ ")
_LAST_WORD = re.compile(
    r"(?:,?\s+(?:and|so|that's|thats|it's|for|cost us|it cost us|another))*[\s,]+(?P<n>two|three|one"
    r"|zero|nothing|nil|nowt|no harm)"
    r"(?:\s+(?:more|again|points?|against us|this time|came of it))?\s*[.!]*\s*$"
)
_FIRST_NOTHING = re.compile(r"poss \d+ (?:and |so )?nothing\b")
_OF_THROWS = re.compile(
    r"\b(?P<a>one|two|three|zero) (?:of|for) (?P<b>one|two|three)\b(?!\s+(?:them|the|us|our|their)\b)"
)
_ENDING = 0.5
_RISING = 0.85
_VIDEO_TIMES = 6
_TEN = "|".join(TENS)
_UNIT = "|".join([*UNITS][1:10])
_TEENS = "|".join([*UNITS][10:])
_WORDED = re.compile(rf"\b(?:(?:{_TEN})(?:[\s-]+(?:{_UNIT}))?|{_TEENS})\b")
_CALLED = re.compile(
    rf"\b(?P<label>poss(?:ession)?|trip|clip|play|number|player|jersey)\s+"
    rf"(?P<n>(?:{_TEN})(?:[\s-]+(?:{_UNIT}))?|{_TEENS}|{_UNIT})\b"
)
_TIME_LABEL = re.compile(
    r"^(?P<bullet>\s*(?:[-*•]\s+)?)(?:#{1,6}\s+(?=\W?(?:[qh]\d|\dq|\d{1,2}:\d\d))|(?P<period>q[1-4]|[1-4]q|h[12]|[12]h|ot\d?)\s*[:.;/_-]\s*(?=\d{1,2}:\d\d)"
    r"|(?:time|video|vid|film|clock|tape|tc|ts|t)\s*[=:@ ]\s*(?=\[?\d{1,2}:\d\d))",
    re.IGNORECASE,
)
_LABELLED = re.compile(r"\s*(?:[-*•]\s+)?(?:#|[a-z\d]{1,5}\s*[=:@.;/_ -])", re.IGNORECASE)
_SAID_CLOCK = re.compile(
    rf"(?P<lead>\s*(?:[-*•]\s*)?)(?P<m>{_UNIT}|ten|eleven|twelve|zero)\s+"
    rf"(?P<s>oh (?:{_UNIT})|(?:twenty|thirty|forty|fifty)(?:[\s-]+(?:{_UNIT}))?|{_TEENS})"
    r"(?=\s+\S|\s*[,:.-])"
)
_STARTS = re.compile(r"\s+(?:starts?|begins?|opens?|now)(?:\s+(?:at|with))?$", re.IGNORECASE)
_NUMBERED_TIME = re.compile(
    r"^\s*(?P<head>(?:poss(?:ession)?|trip|clip|play)\.?\s*#?\d{1,3})\W*(?:at\s+)?(?P<time>\d{1,2}:\d\d(?::\d\d)?)"
    r"(?:\s+(?:into the (?:video|film|tape)|(?:on|of) (?:the )?(?:video|film|tape|clock)|mark))?"
    r"[\s,.:–—-]+(?=\S)",
    re.IGNORECASE,
)
_NEXT = re.compile(
    r"^\W*(?:(?:ok(?:ay)?|so|and|then|now|the|our)\s+)*(?:next|first|last|second)"
    r"(?:\s+(?:one|poss(?:ession)?|trip|time(?: down)?|play|def(?:ensive)? poss(?:ession)?))?\b"
    r"(?!\s*(?:half|quarter|qtr|period|q\b))[\s,:.-]*",
    re.IGNORECASE,
)
_AFTER_THAT = re.compile(r"^\W*(?:and\s+)?(?:then|after that|followed by|later)\b[\s,:.-]*", re.IGNORECASE)
_TO_POINTS = re.compile(r"\b(?:to|too)\s+(?=points?\b)")
_FOR_POINTS = re.compile(r"\bfor\s+(?=points\b)")
_ONE_POINT = re.compile(r"\bwon\s+(?=points?\b)")
_SPOKEN = 3


def laid_out(lines: Sequence[str]) -> list[list[str]]:
    """Return for each line what is to be read of it: several lines where it tells several moments."""
    parts, owners = one_by_one(lines)
    if len(parts) == len(lines):
        return _laid_out([line[:LINE_LIMIT] for line in lines])
    made: list[list[str]] = [[] for _ in lines]
    for owner, read in zip(owners, _laid_out(parts), strict=True):
        made[owner] += read
    return [read or [""] for read in made]


def _laid_out(lines: list[str]) -> list[list[str]]:
    found = _spoken(dictated(lines))
    if paragraphs(found):
        return [[line] for line in found]
    found = _bulleted(found)
    found = _with_colons(found)
    found = [
        _TIME_LABEL.sub(_only_period, line, count=1) if _LABELLED.match(line) else line for line in found
    ]
    found = numbered(parted(found))
    found = _counted_off([_NUMBERED_TIME.sub(r"\g<head> \g<time> ", line, count=1) for line in found])
    cut = [part for line in found for part in [_moments(line)]]
    cut = _worded_ends(cut)
    if _on_video([part for parts in cut for part in parts]):
        cut = [[_video(part) for part in parts] for parts in cut]
    return cut


def _spoken(lines: list[str]) -> list[str]:
    """Write numbers in words as digits where the sheet is dictated."""
    lows = [plain(line) for line in lines]
    clocks = [_SAID_CLOCK.match(low) for low in lows]
    if sum(bool(one) for one in clocks) >= _FEW:
        lines = [
            _clock_said(one, low) if one else line for one, low, line in zip(clocks, lows, lines, strict=True)
        ]
        lows = [plain(line) for line in lines]
    called = sum(bool(_CALLED.search(low)) for low in lows)
    if sum(bool(_WORDED.search(low)) for low in lows) + called < _SPOKEN:
        return lines
    digits = [
        _digits(low)
        if _WORDED.search(low) or _CALLED.search(low) or "point" in low or _OF_THROWS.search(low)
        else line
        for low, line in zip(lows, lines, strict=True)
    ]
    return with_players(digits, lows)


def _clock_said(match: re.Match[str], low: str) -> str:
    """Write ``seven forty twelve`` as ``7:40 twelve``."""
    seconds = value(match["s"].replace("oh ", ""))
    return f"{match['lead']}{value(match['m'])}:{seconds:02d} {low[match.end() :]}"


def _digits(low: str) -> str:
    low = _CALLED.sub(_labelled, low)
    low = _OF_THROWS.sub(lambda match: f"{value(match['a'])} of {value(match['b'])}", low)
    low = _WORDED.sub(lambda match: str(value(match.group())), low)
    return _ONE_POINT.sub("one ", _FOR_POINTS.sub("four ", _TO_POINTS.sub("two ", low)))


def _labelled(match: re.Match[str]) -> str:
    told = value(match["n"])
    return f"#{told}" if match["label"] in ("number", "player", "jersey") else f"{match['label']} {told} "


def _bulleted(lines: list[str]) -> list[str]:
    """Part a dash from the words it marks (``-11 got beat``) where it cannot be a minus.

    A plus is a bullet beside dashes: what was good, what was not.
    """
    pluses = sum(bool(_PLUS.match(line)) for line in lines)
    if pluses >= _SOME and sum(line.startswith("- ") for line in lines) >= _FEW:
        lines = [_PLUS.sub("- ", line, count=1) for line in lines]
    glued = [match for line in lines if (match := _GLUED.match(line))]
    bullets = sum(not match["n"] or int(match["n"]) > _POINTS for match in glued)
    if bullets < _FEW or bullets * 2 < len(glued):
        return lines
    return [_GLUED.sub(r"\g<mark> \g<rest>", line) if _GLUED.match(line) else line for line in lines]


def _with_colons(lines: list[str]) -> list[str]:
    """Write ``745 12 blown by`` as ``7:45 12 blown by`` where most lines of the sheet begin so."""
    heads = [_TIGHT.match(line) for line in lines]
    filled = sum(any(char.isdigit() for char in line) for line in lines)
    good = [one for one in heads if one and int(one["m"]) <= _LONGEST_PERIOD]
    if len(good) < _FEW or len(good) < _TIGHT_SHARE * filled:
        return lines
    return [
        f"{one['bullet']}{int(one['m'])}:{one['s']} {line[one.end() :]}"
        if one is not None and one in good
        else line
        for one, line in zip(heads, lines, strict=True)
    ]


def _only_period(match: re.Match[str]) -> str:
    """Leave of what stands before a clock (``t=``, ``Q1:``) the bullet and the period."""
    return match["bullet"] + (f"{match['period']} " if match["period"] else "")


def _moments(line: str) -> list[str]:
    """Cut a line of prose at the times in it; what leads up to a time in its sentence goes with it."""
    times = list(_MOMENT.finditer(line)) if len(line) > _LONG else []
    if not times or (len(times) < 2 and not _prose(line, times[0])):
        return [line]
    cuts = [0]
    for one in times:
        lead = _LEAD_IN.search(line, 0, one.start())
        start = lead.start() if lead else one.start()
        if start <= cuts[-1]:
            if len(cuts) == 1:
                continue
            start = one.start()
        cuts.append(start)
    parts = [line[a:b] for a, b in pairwise([*cuts, len(line)])]
    return [one for part in parts if part.strip(" .,;") for one in _timed(part)]


def _prose(line: str, time: re.Match[str]) -> bool:
    """Say whether a time stands inside a sentence."""
    return (
        bool(re.match(r"\s*(?:(?:and|then)\s+)*(?:at|by|around|about)\b", line, re.IGNORECASE))
        and time.start() < 12
    )


def _counted_off(lines: list[str]) -> list[str]:
    """Count possessions that a hand tells one by one: ``first possession``, ``next one``, ``after that``."""
    if sum(bool(_NEXT.match(line)) for line in lines) < _FEW:
        return lines
    made, number = [], 0
    for line in lines:
        match = _NEXT.match(line) or _AFTER_THAT.match(line)
        number += match is not None
        made.append(f"poss {number} {line[match.end() :]}" if match else line)
    return made


def _worded_ends(cut: list[list[str]]) -> list[list[str]]:
    """Write the number that ends a possession as its points where that is how a dictating hand ends them."""
    told = [part for parts in cut for part in parts if _HEADED.match(part)]
    ended = sum(bool(_LAST_WORD.search(plain(part))) for part in told)
    if len(told) < _VIDEO_TIMES or ended < _ENDING * len(told):
        return cut
    return [[_ended(part) if _HEADED.match(part) else part for part in parts] for parts in cut]


def _ended(part: str) -> str:
    match = _LAST_WORD.search(plain(part))
    if match is None:
        return f"{part} . 0 pts" if _FIRST_NOTHING.match(plain(part)) else part
    said = match["n"]
    points = 0 if said in ("nothing", "nowt", "none", "no harm", "no score", "nil") else value(said)
    return f"{part} . {points} pts"


def _timed(part: str) -> list[str]:
    """Return a stretch with its time in front; words that lead up to it stand behind, a period by itself."""
    time = _MOMENT.search(part)
    if time is None:
        return [part]
    before = part[: time.start()].strip(" .,;:")
    rest = part[time.end() :].lstrip(" .,;:-–—")
    period = heading_period(plain(re.sub(_STARTS, "", before))) if before else None
    moment = f"{time['time']} {'' if period or not before else before + ' , '}{rest}"
    return [before_period, moment] if period and (before_period := re.sub(_STARTS, "", before)) else [moment]


def _seconds(line: str) -> int | None:
    match = _CLOCK.search(line[:24])
    return 60 * int(match["m"]) + int(match["s"]) if match else None


def _on_video(lines: Sequence[str]) -> bool:
    """Say whether the times at the heads of lines are those of a film: they run up, all through."""
    told = [at for line in lines if (at := _seconds(line)) is not None]
    if len(told) < _VIDEO_TIMES:
        return False
    rising = sum(b >= a for a, b in pairwise(told))
    return rising >= _RISING * (len(told) - 1)


def _video(line: str) -> str:
    match = _CLOCK.search(line[:24])
    if not match:
        return line
    minutes = int(match["m"])
    return f"{line[: match.start()]}{minutes // 60:02d}:{minutes % 60:02d}:{match['s']}{line[match.end() :]}"
