"""Which bare numbers of a sheet are points: decided by the habit of the whole sheet, not line by line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from planner.film.items import MOST_POINTS, Item

_COLUMNS = re.compile(r"#.*\b(?:points|pts)\b.*\b(?:breakdowns?|notes|players?)\b")
_POINTS = re.compile(r"\b(?:points?|pts?|scored?)\b")
_LAST = re.compile(r"\b(?:last|end|final|behind|after)\b")
_FIRST = re.compile(r"\b(?:first|front|start|leading|before)\b")
_USUAL = 3
"""Most points of an ordinary possession; bare numbers up to here may be points."""
_HABIT = 0.6
_PAREN_SHARE = 0.2
_FIRM = 3
_MOST = 0.85
_HALF = 0.5


@dataclass(frozen=True, slots=True)
class Habits:
    """How a sheet's hand writes: where bare points stand, and whether (21) is a player.

    ``trail`` takes a last number set apart as points, ``trail_sure`` any last number up to 3; ``against``
    that points given up stand with a minus.
    """

    lead: bool = True
    lead_sure: bool = False
    trail: bool = False
    trail_sure: bool = False
    paren_players: bool = False
    against: bool = False
    no_zero: bool = False
    """Nobody wears 0: a 0 that ends a line is its points."""


@dataclass(frozen=True, slots=True)
class Scored:
    """Points of a line; ``used`` are positions of items that are points and not players."""

    points: int | None
    used: frozenset[int]
    fault: str | None = None


def declared(comments: Iterable[str]) -> Habits | None:
    """Return the hand that a comment declares, ``# period clock points breakdowns``: points stand first."""
    told = any(_COLUMNS.match(one.strip()) for one in comments)
    return Habits(lead=True, lead_sure=True, trail=False) if told else None


def stated(habit: Habits, pairs: Iterable[tuple[str, str]]) -> Habits:
    """Return the hand as the sheet's key states it: ``last number = points``, ``first number = points``."""
    for code, said in pairs:
        if not _POINTS.search(said):
            continue
        if _LAST.search(code):
            habit = replace(habit, trail=True, trail_sure=True, lead=False, lead_sure=False)
        elif _FIRST.search(code):
            habit = replace(habit, lead=True, lead_sure=True, trail=False, trail_sure=False)
    return habit


def habits(lines: Iterable[Sequence[Item]]) -> Habits:
    """Learn the hand of a sheet from the items of all its possession lines."""
    lines = [list(line) for line in lines]
    minus = plus = 0
    low = high = parens = paren_high = told = trailing = total = ended = ended_low = implied = players = 0
    for line in lines:
        total += 1
        minus += any(one.kind == "points" and one.value < 0 for one in line)
        plus += any(one.kind == "points" and one.value > 0 for one in line)
        bracketed = [one for one in line if one.kind == "paren"]
        parens += len(bracketed)
        paren_high += sum(one.value > MOST_POINTS or one.text == "00" for one in bracketed)
        marked = any(one.kind in ("points", "paren") for one in line)
        lead = _lead(line)
        small = lead is not None and line[lead].value <= _USUAL and line[lead].text != "00"
        if lead is not None and not _listed(line, lead) and not marked and small:
            low += 1
        if lead is not None and line[lead].value > MOST_POINTS and len(line) > 1 and not _player_last(line):
            high += 1
        if marked or small:
            told += 1
        elif _trail(line) is not None:
            trailing += 1
        last = _last_number(line)
        if last is not None and not marked and not small:
            ended += 1
            ended_low += line[last].value <= _USUAL
        elif not marked and not small and _implied(line) is not None:
            implied += 1
        players += _small_players(line, last)
    in_parens = paren_high > 0 and paren_high >= _PAREN_SHARE * parens
    lead_habit = low > 0 and low >= high
    trail_habit = trailing > 0 and (told + trailing) >= _HABIT * total and total > 1
    apart = trailing > 1 and players == 0
    firm = trailing >= _FIRM or ended_low > _FIRM
    trail_sure = firm and ended_low >= _MOST * ended and ended >= _HALF * (total - told - implied)
    return Habits(
        lead_habit or high == 0,
        low > high,
        trail_habit or trail_sure or apart,
        trail_sure,
        in_parens,
        against=minus >= _FIRM and minus > plus,
        no_zero=not any(_wears_zero(line) for line in lines),
    )


def _wears_zero(line: Sequence[Item]) -> bool:
    """Say whether 0 stands on a line as a player would: with a mark, or anywhere but at the end."""
    last = _last_number(line)
    return any(
        (one.kind == "jersey" or (one.kind == "number" and at != last)) and one.text in ("0", "00")
        for at, one in enumerate(line)
    )


def _small_players(line: Sequence[Item], last: int | None) -> int:
    """Return how many numbers inside a line could be points but must be players."""
    return sum(
        one.kind == "jersey" or 0 < at != last
        for at, one in enumerate(line)
        if one.kind in ("jersey", "number") and one.value <= _USUAL
    )


def score(line: Sequence[Item], habit: Habits) -> Scored:
    """Return the points a line states, or why it cannot be."""
    if habit.against:
        line = [one._replace(value=abs(one.value)) if one.kind == "points" else one for one in line]
    marked = [at for at, one in enumerate(line) if one.kind == "points"]
    if not habit.paren_players:
        marked += [at for at, one in enumerate(line) if one.kind == "paren"]
    values = {line[at].value for at in marked}
    if len(values) > 1:  # free throws made are part of what another number says
        told = {line[at].value for at in marked if line[at].text not in ("ft", "worded")}
        values = told or values
    if len(values) > 1:  # a number in brackets beside points told otherwise is a player
        plain = [at for at in marked if line[at].kind == "points"]
        told = {line[at].value for at in plain if line[at].text not in ("ft", "worded")}
        if len(told) == 1:
            marked, values = plain, told
    for value in sorted(values):
        if not 0 <= value <= MOST_POINTS:
            return Scored(None, frozenset(), _cannot(value))
    if len(values) > 1:
        return Scored(None, frozenset(), f"points said twice: {' and '.join(str(v) for v in sorted(values))}")
    lead = _lead(line)
    trail = _trail(line) if habit.trail and values else None
    if trail is not None and line[trail].value in values:
        marked.append(trail)
    return _with_lead(line, values.pop(), marked, lead, habit) if values else _bare(line, lead, habit)


def _bare(line: Sequence[Item], lead: int | None, habit: Habits) -> Scored:
    """Decide on bare numbers: the sheet's own habit says whether points stand first or last."""
    shown = [at for at, one in enumerate(line) if one.kind != "break"]
    if (
        len(shown) == 1
        and line[shown[0]].kind == "number"
        and line[shown[0]].value <= _USUAL
        and line[shown[0]].text != "00"
    ):
        return Scored(line[shown[0]].value, frozenset(shown))
    apart = _apart(line)
    if apart is not None:
        return Scored(line[apart].value, frozenset({apart}))
    zero = _last_number(line) if habit.no_zero else None
    if zero is not None and line[zero].kind == "number" and line[zero].text == "0":
        return Scored(0, frozenset({zero}))
    ended = _trail(line)
    if ended is not None and _ends(line[ended - 1]):
        return Scored(line[ended].value, frozenset({ended}))
    at = _last_number(line) if habit.trail_sure else ended
    trail = at if habit.trail and at is not None and line[at].value <= _USUAL else None
    if trail is not None and habit.trail_sure and trail != lead and not habit.lead_sure:
        return Scored(line[trail].value, frozenset({trail}))
    led = _led(line, lead, habit) if lead is not None and not _listed(line, lead) else None
    if led is not None:
        return led
    if trail is not None:
        return Scored(line[trail].value, frozenset({trail}))
    return Scored(_implied(line), frozenset())


def _with_lead(
    line: Sequence[Item], value: int, marked: list[int], lead: int | None, habit: Habits
) -> Scored:
    if lead is None or not habit.lead_sure or line[lead].value > _USUAL or line[lead].text == "00":
        return Scored(value, frozenset(marked))
    if _listed(line, lead):
        return Scored(value, frozenset(marked))
    if line[lead + 1].text == "then":
        return Scored(line[lead].value + value, frozenset({*marked, lead}))
    if line[lead].value == value or all(line[at].text == "ft" for at in marked):
        return Scored(line[lead].value, frozenset({*marked, lead}))
    return Scored(None, frozenset(), f"points said twice: {line[lead].value} and {value}")


def _led(line: Sequence[Item], lead: int, habit: Habits) -> Scored | None:
    """Decide on the bare number that starts a line; None when it is a player."""
    value = line[lead].value
    if line[lead].text == "00":
        return None
    after = line[lead + 1].kind if lead + 1 < len(line) else ""
    if value <= _USUAL:
        return Scored(value, frozenset({lead})) if habit.lead else None
    if value <= MOST_POINTS:
        player = after in ("breakdown", "word") and not habit.lead_sure
        return None if player else Scored(value, frozenset({lead}))
    if _implied(line) is not None and after not in ("", "meaning"):
        return None
    if habit.lead_sure or (habit.lead and (_player_last(line) or after in ("", "meaning"))):
        return Scored(None, frozenset(), _cannot(value))
    return None


def _lead(line: Sequence[Item]) -> int | None:
    return 0 if line and line[0].kind == "number" else None


def _listed(line: Sequence[Item], lead: int) -> bool:
    """Say whether the first number is one of a list of players: ``2 & 4 ball watching``."""
    rest = line[lead + 1 : lead + 3]
    return (
        len(rest) == 2
        and (rest[0].kind == "and" or rest[0].text in "+/")
        and rest[1].kind in ("number", "jersey")
    )


def _apart(line: Sequence[Item]) -> int | None:
    """Return the place of the one small number that is a sentence by itself: ``lob. 2. And 17 lost him``."""
    found = None
    for at in range(1, len(line) - 1):
        one = line[at]
        if one.kind != "number" or one.value > _USUAL or one.text == "00":
            continue
        if _ends(line[at - 1]) and _ends(line[at + 1]):
            if found is not None:
                return None
            found = at
    return found


def _ends(one: Item) -> bool:
    return one.kind == "break" and one.text in (".", ";", "!", "|")


def _player_last(line: Sequence[Item]) -> bool:
    """Say whether players stand behind the breakdowns of a line, so that the number before them is none."""
    trail = _trail(line)
    shown = [
        one for at, one in enumerate(line) if at != trail and one.kind in ("breakdown", "number", "jersey")
    ]
    return len(shown) > 1 and shown[-1].kind != "breakdown"


def _trail(line: Sequence[Item]) -> int | None:
    last = len(line) - 1
    while last >= 0 and line[last].kind == "break":
        last -= 1
    if last < 1 or line[last].kind != "number" or line[last].value > _USUAL or line[last].text == "00":
        return None
    before = line[last - 1].kind
    return last if before in ("break", "number", "jersey", "meaning") else None


def _last_number(line: Sequence[Item]) -> int | None:
    """Return the place of a single-digit number that ends a line, even one that may name a kind of shot."""
    last = len(line) - 1
    while last >= 0 and line[last].kind == "break":
        last -= 1
    if last < 1 or line[last].kind not in ("number", "noise") or line[last].text == "00":
        return None
    return last if line[last].text.isdigit() else None


def _implied(line: Sequence[Item]) -> int | None:
    kinds = {one.text for one in line if one.kind == "meaning"}
    return 0 if kinds & {"stop", "missed"} else None


def _cannot(value: int) -> str:
    return f"{value} points on one possession cannot be"
