"""Lines that only count: ``no box out 7``, ``late closeout: 4``, ``bo ||||| ||``, ``lc 2 bo 3``."""

from __future__ import annotations

import itertools
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from planner.film.meant import credited, meant
from planner.film.wording import MEANINGS, Lexicon
from planner.film.words import words

MOST_COUNTED = 300
"""More of one breakdown in one game is not believed."""
_SPLIT = re.compile(
    r"[,;](?!\d)|\s\+\s(?!\+)|(?<=[a-z0-9)])\.\s+(?=[a-z0-9])|\s[/|]\s(?=[a-z0-9])|\s[•·]\s"
    r"|(?<=[\dx)|])\s{2,}(?=[a-z0-9])|(?<=[a-z])\s{2,}(?=\d{1,2}\s?x?\s[a-z])"
)
_JOINED = re.compile(r"\s(?:and|&|plus)\s|^[^()]*?\bbut\s(?=\d)")
_FORMS = tuple(
    (re.compile(pattern), plainly)
    for pattern, plainly in (
        (r"\[\s*x?\s?(\d{1,3})\s?x?\s*\]$", r"x\1"),
        (r"\(\s*(\d{1,3})\s?x\s*\)$", r"x\1"),
        (r"\s*(?:→|->|=>|>)\s*(\d{1,3})$", r" x\1"),
        (r"\s+\*\s?(\d{1,3})$", r" x\1"),
    )
)
_LED = tuple(
    (re.compile(pattern), plainly)
    for pattern, plainly in (
        (r"^\(?(\d{1,3})\s?(?:x\s?)?(?:\)|:|=|\s[-–—]+\s|[-–—]+>?\s|\s?→)\s*(?=[a-z])", r"\1x "),
    )
)
"""Ways to write a count beside its wording, and the one way that is read."""
_STROKES = r"(?:[|/\\!✓✔]|\b[il]{2,15}\b)(?:\s*(?:[|/\\!✓✔]|\b[il]{1,15}\b))*"
_BY_NUMBER = re.compile(
    r"^(?P<said>.*?[^\W\d_][./)]?)\s*(?P<mark>[:=]|\.{2,}|[-–—]+>?|x(?=\s?\d)|\()?\s*x?\s?"
    r"(?P<n>\d{1,6})(?P<more>(?:\s?\+\s?\d{1,3})*)\)?(?P<tail>\s*(?:x|times))?$"
)
_BY_STROKES = re.compile(
    rf"^(?P<said>.*?[^\W\d_][.)]?)(?:\s*(?:[:=-]|\.{{2,}}))?\s*(?P<strokes>{_STROKES})"
    r"(?:\s*(?:=|\(|:|-)?\s*(?P<told>\d{1,3})\)?)?$"
)
_TICKED = re.compile(
    r"^(?P<said>.*?[^\W\d_])\s*[:=-]?\s+(?P<ticks>x{1,12}(?:\s+x{1,12})*|[*+•]{1,40}(?:\s[*+•]{1,40}){0,8})$"
)
_NUMBER_FIRST = re.compile(r"^(?P<n>\d{1,6})\s?(?P<mark>x)\s*(?P<said>[^\W\d_].*)$")
_PLAIN_FIRST = re.compile(r"^(?P<n>\d{1,2})\s+(?P<said>[^\W\d_].*)$")
_RUN = re.compile(
    rf"(?P<said>[a-z][a-z'/&. -]*?)\s*(?:[:=x(-]\s?)?\s*(?:(?P<n>\d{{1,2}})\)?|(?P<strokes>{_STROKES}))"
    r"(?=\s|,|;|$)\s*[,;]?\s*"
)
_DIGITS = re.compile(r"[0-9](?![0-9]*(?:st|nd|rd|th)\b)")
ONE_ON_ONE = re.compile(r"\b1\s?-?\s?(?:on|v|vs)\s?-?\s?1\b")
_ORDINARY = re.compile(r"\b[1-5]\s?(?:on|v|vs|-on-)\s?[1-5]\b|\b[12] pass\b")
_LONGEST = 300
_CERTAIN = 0.9
_COUNTED_WORDS = {
    "a couple": 2,
    "a couple of": 2,
    "couple of": 2,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "one": 1,
}
_TIMES = {"once": 1, "twice": 2}
_WORD_FIRST = re.compile(
    rf"({'|'.join(sorted(_COUNTED_WORDS, key=len, reverse=True))})\s+(?=[a-z])(?!on\b|pass|hand|step|v\b)"
)
_WORD_LAST = re.compile(r"\s+(?:(once|twice)|(two|three|four|five|six|seven|eight|nine|ten) times)$")
_LAST_WORDS = re.compile(
    r"\s*,?\s+(?:(?P<word>once|twice)|(?P<many>two|three|four|five|six|seven|eight|nine|ten|\d{1,2}) times)$"
)
_ONE_STROKE = re.compile(r"(?<=[a-z])\s+[il|]$")
_REMARKED = re.compile(r"\s*\((?=[^()]*[a-z]{2}[^()]*\s)(?!\s*x?\d+\s?(?:x|times)?\s*\))[^()]*\)?")
_SHOUTED = re.compile(r"\s*[!?]+(?=\s*(?:$|[,;.]))")
_RANKED = re.compile(
    r"^[\s*•–—-]*[(\[]?(?P<n>\d{1,3})[)\]]?\s*(?:[:=.)]|[-–—]+>?\s)?\s*(?P<said>[^\W\d_].*)$"
)
_PLACE = re.compile(r"\b(?:on|at|from|off|in|after|for)\s+(?:the\s+|a\s+|an\s+)?[a-z]+")
"""Where or when it was: who is beaten ``on the block`` blocks nothing."""
_MARKED_WORD = re.compile(r"\s*(?:[:=]|\s[-–—]+)\s*(?P<n>one|two|three|four|five|six)$")
_DOTTED = re.compile(
    r"^[\s*•–—-]*(?P<said>[^\W\d_][^.…]*?)\s*(?:\.{3,}|…+|(?:\s\.){3,}|\s\.{2}(?=\s))\s*(?P<rest>\S.*)$"
)
_MENDED = re.compile(
    r"(?:\bcorrect(?:ed)?(?: it| that)? to|[-–—]+>|→|=>|\bmake (?:it|that)|\bput|\bshould be"
    r"|\bnow)\s*(?:correct to\s*)?(?P<n>\d{1,2})\b"
)
_FIRST = re.compile(
    r"(?:x\s?)?(?P<n>\d{1,2}|once|twice|thrice|one|two|three|four|five|six)\b(?!\s*[/:]\s*\d)"
)
_FEW = 3
_MOST = 0.8
_FALLING = 0.95
_ASIDE = re.compile(r"\s*\((?!\s*x?\s?\d+\s?x?\s*\))[^()]*\)")
_SIGHED = re.compile(
    r"(?<=[\d|)x])\s+(?:ugh|lol|smh|wow|ouch|yikes|again|sigh|argh|man|geez|really|come on|haha|hmm?|oof"
    r"|bad|too many)\b[\s!?.]*$"
)
_AND = re.compile(r"^(?:and|plus)\s+")
_POINTS = re.compile(
    r"\b(?:points|pts)(?:\s+(?:allowed|against|given up|conceded))?\s*[:=-]?\s*(?P<n>\d{1,3})\b"
)


@dataclass(frozen=True, slots=True)
class Count:
    """A breakdown counted on a line; ``said`` is the wording, ``breakdown`` None where it is unknown."""

    said: str
    breakdown: str | None
    count: int
    sure: float
    strong: bool
    """The mark between wording and number (colon, strokes, x) shows that it is a count and no jersey."""
    strokes: bool = False
    aside: bool = False
    """It counts something that is no breakdown: steals, points, stops."""


def count_line(low: str, lexicon: Lexicon) -> list[Count] | None:
    """Return what a line in plain form counts, or None when it is no line of counts throughout."""
    if len(low) > _LONGEST:
        return None
    low = ONE_ON_ONE.sub(" one on one ", low)
    parts = [part.lstrip("*•").strip(" .\t-–—•") for part in _SPLIT.split(low) if part.strip()]
    counts = [_segment(part, lexicon) for part in parts]
    if not counts or any(one is None for one in counts):
        return None
    return [one for one in counts if one is not None]


def ranked(lows: Sequence[str], lexicon: Lexicon, *, watched: bool) -> list[list[Count] | None] | None:
    """Return what lines count that have their numbers in front, ``9 no box out``, None where they do not.

    Each breakdown stands once, and numbers fall or the possessions watched are told: else they are players.
    """
    found: list[list[Count] | None] = []
    for low in lows:
        match = _RANKED.match(low)
        made = _count(match["said"], int(match["n"]), lexicon, strong=True) if match else None
        found.append([made] if made is not None and (made.breakdown or made.aside) else None)
    told = [one for line in found if line is not None for one in line if one.breakdown]
    if len(told) < _FEW or len(told) < _MOST * len(found) or len({one.breakdown for one in told}) < len(told):
        return None
    falling = sum(a.count >= b.count for a, b in itertools.pairwise(told)) >= _FALLING * (len(told) - 1)
    return found if watched or (falling and told[0].count > told[-1].count) else None


def count_row(low: str, lexicon: Lexicon) -> list[Count] | None:
    """Return what a line counts, remarks such as ``(again!)`` aside; None where it counts nothing."""
    dotted = _dotted(low, lexicon)
    made = [dotted] if dotted is not None else count_line(low, lexicon)
    if made is None and len(low) <= _LONGEST:
        bare = _SIGHED.sub("", _SHOUTED.sub("", _ASIDE.sub("", low)))
        made = count_line(bare, lexicon) if bare != low else None
    return made


def _in_digits(part: str) -> str:
    """Write ``three blow bys``, ``no tag twice`` and ``no tag [2]`` with digits behind the words."""
    for form, plainly in (*_FORMS, *_LED):
        part = form.sub(plainly, part)
    first = _WORD_FIRST.match(part)
    if first:
        part = f"{_COUNTED_WORDS[first[1]]} {part[first.end() :]}"
    part = _ONE_STROKE.sub(" 1", part)
    part = _MARKED_WORD.sub(lambda match: f" x{_COUNTED_WORDS[match['n']]}", part)
    last = _WORD_LAST.search(part)
    if last:
        return f"{part[: last.start()]} x{_TIMES.get(last[1]) or _COUNTED_WORDS[last[2]]}"
    return part


def count_list(low: str, lexicon: Lexicon) -> list[Count] | None:
    """Return what a list counts where it is known to be one: ``bo 3 lc 2``, ``3 no box outs, back cut``.

    A breakdown without a number counts once; remarks behind what is counted are left alone.
    """
    dotted = _dotted(low, lexicon)
    if dotted is not None:
        return [dotted]
    found: list[Count] = []
    low = ONE_ON_ONE.sub(" one on one ", _SHOUTED.sub("", _REMARKED.sub("", low[:_LONGEST])))
    whole = _segment(low.strip(" .\t-–—*•+&"), lexicon) if "," in low else None
    if whole is not None and whole.breakdown and whole.sure > _CERTAIN:
        return [whole]
    for raw in _SPLIT.split(low):
        part = _AND.sub("", raw.strip(" .\t-–—•&").lstrip("*+"))
        if not part.strip("*+"):
            continue
        made = _listed(_in_digits(part), lexicon) or _joined(part, lexicon)
        if made is None and not found:
            return None
        if made is None and _DIGITS.search(part):
            return None
        found += made or []
    return found or None


def _dotted(low: str, lexicon: Lexicon) -> Count | None:
    """Read ``ball watching ....... 2, both in game 1``: dots lead to the one count, a remark may follow."""
    match = _DOTTED.match(low[:_LONGEST])
    if match is None:
        return None
    rest = match["rest"]
    mended = _MENDED.search(rest)
    first = _FIRST.match(rest)
    number = mended["n"] if mended else first["n"] if first else ""
    if not number:
        return None
    count = int(number) if number.isdigit() else _TIMES.get(number) or _COUNTED_WORDS.get(number, 0)
    return _count(match["said"], count, lexicon, strong=True)


def _joined(part: str, lexicon: Lexicon) -> list[Count] | None:
    """Read ``3 no box out and 2 late closeout``, where the words do not name one thing together."""
    parts = [one for one in _JOINED.split(part) if one]
    made = [_listed(_in_digits(one), lexicon) for one in parts] if parts != [part] else []
    if not made or any(one is None for one in made):
        return None
    return [count for one in made if one is not None for count in one]


def _listed(part: str, lexicon: Lexicon) -> list[Count] | None:
    one = _segment(part, lexicon)
    if one is not None:
        return [one]
    first = _PLAIN_FIRST.match(part)
    if first and not _DIGITS.search(first["said"]):
        return [_count(first["said"], int(first["n"]), lexicon, strong=True)]
    if not _DIGITS.search(part):
        spots = lexicon.spots(words(part))
        several = len(spots) > 1 and all(one.meaning.kind == "breakdown" for one in spots)
        if several and sum(one.end - one.start for one in spots) == len(words(part)):
            return [Count(part, one.meaning.id, 1, one.sure, strong=False) for one in spots]
        alone = _count(part, 1, lexicon, strong=False)
        return [alone] if alone.breakdown or alone.aside else None
    runs = list(_RUN.finditer(part))
    whole = runs and runs[0].start() == 0 and all(a.end() == b.start() for a, b in itertools.pairwise(runs))
    if not whole or runs[-1].end() != len(part):
        return None
    return [
        _count(run["said"], int(run["n"]) if run["n"] else _stroked(run["strokes"]), lexicon, strong=True)
        for run in runs
    ]


def points_counted(low: str) -> int | None:
    """Return the points a line of totals tells."""
    match = _POINTS.search(low)
    return int(match["n"]) if match else None


def without_points(low: str) -> str:
    """Return the line with its total of points cut out."""
    return _POINTS.sub(" ", low)


def counted_section(
    lines: Sequence[list[Count] | None], *, watched: bool, roster: Collection[str] | None
) -> bool:
    """Decide whether the lines of a section without clocks, stops and points are counts.

    They are when the lines of counts outweigh the others two to one, no breakdown comes twice (unless in
    strokes), and it is shown that the numbers are no jerseys: by a colon, strokes or an x, by the
    possessions watched being told, or by there being two lines or more with numbers that are not all on
    the roster.
    """
    shaped = [one for line in lines if line is not None for one in line if one.breakdown]
    lines_shaped = sum(line is not None and any(one.breakdown for one in line) for line in lines)
    if not shaped or lines_shaped < 2 * sum(line is None for line in lines):
        return False
    named = [one.breakdown for one in shaped if not one.strokes]
    if len(set(named)) < len(named):
        return False
    if watched or any(one.strong for one in shaped):
        return True
    jerseys = roster is not None and all(str(one.count) in roster for one in shaped)
    return lines_shaped > 1 and not jerseys


def _segment(part: str, lexicon: Lexicon) -> Count | None:
    for form, plainly in _FORMS:
        part = form.sub(plainly, part)
    part = _LAST_WORDS.sub(_times, part)
    match = _BY_STROKES.match(part)
    if match and not _DIGITS.search(_ORDINARY.sub(" ", match["said"])):
        strokes = _stroked(match["strokes"])
        sure = any(char in "|✓✔" for char in match["strokes"])
        made = _count(match["said"], strokes, lexicon, strong=True, strokes=True)
        if made.breakdown or made.aside or sure:
            return made
    match = _TICKED.match(part)
    if match and not _DIGITS.search(match["said"]):
        made = _count(match["said"], _stroked(match["ticks"]), lexicon, strong=True, strokes=True)
        if made.breakdown:
            return made
    match = _BY_NUMBER.match(part) or _NUMBER_FIRST.match(part)
    if not match or _DIGITS.search(_ORDINARY.sub(" ", match["said"])):
        return None
    groups = match.groupdict()
    strong = bool(match["mark"]) or bool(groups.get("tail")) or bool(groups.get("more"))
    more = sum(int(one) for one in re.findall(r"\d+", groups.get("more") or ""))
    return _count(match["said"], int(match["n"]) + more, lexicon, strong=strong)


def _times(match: re.Match[str]) -> str:
    said = match["word"] or match["many"]
    return f" x{_TIMES.get(said) or _COUNTED_WORDS.get(said) or said}"


def _stroked(strokes: str) -> int:
    return sum(not char.isspace() for char in strokes)


def _count(said: str, count: int, lexicon: Lexicon, *, strong: bool, strokes: bool = False) -> Count:
    label = words(said)
    spot = lexicon.whole(label) or lexicon.by_itself(label)
    said = said.strip(" :=-–—")
    if spot is not None and spot.meaning.kind == "breakdown":
        return Count(said, spot.meaning.id, count, spot.sure, strong, strokes)
    elsewhere = _PLACE.sub(" ", said)
    aside = (spot is not None and spot.meaning.kind in MEANINGS) or credited(words(elsewhere), lexicon)
    told = elsewhere if credited(label, lexicon) else said
    made = meant(told, lexicon, bare=False) if strong and not aside else None
    if made is not None and made.id:
        return Count(said, made.id, count, made.sure, strong, strokes)
    return Count(said, None, count, spot.sure if spot else 1.0, strong, strokes, aside)
