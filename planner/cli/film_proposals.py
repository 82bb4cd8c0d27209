"""``stopsheet film proposals``, ``yes`` and ``no``: what narrated film proposes, and the coach's answer."""

from __future__ import annotations

from argparse import Namespace
from collections import Counter
from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from planner.cli.show import say, say_json, width
from planner.desk import film_proposals as desk_proposals
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.film_proposals import YES, Answered, Which, place_of, who_of
from planner.film.answers import NO
from planner.problem import Refusal
from planner.store.values import ProposalInfo
from planner.text import plural

_LINES = 3
_MOST = 10_000
"""Numbers that one range may name."""


def show(arguments: Namespace) -> int:
    """List what waits for yes or no, in the order of each film."""
    desk = open_desk()
    found = desk_proposals.proposals(desk, arguments.note, waiting=not arguments.all)
    if arguments.json:
        say_json([as_json(one) for one in found])
        return 0
    if not found:
        say("No proposal waits for your yes; narrated film (.vtt, .srt) makes them.")
        return 0
    titles = _titles(desk)
    note = 0
    for one in found:
        if one.intake != note:
            note = one.intake
            count = sum(other.intake == note for other in found)
            say(f"{one.file} (film note {note}): {plural(count, 'proposal')}")
        _tell(one, titles)
    say("Answer: stopsheet film yes 3 5-9, film no 4, film yes 6 --as BREAKDOWN; film yes --sure-above 0.9.")
    return 0


def _tell(one: ProposalInfo, titles: dict[str, str]) -> None:
    meant = one.breakdown if one.answer in (None, NO) else str(one.answer)
    said = {None: "", NO: "  no"}.get(one.answer, "  yes")
    head = f"{one.id:5}  {place_of(one):>7}  {one.sure:4.0%}  {titles.get(meant, meant)}  {who_of(one)}"
    say(f"{head.rstrip()}{said}")
    indent = " " * 14
    for line in wrap(f"“{one.text}”", width() - 1, initial_indent=indent, subsequent_indent=indent)[:_LINES]:
        say(line)


def as_json(one: ProposalInfo) -> dict[str, Any]:
    """Return a proposal in the words of the JSON contract."""
    return {
        "id": one.id,
        "note": one.intake,
        "file": one.file,
        "game": one.game,
        "line": one.line,
        "start": one.start,
        "end": one.end,
        "breakdown": one.breakdown,
        "players": list(one.players),
        "asks": list(one.asks),
        "sure": one.sure,
        "text": one.text,
        "answer": one.answer,
        "charged": list(one.charged),
    }


def yes(arguments: Namespace) -> int:
    """Count proposals, as they are or as another breakdown."""
    return _answer(arguments, arguments.meant or YES, above=arguments.sure_above, players=arguments.players)


def no(arguments: Namespace) -> int:
    """Leave proposals out."""
    return _answer(arguments, NO, below=arguments.sure_below)


def _answer(
    arguments: Namespace,
    said: str,
    *,
    above: float | None = None,
    below: float | None = None,
    players: Sequence[str] = (),
) -> int:
    desk = open_desk()
    for bound in (above, below):
        if bound is not None and not 0 <= bound <= 1:
            raise Refusal(f"Sureness goes from 0 to 1, not {bound:g}.")
    which = Which(numbers_of(arguments.numbers), above, below, arguments.note, arguments.all)
    done = desk_proposals.answer(desk, which, said, players)
    if arguments.json:
        changed = [as_json(one) for one in done.changed]
        say_json({"changed": changed, "already": done.already, "left": done.left})
    else:
        _tell_done(done, _titles(desk))
    return 0 if done.changed else 1


def _tell_done(done: Answered, titles: dict[str, str]) -> None:
    counts = Counter(str(one.answer) for one in done.changed)
    for meant, count in sorted(counts.items(), key=lambda one: (-one[1], one[0])):
        said = "no: they do not count" if meant == NO else f"yes: {titles.get(meant, meant)}"
        say(f"{count:4}  {said}")
    if done.already:
        say(f"{plural(done.already, 'proposal')} had that answer already.")
    say("1 proposal still waits." if done.left == 1 else f"{done.left} proposals still wait.")
    say(UNDO_HINT if done.changed else "Nothing changed.")


def numbers_of(said: Sequence[str]) -> tuple[int, ...]:
    """Return the numbers of ``3 5-9`` or ``3,5-9``, each once.

    Raises:
        Refusal: something is neither a number nor a range.

    """
    found: dict[int, None] = {}
    for word in " ".join(said).replace(",", " ").split():
        first, dash, last = word.partition("-")
        plain = all(one.isascii() and one.isdecimal() and len(one) < 10 for one in (first, last or "0"))
        if not plain or (dash and not last):
            raise Refusal(f"'{word}' is no number of a proposal; write numbers such as 3 5-9.")
        low, high = int(first), int(last or first)
        if high < low or high - low >= _MOST:
            raise Refusal(f"'{word}' is no range of proposals; write the smaller number first, such as 5-9.")
        found.update(dict.fromkeys(range(low, high + 1)))
    return tuple(found)


def _titles(desk: Desk) -> dict[str, str]:
    return {one.id: one.title for one in desk.library.vocabulary.breakdowns}
