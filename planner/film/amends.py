"""Lines that say something of what stands before them: ``ditto``, ``it was 11, not 24``, ``delete``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from planner.film.charge import Charge

_DITTO = re.compile(
    r"\W*(?:#?\d{1,2}\b[\s,:-]*)?(?:ditto|idem|likewise"
    r"|(?:the )?same (?:again|thing|mistake|error|story|problem|crime|here|as (?:above|before|last|in"
    r"|on|the|poss|trip|clip|p?#?\d))"
    r"|(?:the )?same\W*$|as above|see above|everything (?:of|from|as in))\b"
)
_OF_NUMBER = re.compile(
    r"\b(?:of|as|as in|as on|from|like)\s+"
    r"(?:p|poss(?:ession)?\.?|trip|clip|play|attack|no\.?|number|#)?\s?(?P<n>\d{1,3})\b"
)
_INSTEAD = re.compile(
    r"#?(?P<new>\d{1,2})\s+(?:in (?:the )?place of|instead of|rather than|for|not)\s+#?(?P<old>\d{1,2})\b"
)
_NOT = re.compile(r"#?\b(?P<new>\d{1,2})\b(?!\s*pts)[^.;!?]{0,50}?[\s,]not\s+#?(?P<old>\d{1,2})\b")
_NOT_FIRST = re.compile(
    r"\bnot\s+#?(?P<old>\d{1,2})\s*,?\s*(?:but|it'?s|it was|that'?s|that was)\s+#?(?P<new>\d{1,2})\b"
)
_WAS = re.compile(
    r"\b(?:was|is|were|it'?s|thats|that'?s|be|make (?:it|that)|meant?)\s+(?:on\s+"
    r"|for\s+)?#?(?P<new>\d{1,2})\b(?:'s)?"
    r"\s*,?\s*(?:and\s+)?not\s+#?(?P<old>\d{1,2})\b"
    r"|\bnot\s+#?(?P<old2>\d{1,2})\s*,?\s*(?:but|it'?s|it was|that'?s|that was)\s+#?(?P<new2>\d{1,2})\b"
)
_CELL = re.compile(r"#?(?P<new>\d{1,2})\s*,?\s*not\s+#?(?P<old>\d{1,2})")
_ONLY = re.compile(r"\b(?:only|just)\s+#?(?P<n>\d{1,2})\b(?!\s*(?:pts|points?|sec|min|feet|ft|of|on))")
_AWAY = re.compile(
    r"\W*(?:no\b.*\b(?:delete|remove|strike|scratch|(?:take|cross) (?:it|that) (?:off|out)|drop (?:it|that))"
    r"|(?:delete|cancel|scrap|scratch|strike) (?:that|this|it)\b)"
)


def ditto(said: str) -> bool:
    """Say whether a line in plain form starts by saying that all is as before."""
    return _DITTO.match(said) is not None


def number_meant(said: str) -> int | None:
    """Return the possession that ``everything of P7 again`` points at, None where it is the one before."""
    match = _OF_NUMBER.search(_INSTEAD.sub(" ", said))
    return int(match["n"]) if match else None


def again(said: str, before: Sequence[Charge], players: Sequence[str]) -> list[Charge]:
    """Return the mistakes of a possession once more, with the players that a line names in their place."""
    swap = _INSTEAD.search(said)
    made = [replace(one, players=list(one.players)) for one in before]
    if swap:
        for one in made:
            _swapped(one, swap["old"], swap["new"])
    elif players and any(set(players) <= set(one.players) for one in made):
        made = [one for one in made if set(players) <= set(one.players)][:1]
        made[0].players[:] = players
    elif players and len(made) == 1:
        made[0].players[:] = players
    return made


def mistaken(said: str) -> tuple[str, str] | None:
    """Return who was meant and who was written, where a line says so: ``the reach was 15 not 20``."""
    match = _CELL.fullmatch(said.strip())
    if match is not None:
        return match["new"], match["old"]
    match = _WAS.search(said)
    if match is None:
        return None
    return match["new"] or match["new2"], match["old"] or match["old2"]


def put_right(said: str, told: Sequence[str], players: Sequence[str], charges: Sequence[Charge]) -> bool:
    """Charge the other player as a line says that corrects an earlier one; return whether one was found.

    ``told`` are the breakdowns that the line names, ``players`` the jerseys in it, ``charges`` those before
    it, the last one last.
    """
    pair = mistaken(said)
    if pair is None or not set(players) <= set(pair):
        return False
    new, old = pair
    return swapped([one for one in charges if not told or one.breakdown in told], new, old)


def swapped(charges: Sequence[Charge], new: str, old: str) -> bool:
    """Charge another player with the last mistake that one is charged with; return whether there is one."""
    for one in reversed(charges):
        if old in one.players:
            _swapped(one, old, new)
            return True
    return False


def amended(said: str, charges: list[Charge]) -> bool:
    """Change what was charged as a line without mistakes of its own says; return whether it did."""
    if not charges:
        return False
    if _AWAY.match(said):
        charges.clear()
        return True
    match = _NOT.search(said) or _NOT_FIRST.search(said)
    if match:
        held = [one for one in charges if match["old"] in one.players]
        for one in held[-1:]:
            _swapped(one, match["old"], match["new"])
        return bool(held)
    only = _ONLY.search(said)
    shared = [one for one in charges if only and only["n"] in one.players and len(one.players) > 1]
    for one in shared[-1:]:
        one.players[:] = [only["n"]] if only else []
    return bool(shared)


def once(charges: Sequence[Charge]) -> list[Charge]:
    """Return each mistake of the same players once, where a line corrects itself and says it again."""
    kept: list[Charge] = []
    for one in charges:
        if not any((one.breakdown, one.players) == (other.breakdown, other.players) for other in kept):
            kept.append(one)
    return kept


def _swapped(one: Charge, old: str, new: str) -> None:
    one.players[:] = dict.fromkeys(new if player == old else player for player in one.players)
