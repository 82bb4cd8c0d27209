"""What a line takes back (``bo 12, no wait thats 21``) and what it only supposes (``if he tags, fine``)."""

from __future__ import annotations

import itertools
import re

from planner.film.wording import Lexicon
from planner.film.words import words

_BACK = re.compile(
    r"[\s,.;:?!–—-]*(?:\(\s*)?\b(?:(?:no\s*,?\s*)?(?:wait\s*,?\s*)?(?:scratch|strike) that"
    r"|no\s*,?\s*wait|wait\s*,?\s*no|wait|no\s*,?\s*actually|actually\s*,?\s*no"
    r"|scratch that|strike that|nvm|never ?mind|correction|oops|whoops|i mean|make that|sorry"
    r"|my bad|my mistake)\b"
    r"[\s,.:;!–—-]*|\s*\?+\s*[-–—]*\s*\bno+\b\s*,\s*|\s+[-–—]+\s*\bno+\b\s*,\s*"
    r"|[\s,.;(–—-]+\bno+\b[\s,]+(?=(?:it'?s|that'?s|thats|it was|that was|make it|make that"
    r"|should be)\s+#?\d)"
    r"|(?<=\d)\s+no+\s*,\s*(?=#?\d{1,2}\b)"
)
_CLAUSE = re.compile(r"[|;]|\s\.{2,}|\.(?=\s|$)|\)")
_THAT = r"(?:that'?s|that is|it'?s|it is|it was|that was|was|make that|make it|should be|is|for|on)\s+"
_NUMBER = re.compile(
    rf"(?:{_THAT})?(?P<sharp>#?)(?P<n>\d{{1,2}})(?P<tail>\s*(?:pts?|points?)?\s*(?:,?\s*not\s+#?\d{{1,2}})?)\s*$"
)
_SWAP = re.compile(
    rf"(?:{_THAT})?#?(?P<n>\d{{1,2}})\s*,?\s*(?:and\s+)?not\s+#?(?P<old>\d{{1,2}})\b"
    rf"(?:[\s,]+(?:{_THAT})?#?(?P=n)\b)?"
)
_SWAP_INSIDE = re.compile(r"#?\b(?P<n>\d{1,2})\s*,?\s*(?:and\s+)?not\s+(?:number\s+)?#?(?P<old>\d{1,2})\b")
_NO_SENTENCE = re.compile(r"(?<=[.;!?])\s*no\s*,\s*(?P<said>[^.!?]{4,160}?)(?=\s*(?:[.!?]|$))")
_NOT_THIS = re.compile(
    r"\(\s*(?:x+\s+|no\s*,?\s+|sorry\s*,?\s+)?not\s+#?(?P<old>\d{1,2})\s*[,:;–-]?\s*(?:but\s+|it'?s\s+)?#?(?P<new>\d{1,2})\s*\)"
)
_STRIKE = re.compile(
    r"\b(?:strike|scratch|delete|drop|cancel|cross out|take (?:off"
    r"|back))\s+(?:the\s+)?(?P<what>(?!that\b|this\b|it\b)[a-z\d#][^,.;]{1,30}?)"
    r"(?=\s*[,.;]|\s*$)"
)
_STRIKES = ("strike", "scratch", "delete", "drop", "cancel", "cross", "take")
_TWO = 2
_OTHER = re.compile(
    rf"(?:{_THAT})?#?(?P<n>\d{{1,2}})\b(?:,?\s*not\s+#?\d{{1,2}}\b)?(?:[\s,]+(?P=n)\b)?(?=\s+[a-z])"
)
_DIGITS = re.compile(r"(?<![\w:])(?P<sign>[+#(\[]?)(?P<n>\d{1,2})(?![\w:])")
_BREAK = re.compile(r"[,;/|]|\.\s|\s[+&]\s|\s[-–—]\s|\band\b|\bthen\b")
_LEAD = re.compile(r"\s*[+(\[]?\d[)\]]?(?=\s)")
_IF = re.compile(r"\b(?:if|unless)\b(?!\s+not\b)[^.;|/]*")
_NEARLY = re.compile(r"\b(?:almost|nearly|thought (?:he|she|they|we|it)|looked like)\b[^,.;|/]*")
_SMALL = 3


def settled(notes: str, lexicon: Lexicon) -> str:
    """Return the notes of a line in plain form as they stand once nothing is taken back or supposed."""
    notes = _NEARLY.sub(" ", _IF.sub(" ", notes))
    struck = _STRIKE.search(notes) if any(one in notes for one in _STRIKES) else None
    what = struck["what"].strip() if struck else ""
    if struck and (at := notes.rfind(what, 0, struck.start())) >= 0:
        notes = f"{notes[:at]} {notes[at + len(what) : struck.start()]} , {notes[struck.end() :]}"
    notes = _looked_again(_NOT_THIS.sub(r" no its \g<new> , not \g<old> ", notes))
    for _ in range(3):
        match = _BACK.search(notes)
        if not match:
            break
        notes = _taken_back(notes[: match.start()], notes[match.end() :], lexicon)
    return notes


def _looked_again(notes: str) -> str:
    """Put right who is named before a sentence such as ``No, I have looked again, it was 23, not 20``."""
    for match in _NO_SENTENCE.finditer(notes) if "no" in notes else ():
        said, before = match["said"], notes[: match.start()]
        pair = _SWAP_INSIDE.search(said)
        numbers = re.findall(r"(?<![\w:])#?(\d{1,2})(?![\w:])", said)
        if pair:
            new, old = pair["n"], pair["old"]
        elif len(numbers) == _TWO and re.search(
            rf"\b(?:was|is|to|on|for)\s+(?:number\s+|no\.?\s|#)?{numbers[1]}\s*$", said
        ):
            old, new = numbers
        else:
            continue
        held = list(re.finditer(rf"(?<!\d){old}(?!\d)", before))
        if held:
            start, end = held[-1].span()
            return f"{before[:start]}{new}{before[end:]}{notes[match.end() :]}"
    return notes


def _taken_back(before: str, after: str, lexicon: Lexicon) -> str:
    end = _CLAUSE.search(after)
    clause, rest = (after[: end.start()], after[end.start() :]) if end else (after, "")
    rest = rest.removeprefix(")")
    swap = _SWAP.match(clause.strip())
    if swap and re.search(rf"(?<!\d){swap['old']}(?!\d)", before):
        kept = re.sub(rf"(.*)(?<!\d){swap['old']}(?!\d)", rf"\g<1>{swap['n']}", before, count=1)
        return f"{kept} {clause.strip()[swap.end() :]} {rest}"
    number = _NUMBER.match(clause.strip())
    other = _OTHER.match(clause.lstrip())
    last = re.search(r"(\d+)\s*$", before)
    if not number and other and last and last[1] != other["n"]:
        clause = clause.lstrip()
        return f"{_renumbered(before, other['n'], points=False)} {clause[other.end() :]} {rest}"
    if number:
        return f"{_renumbered(before, number['n'], points='p' in number['tail'])} {rest}"
    named = any(spot.meaning.kind == "breakdown" for spot in lexicon.spots(words(clause)))
    if named:
        kept, cut = without_last(before, lexicon)
        players = " ".join(one.group() for one in _DIGITS.finditer(cut)) if not _DIGITS.search(clause) else ""
        return f"{kept} , {players} {clause} {rest}"
    if clause.strip():
        return f"{without_last(before, lexicon)[0]} {rest}"
    return f"{before} {rest}"


def _renumbered(before: str, number: str, *, points: bool) -> str:
    """Put a number in the place of the last one it can stand for: points for points, player for player."""
    found = list(_DIGITS.finditer(before))
    like = [one for one in found if (int(one["n"]) <= _SMALL) == (int(number) <= _SMALL or points)]
    last = (like or found)[-1:]
    if not last:
        return f"{before} {number}"
    start, end = last[0].span("n")
    return f"{before[:start]}{number}{before[end:]}"


def without_last(before: str, lexicon: Lexicon) -> tuple[str, str]:
    """Return the notes without their last breakdown, and what was cut; points that lead a line stay."""
    cuts = [0, *(one.end() for one in _BREAK.finditer(before)), len(before)]
    for start, end in reversed(list(itertools.pairwise(cuts))):
        part = before[start:end]
        if any(spot.meaning.kind == "breakdown" for spot in lexicon.spots(words(part))) or lexicon.by_itself(
            words(part)
        ):
            lead = _LEAD.match(part) if start == 0 else None
            kept = part[: lead.end()] if lead else ""
            return before[:start] + kept, part[len(kept) :]
    return before, ""
