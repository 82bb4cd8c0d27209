"""Notes written without room between: ``22j``, ``bo22``, ``what@who``, ``noBoxOut``, ``late2shooter``.

Each is spelled out before a line is read, so that the player stays with the breakdown he is written on.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from planner.film.wording import Lexicon
from planner.film.words import tokens, words

_CAMEL = re.compile(r"(?<![^\W_])[a-z][a-z]+(?:[A-Z][A-Za-z]*)+")
_HUMP = re.compile(r"(?<=[a-z])(?=[A-Z])")
_AT = re.compile(
    r"(?P<what>[^\s@,;>|]+)\s?@\s?(?P<who>\d{1,2}(?![\d:])(?:\s?[+/&,]\s?@?\s?\d{1,2}(?![\d:])|\s@\s?\d{1,2}(?![\d:]))*)"
)
_DIGITS = re.compile(r"\d{1,2}")
_JOINTS = re.compile(r"[/()_.!\-]+")
_NUMBER_CODE = re.compile(r"(?<![\w#@:.+/-])#?(?P<n>\d{1,2})(?P<code>[a-z]{1,7})(?![\w:'])")
_CODE_NUMBER = re.compile(r"(?<![\w#@:.'])(?P<code>[a-z]{1,7})[#-]?(?P<n>\d{1,2})(?![\w:.'])")
_PERIODS = frozenset({"q", "h", "p", "ot", "x", "no", "nr", "qtr"})
_NOT_CODES = frozenset(
    {"st", "nd", "rd", "th", "pt", "pts", "p", "s", "x", "m", "ft", "fts", "v", "on", "sec", "min"}
)
_INSIDE_TO = re.compile(r"(?<=[a-z]{2})2(?!nd)(?=[a-z]{3})")
_INSIDE_SECOND = re.compile(r"(?<=[a-z])2nd(?=[a-z])")
_TOO = re.compile(r"(?<![\w+])2(?=(?:wide|late|slow|far|deep|soft|high|low|hard|easy|short|tight)\b)")
_LISTED = re.compile(r"(?<=\d),(?=\d{1,2}(?![\d:]))")
_TOGETHER = re.compile(r"(?<![\w#+])(?P<a>#?\d{1,2})\s?\+\s?(?P<b>#?\d{1,2})(?=\s+[a-z])")
_AT_LINE = re.compile(
    r"(?<=[a-z.,;] )(?<!ft )(?<!fts )(?P<ratio>(?:[0-2]/2|[0-3]/3|[01]/1))"
    r"(?=\s*(?:$|[.,;!]|[+(]?\d\s*(?:$|pts?\b)))"
)
_MARKED_THEIRS = re.compile(r"(?<![\w:#])#?(?P<n>\d{1,2})\s?\((?:opp|them|theirs|[a-wyz])\)")
_IN_BRACKETS = re.compile(
    r"\((?!\s*[0-3]\s*/\s*[1-3]\s*\))\s*(?P<who>#?\d{1,2}(?:\s*(?:[,/&+]|and)\s*#?\d{1,2})+)\s*\)"
)
_LABELLED = re.compile(r"\[\s*(?P<said>[a-z][a-z /&-]{0,24})\s*\]")
_MAN_OF = re.compile(
    r"\b(?P<to>on|help|with|helping|helped|onto|off|to)\s+#?\d{1,2}'s\s+(?P<man>man|guy|girl|check|kid|matchup|mark)\b"
)
_OUR_OFFENCE = re.compile(r"\b(?:our |on )?(?:offen[sc]e|o end|other end)\s*[:–—-]+\s*[^.;|]*(?:[.;|]|$)")
_SLANG = tuple(
    (re.compile(pattern), meant)
    for pattern, meant in (
        (r"\b1\s?-?\s?(?:on|v|vs)\s?-?\s?1\b", "one on one"),
        (r"\b([0-4])\s?pa\b", r"\1 pts"),
        (r"\bgr8\b", "great"),
        (r"\bno1\b|\bno 1(?= (?:on|back|in|home|there|at)\b)", "no one"),
        (r"\b(late|slow) 2(?= [a-z])", r"\1 to"),
        (r"\b(goes|went|bit|falls|fell|up) 4(?= (?:the|a|it)\b)", r"\1 for"),
        (r"\bl8\b", "late"),
        (r"\bb4\b", "before"),
        (r"\bstr8\b", "straight"),
        (
            r"\bb/c\b|\bbc\b(?=\s+(?:he|she|they|we|i|it|no|nobody|noone|the|their|his|her|our|of|#?\d+\s+[a-z]+)\b)",
            "because",
        ),
        (r"\bw/(?=\s|[a-z])", "with "),
    )
)
_ANY_SLANG = re.compile("|".join(f"(?:{slang.pattern})" for slang, _ in _SLANG))
_GLUED = re.compile(r"(?<!\w)[a-z]{6,28}(?!\w)")
_PRAISE = frozenset({"perfect", "good", "great", "nice", "perfectly", "well", "solid"})
_MOST_PIECES = 5
_SCORE = 4


def humps_parted(text: str, names: Collection[str] = ()) -> str:
    """Return a line with ``noBoxOut`` as ``no Box Out``; players' names are left."""

    def parted(match: re.Match[str]) -> str:
        word = match.group()
        if word.lower() in names:
            return word
        return _HUMP.sub("-" if text[match.end() :].lstrip().startswith("@") else " ", word)

    return _CAMEL.sub(parted, text) if not text.islower() else text


def in_full(line: str, short: Mapping[str, str], codes: Collection[str]) -> str:
    """Return a line with codes written as the words they stand for (``short``, code -> words).

    One that is a mistake by itself (``codes``) is written so only beside other words.
    """
    for code, said in short.items():
        if code in line.lower():
            line = _in_full(line, code, said, alone=code not in codes)
    return line


def spelled_out(notes: str, lexicon: Lexicon, codes: Mapping[str, str], swapped: Mapping[str, str]) -> str:
    """Return the notes of a line in plain form with everything stuck together parted.

    ``codes`` are those of the sheet's own key, ``swapped`` the plain words for codes that are no words.
    """
    for code, word in swapped.items():
        notes = re.sub(rf"(?<!\w){re.escape(code)}(?!\w)", f" {word} ", notes)
    if "(" in notes:
        notes = _IN_BRACKETS.sub(_players, notes)
    if "[" in notes:
        notes = _LABELLED.sub(lambda match: _label(match, lexicon, codes), notes)
    notes = _LISTED.sub("/", notes)
    notes = _TOGETHER.sub(_both, notes)
    notes = _AT_LINE.sub(r"ft \g<ratio>", notes)
    notes = _MARKED_THEIRS.sub(r"their \g<n>", notes)
    notes = _OUR_OFFENCE.sub(" ", notes)
    notes = _MAN_OF.sub(r"\g<to> his \g<man>", notes)
    if _ANY_SLANG.search(notes):
        for slang, meant in _SLANG:
            notes = slang.sub(meant, notes)
    if "@" in notes:
        notes = _AT.sub(_said_of, notes)
    if any(char.isdigit() for char in notes):
        notes = _digits_parted(notes, lexicon, codes)
    return _GLUED.sub(lambda match: _unglued(match.group(), lexicon), notes)


def _in_full(notes: str, code: str, said: str, *, alone: bool) -> str:
    """Write a code as the words it stands for; one that is a mistake ``alone`` only beside other words."""
    spelled = rf"(?<![\w/]){re.escape(code)}(?![\w/])"
    if not alone:
        word = r"(?!(?:and|then|by|plus|also)\b)[a-z]{2,}"
        before = rf"(?:(?<=[a-z]{{2}}\s)(?<!and\s)(?<!then\s)(?<!plus\s)(?<!also\s){spelled})"
        spelled = rf"{before}|{spelled}(?=\s+{word})"
    return re.sub(spelled, said, notes, flags=re.IGNORECASE)


def _label(match: re.Match[str], lexicon: Lexicon, codes: Mapping[str, str]) -> str:
    """Return what a label in square brackets says of mistakes: nothing where it names what to drill."""
    said = words(match["said"])
    beside = match.string[: match.start()] + match.string[match.end() :]
    named = lexicon.whole(said, spelling=False)
    coded = named is not None and named.meaning.kind == "breakdown"
    if not coded and said and said[0] not in codes and lexicon.starts("lacking", said) == 0 and words(beside):
        return " , " if match.string[match.end() :].lstrip()[:1].isalnum() else " "
    return f" , {match['said']} , "


def _players(match: re.Match[str]) -> str:
    return " " + " & ".join(f"#{number}" for number in _DIGITS.findall(match["who"])) + " "


def _both(match: re.Match[str]) -> str:
    """Write ``21+30`` as two players; ``2+1`` is a score and stays."""
    if max(int(match[one].lstrip("#")) for one in "ab") <= _SCORE and "#" not in match.group():
        return match.group()
    return f"{match['a']} & {match['b']}"


def _said_of(match: re.Match[str]) -> str:
    what = match["what"]
    if len(tokens(what)) > 1:
        what = _JOINTS.sub(" ", what)
    who = " ".join(f"#{number}" for number in _DIGITS.findall(match["who"]))
    after = match.string[match.end() :].split(maxsplit=1)[:1]
    end = "" if after and after[0].strip(".,!") in _PRAISE else ", "
    return f" , {what} {who} {end}"


def _digits_parted(notes: str, lexicon: Lexicon, codes: Mapping[str, str]) -> str:
    def stuck(match: re.Match[str]) -> str:
        code = match["code"]
        own = code in codes
        if not own and (code in _NOT_CODES or code in _PERIODS):
            return match.group()
        spot = lexicon.whole([code], spelling=False)
        plain = spot is not None and spot.meaning.kind != "breakdown"
        if spot is None or (plain and (not own or code in _PERIODS)):
            return match.group()
        return f" , #{match['n']} {code} , "

    notes = _NUMBER_CODE.sub(stuck, notes)
    notes = _CODE_NUMBER.sub(stuck, notes)
    notes = _INSIDE_SECOND.sub(" 2nd ", notes)
    return _TOO.sub("too ", _INSIDE_TO.sub(" to ", notes))


def _unglued(word: str, lexicon: Lexicon) -> str:
    """Return words written as one (``butnochase``) apart, where they name a breakdown that way."""
    if word in lexicon.known or word in lexicon.joined:
        return word
    found: list[list[str]] = []
    _cuts(word, [], lexicon, found)
    for pieces in sorted(found, key=lambda one: (len(one), one)):
        spots = lexicon.spots(pieces, spelling=False)
        named = lexicon.by_itself(pieces) or next((s for s in spots if s.meaning.kind == "breakdown"), None)
        if named is not None:
            return " ".join(pieces)
    return word


def _cuts(word: str, before: list[str], lexicon: Lexicon, found: list[list[str]]) -> None:
    """Collect the ways to cut a word into words we know."""
    if not word:
        found.append(before)
        return
    if len(before) == _MOST_PIECES or len(found) > 40:
        return
    for end in range(2, len(word) + 1):
        piece = word[:end]
        if piece in lexicon.known:
            _cuts(word[end:], [*before, piece], lexicon, found)
