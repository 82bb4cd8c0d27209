"""Narrated film at the desk: what it proposes waits for the coach's yes, no or another breakdown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.desk.desk import Desk
from planner.film.answers import NO
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import ProposalInfo
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from sqlmodel import Session

YES = "yes"


@dataclass(frozen=True, slots=True)
class Which:
    """Which proposals are meant: by number, or of those that wait the ones within bounds.

    ``above`` and ``below`` bound the sureness (both included), ``note`` is a film note's number, ``every``
    takes all that wait.
    """

    numbers: tuple[int, ...] = ()
    above: float | None = None
    below: float | None = None
    note: int | None = None
    every: bool = False


@dataclass(frozen=True, slots=True)
class Answered:
    """What became of proposals: those whose answer changed, how many had it already, how many still wait."""

    changed: tuple[ProposalInfo, ...]
    already: int
    left: int


def proposals(desk: Desk, note: int | None = None, *, waiting: bool = True) -> tuple[ProposalInfo, ...]:
    """Return what narrated film proposes, in the order of the film; what waits unless told.

    Raises:
        Refusal: there is no such film note.

    """
    with desk.reading() as session:
        _known(session, note)
        return queries.proposals(session, intake=note, waiting=waiting)


def answer(desk: Desk, which: Which, said: str, players: Sequence[str] = ()) -> Answered:
    """Answer proposals: ``YES``, ``NO``, or the breakdown that it really is; undone as one.

    A yes charges the jerseys heard, or ``players`` where named. One that is answered already is changed when
    it is named by number; the same answer again changes nothing.

    Raises:
        Refusal: nothing is named, or a number, a player or the breakdown is not known.

    """
    from planner.desk.film_sorting import our_players
    from planner.desk.team import check_breakdown

    if said not in (YES, NO):
        check_breakdown(desk, said)
    if said == NO and players:
        raise Refusal("A no charges nobody; leave the players out.")
    with desk.writing() as session:
        jerseys = our_players(session, players)
        chosen = _chosen(session, which)
        changed = []
        before = []
        for one in chosen:
            meant = one.breakdown if said == YES else said
            charged = () if meant == NO else jerseys or (one.charged if one.answer == meant else one.players)
            if (one.answer, one.charged) == (meant, charged):
                continue
            queries.answer_proposal(session, one.id, meant, charged)
            before.append([one.id, one.answer, list(one.charged)])
            changed.append(one.id)
        if changed:
            desk.note(session, "answered", _words(chosen, changed, said), {"before": before})
        now = queries.proposals(session, numbers=changed, waiting=False)
        left = len(queries.proposals(session))
    return Answered(now, len(chosen) - len(changed), left)


def waiting_words(count: int) -> str:
    """Return the sentence that tells of what waits, empty where nothing does."""
    if not count:
        return ""
    verb = "waits" if count == 1 else "wait"
    return f"{plural(count, 'narrated sighting')} {verb} for your yes: 'stopsheet film proposals'."


def place_of(one: ProposalInfo) -> str:
    """Return the time in the film as a coach looks it up: ``12:03``, ``1:02:03``."""
    hours, _, rest = (one.start or "").split(".")[0].partition(":")
    return rest if hours == "00" else f"{hours.lstrip('0')}:{rest}" if rest else "?"


def who_of(one: ProposalInfo) -> str:
    """Return the jerseys: those charged or heard, and with a question mark those no player of ours wears."""
    players = one.charged if one.answer not in (None, NO) else one.players
    return " ".join(players) or " ".join(f"{jersey}?" for jersey in one.asks)


def _words(chosen: Sequence[ProposalInfo], changed: Sequence[int], said: str) -> str:
    first = next(one for one in chosen if one.id == changed[0])
    more = f" and {len(changed) - 1} more" if len(changed) > 1 else ""
    return f"'{said}' to '{clean_line(first.text, 40)}'{more}"


def _chosen(session: Session, which: Which) -> tuple[ProposalInfo, ...]:
    bulk = which.every or which.above is not None or which.below is not None or which.note is not None
    if which.numbers and bulk:
        raise Refusal("Name proposals by number, or take those that wait by sureness or film note; not both.")
    if which.numbers:
        found = queries.proposals(session, numbers=which.numbers, waiting=False)
        missing = sorted({*which.numbers} - {one.id for one in found})
        if missing:
            raise Refusal(f"There is no proposal {missing[0]}; 'stopsheet film proposals' lists them.")
        return found
    if not bulk:
        raise Refusal("Say which: numbers such as '3 5-9', --sure-above 0.9, --note NUMBER or --all.")
    _known(session, which.note)
    low, high = which.above or 0.0, 1.0 if which.below is None else which.below
    waiting = queries.proposals(session, intake=which.note)
    return tuple(one for one in waiting if low <= one.sure <= high)


def _known(session: Session, note: int | None) -> None:
    if note is not None and note not in {one.id for one in queries.intakes(session)}:
        raise Refusal(f"There is no film note {note}; 'stopsheet film list' shows them.")
