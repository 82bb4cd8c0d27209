"""Sorting at the desk: what unclear lines mean, one by one or all alike, and what is learnt from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from planner.desk.desk import Desk
from planner.desk.film_reading import LEARNT, lexicon
from planner.film import learnt
from planner.film.intake import Possession
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import NOT_A_MISTAKE, NOT_OURS, NOTHING, QUIET, UnclearInfo
from planner.text import clean_line

if TYPE_CHECKING:
    from sqlmodel import Session

    from planner.film.wording import Lexicon

MEANT = {NOT_OURS: "neutral", NOT_A_MISTAKE: "clean"}
"""How the two are remembered: it says nothing about a breakdown, or that there was none."""


@dataclass(frozen=True, slots=True)
class Group:
    """Lines that wait and are worded alike, or ask for the same player."""

    wording: str
    lines: tuple[UnclearInfo, ...]


@dataclass(frozen=True, slots=True)
class Sorted:
    """What became of lines: ``learnt`` is the wording remembered, None when it was none to remember."""

    lines: tuple[UnclearInfo, ...]
    learnt: str | None = None


def unclear_lines(desk: Desk) -> tuple[UnclearInfo, ...]:
    """Return the lines that wait to be sorted."""
    with desk.reading() as session:
        return queries.unclear(session)


def wording_of(line: UnclearInfo) -> str:
    """Return what makes lines alike: whom they ask for, else their words."""
    asked = learnt.question(line.why)
    return f"no player {asked}" if asked else learnt.wording(line.text) or line.text


def unclear_groups(desk: Desk) -> tuple[Group, ...]:
    """Return the lines that wait, alike ones together, the most frequent first."""
    groups: dict[str, list[UnclearInfo]] = {}
    for one in unclear_lines(desk):
        groups.setdefault(wording_of(one), []).append(one)
    return tuple(
        Group(wording, tuple(lines))
        for wording, lines in sorted(groups.items(), key=lambda one: -len(one[1]))
    )


def sort_line(desk: Desk, number: int, breakdown: str, players: Sequence[str] = ()) -> UnclearInfo:
    """Say what one unclear line means.

    Raises:
        Refusal: the line or the breakdown is not known.

    """
    return sort_lines(desk, [number], breakdown, players).lines[0]


def sort_lines(
    desk: Desk, numbers: Sequence[int], meaning: str, players: Sequence[str] = (), *, same: bool = False
) -> Sorted:
    """Say what unclear lines mean: a breakdown, ``not-ours``, ``not-a-mistake`` or ``nothing``.

    ``same`` takes all that wait with the wording of those named. Players and counts that a line gives itself
    are taken from it unless ``players`` are named. A line that only asks who it was is charged with the
    players and not counted again; for such a line ``meaning`` may be empty. A short wording is remembered
    as the team's own.

    Raises:
        Refusal: a line, a player or the meaning is not known, or a line is sorted already.

    """
    from planner.desk.team import check_breakdown

    if meaning and meaning not in QUIET:
        check_breakdown(desk, meaning)
    words = lexicon(desk, own=False)
    with desk.writing() as session:
        roster = frozenset(one.jersey for one in queries.players(session)) or None
        jerseys = our_players(session, players)
        lines = _lines(session, numbers, same=same)
        sorter = _Sorter(session, meaning, jerseys, words, roster)
        done = [sorter.sort(line) for line in lines]
        own = queries.setting(session, LEARNT) or {}
        phrase = _learn(session, [one for one in lines if not learnt.question(one.why)], meaning, words)
        payload: dict[str, Any] = {"unclear": sorter.unclear, "charged": sorter.charged}
        if phrase is not None:
            payload["learnt"] = own
        shown = clean_line(lines[0].text, 40)
        more = f" and {len(lines) - 1} more" if len(lines) > 1 else ""
        desk.note(session, "sorted-lines", f"what '{shown}'{more} means", payload)
    return Sorted(tuple(done), phrase)


def our_players(session: Session, players: Sequence[str]) -> tuple[str, ...]:
    """Return jerseys as they are kept, each once.

    Raises:
        Refusal: one is no jersey, or nobody on the roster wears it.

    """
    from planner.desk.team import clean_jersey

    jerseys = tuple(dict.fromkeys(clean_jersey(one) for one in players))
    roster = frozenset(one.jersey for one in queries.players(session))
    strangers = [one for one in jerseys if roster and one not in roster]
    if strangers:
        adding = f"'stopsheet team player {strangers[0]}' adds one"
        raise Refusal(f"There is no player {strangers[0]} on the roster; {adding}.")
    return jerseys


def _lines(session: Session, numbers: Sequence[int], *, same: bool) -> list[UnclearInfo]:
    every = {one.id: one for one in queries.unclear(session, waiting=False)}
    chosen: dict[int, UnclearInfo] = {}
    for number in numbers:
        line = every.get(number)
        if line is None:
            raise Refusal(f"There is no unclear line {number}; 'stopsheet film unclear' lists them.")
        if line.sorted_as is not None:
            raise Refusal(f"'{line.text}' is sorted already, as {line.sorted_as}; undo that first.")
        chosen[number] = line
    if same:
        alike = {wording_of(one) for one in chosen.values()}
        waiting = queries.unclear(session)
        chosen |= {one.id: one for one in waiting if wording_of(one) in alike}
    if not chosen:
        raise Refusal("Say which lines: 'stopsheet film unclear' lists them with their numbers.")
    return list(chosen.values())


class _Sorter:
    """Sorts line by line; ``unclear`` and ``charged`` are what undoing needs."""

    def __init__(
        self,
        session: Session,
        meaning: str,
        players: tuple[str, ...],
        words: Lexicon,
        roster: frozenset[str] | None,
    ) -> None:
        self.session = session
        self.meaning = meaning
        self.players = players
        self.words = words
        self.roster = roster
        self.unclear: list[int] = []
        self.charged: list[list[Any]] = []
        self._trips: dict[int, tuple[Possession, ...]] = {}

    def sort(self, line: UnclearInfo) -> UnclearInfo:
        asks = learnt.question(line.why) is not None
        if asks and self.meaning not in QUIET:
            if not self.players:
                raise Refusal(
                    f"'{line.text}' asks who it was; name the jersey (--players), or say 'nothing'."
                )
            told, charged = queries.charge_unclear(self.session, line.id, self.players, self.meaning)
            self.charged.append([line.id, [list(one) for one in charged]])
            return told
        if not self.meaning:
            raise Refusal(f"Say what '{line.text}' means: a breakdown, not-ours, not-a-mistake or nothing.")
        self.unclear.append(line.id)
        if self.meaning in QUIET:
            return queries.sort_unclear(self.session, line.id, self.meaning)
        return self._count(line)

    def _count(self, line: UnclearInfo) -> UnclearInfo:
        phrase = learnt.learnable(line.text, self.words)
        said = learnt.detail(line.text, phrase, self.meaning, self.words, self.roster)
        trip = self._trip(line)
        return queries.sort_unclear(
            self.session,
            line.id,
            self.meaning,
            players=self.players or said.players,
            points=trip.points if trip is not None else said.points,
            possession=trip.number if trip is not None else None,
            count=said.count,
        )

    def _trip(self, line: UnclearInfo) -> Possession | None:
        """Return the possession a line belongs to: its own, or the one it goes on where that is counted."""
        if line.line is None:
            return None
        if line.intake not in self._trips:
            self._trips[line.intake] = queries.intake(self.session, line.intake).trips
        trips = [one for one in self._trips[line.intake] if one.line is not None]
        own = next((one for one in trips if one.line == line.line), None)
        if own is not None or "is counted" not in line.why:
            return own
        before = [one for one in trips if (one.line or 0) < line.line]
        return max(before, key=lambda one: one.line or 0, default=None)


def _learn(session: Session, lines: Sequence[UnclearInfo], meaning: str, words: Lexicon) -> str | None:
    """Remember the one wording of the lines as the team's own."""
    meant = MEANT.get(meaning, meaning)
    if not meaning or meaning == NOTHING:
        return None
    phrases = {learnt.learnable(one.text, words) for one in lines}
    phrase = phrases.pop() if len(phrases) == 1 else None
    if phrase is None:
        return None
    own = dict(queries.setting(session, LEARNT) or {})
    own.pop(phrase, None)
    if len(own) >= learnt.MOST_LEARNT:
        return None
    queries.set_setting(session, LEARNT, {**own, phrase: meant})
    return phrase


def own_words(desk: Desk) -> dict[str, str]:
    """Return the team's own words and what each means (a breakdown, not-ours or not-a-mistake)."""
    with desk.reading() as session:
        own: Mapping[str, str] = queries.setting(session, LEARNT) or {}
    back = {meant: said for said, meant in MEANT.items()}
    return {said: back.get(meant, meant) for said, meant in sorted(own.items())}


def forget_word(desk: Desk, phrase: str) -> str:
    """Forget one of the team's own words; what was read with it stays as it was read.

    Raises:
        Refusal: it is not known.

    """
    asked = " ".join(clean_line(phrase, 120).casefold().split())
    with desk.writing() as session:
        own = dict(queries.setting(session, LEARNT) or {})
        if asked not in own:
            raise Refusal(f"'{asked}' is none of your own words; 'stopsheet film words' lists them.")
        before = dict(own)
        meant = own.pop(asked)
        queries.set_setting(session, LEARNT, own)
        desk.note(session, "setting", f"forgetting '{asked}'", {"key": LEARNT, "before": before})
    return str(meant)
