"""Notes cut into tokens: words, numbers and the marks between them."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Literal, NamedTuple

Kind = Literal["word", "number", "jersey", "points", "paren", "times", "noise", "and", "break"]


class Token(NamedTuple):
    """One token of a line; ``text`` is a word, or the digits of a number; ``value`` is set for numbers."""

    kind: Kind
    text: str
    value: int = 0


_UNDER_TEN = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_UNDER_TWENTY = (
    *("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
_TENTHS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
UNITS = {word: value for value, word in enumerate((*_UNDER_TEN, *_UNDER_TWENTY))}
"""``zero`` to ``nineteen``, in order."""
TENS = {word: 10 * value for value, word in enumerate(_TENTHS, 2)}
"""``twenty`` to ``ninety``, in order."""
_MOST_POINTS = 4
_AT_LINE = r"(?:fts?\b|free|at\s+the\s+(?:line|stripe)|from\s+the\s+line)"
_MEASURED = (
    r"(?:dribbles?|f(?:ee|oo)?t\b|steps?|m\b|met(?:er|re)s?|sec(?:ond)?s?\b|v\b|on\b|guys?|passe?s?\b"
    r"|times\b)"
)
_TOKEN = re.compile(
    rf"""
    \s*(?:(?!(?:and|fts?|no|nr|number|player|twice)(?!\w)|and1|x[0-9])(?P<fast>[^\W\d_]{{2,}}(?:'[^\W\d_]+)*)
    |(?P<ratio>(?<![\w/])(?P<ft1>\d)\s*(?:/|\s(?:of|for)\s)\s*\d\s*{_AT_LINE}|\bfts?\s*:?\s*(?P<ft2>\d)\s*/\s*\d\b)
    |(?P<made>(?<![\w/\#.:])(?P<ft3>[0-3])\s(?:of|for)\s[123](?![\w:]))
    |(?P<sum>(?<!\d)(?P<sum1>[23])\s?\+\s?1(?!\d))
    |(?P<andone>\band-(?:1|one)\b|(?<![0-9]\s)(?<![0-9])(?:\band|&)\s?(?:1|one)\b(?!\s*[&+]))
    |(?P<pts>(?P<ptsign>(?<!\w)[-+])?\s?(?P<ptsn>\d+)\s?-?(?:pts?|points?|p)\b\.?(?!\s*[:=]\s*\d)(?!\s*-?(?:line|shot|shooters?|range|arc|land|attempt|look|stripe)\b))
    |(?P<arrow>(?:->|=>|→|=)\s*(?P<arrown>-?\d)\b(?!\s*-?{_MEASURED}))
    |(?P<plus>(?:(?<![0-9])\+(?=-?[0-9])|(?<![0-9]\s)\+\s(?=[0-9]\s*(?:$|[,;|/.)!&])))(?P<plusn>-?\d+)\b(?=\s*(?:$|[,;|/.)!]|-\s|[a-z\#+&(]|\d)))
    |[(\[{{<"]\s*(?P<paren>[-+]?\d+)\s*[)\]}}>"]
    |(?P<times>(?<![a-z])[x*]\s?(?P<times1>\d{{1,3}})\b|\b(?P<times2>\d{{1,2}})x(?!\w)|\btwice\b)
    |(?P<versus>\b\d\s*-?(?:vs?\.?|on|against)-?\s*\d\b)
    |(?P<zone>\b\d-\d(?:-\d)+\b|\b\d-\d(?=\s*(?:zone|press|high|low|set|look)))
    |(?:\#\s?|\bno?\.\s?|\bno\s(?=\d{{1,2}}(?!\w|\s*-?(?:v|vs|on)\b))|\bnr\.?\s?|\bnumber\s|\bplayer\s|\bn°\s?)
       (?P<jersey>\d+)(?:'s\b)?(?!\w)
    |(?P<minus>(?<!\S)-\d+\b)
    |(?P<ordinal>\b\d+(?:st|nd|rd|th)\b)
    |(?P<number>\d+)(?:'s\b|s(?=\s+(?:man|guy|girl|kid|check|mark|fault|back|hands?)\b))?
    |(?P<dotted>(?<![a-z])(?:[a-z]\.){{2,}}|(?<![a-z])[a-z]/[a-z](?![a-z])|(?<![a-z])[a-z]\d[a-z](?![a-z]))
    |(?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)
    |(?P<and>&)
    |(?P<break>[,;|/!?+>→•·…]|\.+|(?:(?<=\s)|^)[-–—]+(?=\s|$)|[–—]))
    """,
    re.VERBOSE,
)
_PLAIN = str.maketrans({"−": "-", "’": "'", "‘": "'", "`": "'", "×": "x", "⇒": "→", "\u00a0": " "})
_Y_ENDING = re.compile(r"(?<=[a-z]{2})(?:ies|ied)$")
_ENDING = re.compile(
    r"(?<=[a-z]{3})(?:ing|ed)$|(?<=(?:ss|sh|ch|zz))es$|(?<=[a-z]x)es$|(?<=[a-z][a-rt-z])(?<![iu])s$"
)
_ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth"}


def tokens(text: str) -> list[Token]:
    """Return the tokens of one cleaned line, in order; case, quotes and joining hyphens are dropped."""
    return [_token(match) for match in _TOKEN.finditer(plain(text))]


def plain(text: str) -> str:
    """Return the text in lower case with ASCII digits, quotes, minus and times signs; safe to apply twice."""
    low = text.lower()
    if low.isascii():
        return low
    digits = (str(unicodedata.decimal(c)) if c.isdecimal() and not c.isascii() else c for c in low)
    return "".join(digits).translate(_PLAIN)


def words(text: str) -> list[str]:
    """Return only the words of a text, as ``tokens`` sees them (for phrases)."""
    return [one.text for one in tokens(text) if one.kind in ("word", "and")]


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """Return a word without the endings of its forms: ``jogs``, ``jogged`` and ``jogging`` are ``jog``.

    Crude on purpose and applied to phrases and notes alike: only equality matters.
    """
    if len(word) < 4 or not word.isascii():
        return word
    base = _ENDING.sub("", _Y_ENDING.sub("y", word))
    if base != word and len(base) > 3 and base[-1] == base[-2] and base[-1] not in "lsz":
        base = base[:-1]
    return base[:-1] if len(base) >= 5 and base.endswith("e") else base


def number_word(word: str) -> int | None:
    """Return 0 to 4 for ``zero`` to ``four``."""
    value = UNITS.get(word)
    return value if value is not None and value <= _MOST_POINTS else None


def signed(text: str) -> int:
    """Return the whole number of digits with an optional sign, whatever the dash; huge ones are capped."""
    value = int(text.replace("+", "").replace(" ", "")[:7])
    return max(-9999, min(9999, value))


def _token(match: re.Match[str]) -> Token:
    group = match.group
    if group("fast"):
        return Token("word", group("fast").replace("'", ""))
    if group("number"):
        return Token("number", group("number"), signed(group("number")))
    if group("word"):
        word = re.sub(r"'", "", group("word"))
        return Token("and", word) if word == "and" else Token("word", word)
    if group("break"):
        return Token("break", group("break").strip())
    if group("and"):
        return Token("and", "and")
    return _marked(match)


def _marked(match: re.Match[str]) -> Token:
    group = match.group
    if group("jersey"):
        return Token("jersey", group("jersey"), signed(group("jersey")))
    if group("dotted"):
        return Token("word", re.sub(r"[./]", "", group("dotted")))
    if group("ordinal"):
        return Token("word", _ORDINALS.get(group("ordinal"), group("ordinal")))
    if group("paren"):
        return Token("paren", group("paren").lstrip("+"), signed(group("paren")))
    if group("minus"):
        value = signed(group("minus"))
        return Token("points", "", value) if value >= -5 else Token("jersey", group("minus")[1:], -value)
    if group("times"):
        return Token("times", "", signed(group("times1") or group("times2") or "2"))
    if group("versus") or group("zone") or group("andone"):
        return Token("noise", "and-1" if group("andone") else group())
    return Token("points", "ft" if group("ratio") or group("made") else "", _points(match))


def _points(match: re.Match[str]) -> int:
    group = match.group
    if group("ratio"):
        return int(group("ft1") or group("ft2"))
    if group("made"):
        return int(group("ft3"))
    if group("sum"):
        return int(group("sum1")) + 1
    if group("pts"):
        sign = -1 if group("ptsign") == "-" else 1
        return sign * signed(group("ptsn"))
    return signed(group("arrown") or group("plusn"))
