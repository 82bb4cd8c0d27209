"""The keys of live entry: the team's letters for its breakdowns, and keys as they are typed in words."""

from __future__ import annotations

from collections.abc import Mapping

from planner.desk.desk import Desk
from planner.desk.watching import Live
from planner.desk.words import vocabulary
from planner.film import entry as pad
from planner.film.entry_letters import RESERVED, choose_letters, find_breakdowns
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

LETTERS = "entry-letters"
"""Setting: the team's own letter -> breakdown, kept so that hands need not learn again."""


def letters(desk: Desk) -> dict[str, str]:
    """Return letter -> breakdown: the team's own, chosen once from what its film shows most."""
    known = vocabulary(desk)
    with desk.reading() as session:
        stored = queries.setting(session, LETTERS)
        if not isinstance(stored, Mapping):
            seen: dict[str, int] = {}
            for game in queries.watched_games(session, desk.today):
                for one, count in game.counts.items():
                    seen[one] = seen.get(one, 0) + count
            return choose_letters(known.breakdowns, seen, queries.switched_off(session))
    return {str(letter): str(one) for letter, one in stored.items() if one in known.breakdown_by_id}


def keep_letters(desk: Desk) -> dict[str, str]:
    """Return the letters, kept as they are from now on."""
    found = letters(desk)
    with desk.writing() as session:
        if queries.setting(session, LETTERS) is None:
            queries.set_setting(session, LETTERS, found)
    return found


def set_letter(desk: Desk, letter: str, breakdown: str) -> str:
    """Give a letter to a breakdown; it loses the one it had, and whatever had this letter goes without.

    Raises:
        Refusal: the letter is taken by something else, or there is no such breakdown.

    """
    from planner.desk.team import check_breakdown

    said = clean_line(letter, 10)
    if not (len(said) == 1 and said.isascii() and said.islower()) or said in RESERVED:
        taken = " ".join(sorted(RESERVED))
        raise Refusal(f"'{said}' cannot stand for a breakdown; take a small letter other than {taken}.")
    check_breakdown(desk, breakdown)
    before = letters(desk)
    after = {key: one for key, one in before.items() if key != said and one != breakdown}
    after[said] = breakdown
    with desk.writing() as session:
        queries.set_setting(session, LETTERS, after)
        desk.note(session, "setting", f"letter {said} = {breakdown}", {"key": LETTERS, "before": before})
    return f"{said} is now {breakdown}."


def parse_keys(desk: Desk, said: str, live: Live, chosen: Mapping[str, str]) -> list[str]:
    """Return the keys for words such as ``b 21 .2 next Q2 no-talk 4+7 undo``.

    Raises:
        Refusal: a word is none of them.

    """
    keys: list[str] = []
    for word in clean_line(said).split():
        low = word.casefold()
        if low in (pad.NEXT, pad.UNDO) or word in live.keys.breakdowns:
            keys.append(low)
        elif low in chosen:
            keys.append(chosen[low])
        elif low.lstrip(".+,").isdecimal() or set(low) <= set(".+,0123456789"):
            keys += [*low, pad.END] if low[-1].isdecimal() and not low.startswith(".") else [*low]
        elif low.upper().replace("OT1", "OT") in pad.PERIODS:
            keys.append(pad.period_key(low))
        else:
            near = find_breakdowns(low, vocabulary(desk).breakdowns)
            hint = f"did you mean {near[0].id}?" if near else "'stopsheet film letters' lists the letters."
            raise Refusal(f"'{clean_line(word, 40)}' is no key of film entry; {hint}")
    return keys
