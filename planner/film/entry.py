"""Film entered while watching: keys in, possessions out, and the sheet they make. Pure, one key at a time."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace

from planner.film.intake import Heading, Intake, Possession, Sighting
from planner.film.write import write_sheet
from planner.problem import Refusal
from planner.text import clean_line, listed, plural

NEXT, POINT, AND, END, UNDO = "next", ".", "+", ",", "undo"
PERIODS = ("Q1", "Q2", "Q3", "Q4", "H1", "H2", "OT", *(f"OT{n}" for n in range(2, 10)))
MOST_POINTS = 5
MOST_CHARGED = 12
MOST_TRIPS = 300
"""Possessions of one game; as many as can be watched."""
_DIGIT = re.compile(r"[0-9]")
_PERIOD = "period "


@dataclass(frozen=True, slots=True)
class Charge:
    """One breakdown of the possession and who is charged with it."""

    breakdown: str
    players: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trip:
    """One possession as entered; ``points`` None until they are said."""

    period: str | None = None
    points: int | None = None
    charges: tuple[Charge, ...] = ()

    @property
    def empty(self) -> bool:
        """Return whether nothing is noted on it."""
        return self.points is None and not self.charges


@dataclass(frozen=True, slots=True)
class Entry:
    """What the keys so far have entered.

    ``digits`` is a jersey being typed, ``to_last`` whether it goes to the last breakdown, ``waiting`` jerseys
    typed before their breakdown. ``asked`` says that the next digit is points, ``joining`` that the next
    jersey goes where the one before it went.
    """

    done: tuple[Trip, ...] = ()
    now: Trip = field(default_factory=Trip)
    digits: str = ""
    to_last: bool = False
    waiting: tuple[str, ...] = ()
    asked: bool = False
    joining: bool = False

    @property
    def trips(self) -> tuple[Trip, ...]:
        """Return all possessions, the one being entered included when anything is noted on it."""
        closed = settled(self)
        now = _charged(closed.now, closed.waiting) if closed.now.charges else closed.now
        return self.done if now.empty else (*self.done, now)

    @property
    def hanging(self) -> str:
        """Return what the possession being entered still has to say, nothing where it is whole."""
        closed = settled(self)
        if closed.asked:
            return "how many points the dot means"
        if closed.waiting and not closed.now.charges:
            return f"what {listed(closed.waiting)} did"
        return ""


def press(entry: Entry, key: str, breakdowns: Collection[str]) -> Entry:
    """Return the entry after one key.

    A key is a breakdown's id, a digit, ``.`` (points follow), ``+`` (one more player), ``,`` (the jersey is
    complete), ``next``, or ``period Q2``. ``undo`` is none: whoever keeps the keys takes the last one back.

    Raises:
        Refusal: the key cannot be meant here; the entry is as it was.

    """
    if _DIGIT.fullmatch(key):
        return _digit(entry, key)
    if entry.asked:
        raise Refusal(f"After . comes a digit, 0 to {MOST_POINTS}: the points of the possession.")
    if key == POINT:
        return replace(settled(entry), asked=True, joining=False)
    if key == END:
        return settled(entry)
    if key == AND:
        return _and(settled(entry))
    if key == NEXT:
        return _next(settled(entry))
    if key.startswith(_PERIOD) and key.removeprefix(_PERIOD) in PERIODS:
        return _period(settled(entry), key.removeprefix(_PERIOD))
    if key in breakdowns:
        return _charge(settled(entry), key)
    raise Refusal(f"'{clean_line(key, 40)}' is no key of film entry.")


def settled(entry: Entry) -> Entry:
    """Return the entry with the jersey being typed taken as complete."""
    if not entry.digits:
        return entry
    jersey = entry.digits
    bare = replace(entry, digits="", to_last=False, joining=False)
    if not entry.to_last:
        return replace(bare, waiting=tuple(dict.fromkeys((*entry.waiting, jersey))))
    return replace(bare, now=_charged(entry.now, (jersey,)))


def _charged(trip: Trip, players: Iterable[str]) -> Trip:
    """Return the possession with players charged with its last breakdown."""
    *before, last = trip.charges
    last = replace(last, players=tuple(dict.fromkeys((*last.players, *players))))
    return replace(trip, charges=(*before, last))


def _digit(entry: Entry, digit: str) -> Entry:
    if entry.asked:
        if int(digit) > MOST_POINTS:
            raise Refusal(f"{digit} points on one possession cannot be; 0 to {MOST_POINTS}.")
        return replace(entry, now=replace(entry.now, points=int(digit)), asked=False)
    if entry.digits:
        if entry.digits == "0" != digit:
            raise Refusal(f"0{digit} is no jersey (0 and 00 are); a comma parts two jerseys.")
        return settled(replace(entry, digits=entry.digits + digit))
    charges = entry.now.charges
    to_last = bool(charges) and not entry.waiting and (entry.joining or not charges[-1].players)
    return replace(entry, digits=digit, to_last=to_last)


def _and(entry: Entry) -> Entry:
    last = entry.now.charges[-1] if entry.now.charges else None
    if not entry.waiting and (last is None or not last.players):
        raise Refusal("+ adds a second player; type the first one's number before it.")
    return replace(entry, joining=True)


def _charge(entry: Entry, breakdown: str) -> Entry:
    if len(entry.now.charges) >= MOST_CHARGED:
        raise Refusal(f"{MOST_CHARGED} breakdowns are noted on this possession; space begins the next.")
    charge = Charge(breakdown, entry.waiting)
    now = replace(entry.now, charges=(*entry.now.charges, charge))
    return replace(entry, now=now, waiting=(), joining=False)


def _next(entry: Entry) -> Entry:
    if entry.waiting and not entry.now.charges:
        raise Refusal(
            f"{listed(entry.waiting)} has no breakdown yet: press its letter, or take the number back."
            " Points are typed with a dot: .2"
        )
    if len(entry.done) >= MOST_TRIPS:
        raise Refusal(f"{MOST_TRIPS} possessions are in; no game has more. Finish and begin another entry.")
    now = _charged(entry.now, entry.waiting) if entry.waiting else entry.now
    return Entry((*entry.done, now), Trip(now.period))


def _period(entry: Entry, period: str) -> Entry:
    """Return the entry in another period; a possession with anything on it ends first."""
    if entry.waiting or not entry.now.empty:
        entry = _next(entry)
    return replace(entry, now=replace(entry.now, period=period))


class Keys:
    """The keys of one entry with what each led to, so that any number can be taken back."""

    def __init__(self, breakdowns: Collection[str]) -> None:
        self.breakdowns = breakdowns
        self._pressed: list[str] = []
        self._states = [Entry()]

    @property
    def entry(self) -> Entry:
        """Return what is entered now."""
        return self._states[-1]

    @property
    def pressed(self) -> tuple[str, ...]:
        """Return the keys that count, those taken back left out."""
        return tuple(self._pressed)

    def copy(self) -> Keys:
        """Return the same keys, to try more on."""
        made = Keys(self.breakdowns)
        made._pressed, made._states = self._pressed.copy(), self._states.copy()
        return made

    def take(self, key: str) -> Entry:
        """Press a key, or take the last one back with ``undo``, and return what is entered then.

        Raises:
            Refusal: it cannot be meant here, or there is nothing to take back; nothing has changed.

        """
        if key == UNDO:
            if not self._pressed:
                raise Refusal("There is no key to take back.")
            self._pressed.pop()
            self._states.pop()
        else:
            made = press(self.entry, key, self.breakdowns)
            self._pressed.append(key)
            self._states.append(made)
        return self.entry


def next_period(period: str | None, *, halves: bool = False) -> str:
    """Return the key of the period after this one, in quarters or halves, then overtimes."""
    row = ["H1", "H2"] if halves else ["Q1", "Q2", "Q3", "Q4"]
    overtimes = [one for one in PERIODS if one.startswith("OT")]
    if period in overtimes:
        return _PERIOD + overtimes[min(overtimes.index(period) + 1, len(overtimes) - 1)]
    if period not in row:
        return _PERIOD + row[0]
    return _PERIOD + [*row, overtimes[0]][row.index(period) + 1]


def period_key(period: str) -> str:
    """Return the key that sets a period, whatever its capitals.

    Raises:
        Refusal: no game has such a period.

    """
    said = clean_line(period, 10).upper().replace("OT1", "OT")
    if said not in PERIODS:
        raise Refusal(f"'{said}' is no period; say Q1 to Q4, H1, H2, OT or OT2.")
    return _PERIOD + said


def sheet_of(entry: Entry, heading: Heading, begun: str) -> str:
    """Return the typed sheet of an entry; it reads back to the same possessions, breakdowns and players."""
    trips = entry.trips
    intake = Intake(
        file="live entry",
        kind="sheet",
        digest="",
        possessions=len(trips),
        trips=tuple(Possession(n, one.period, None, one.points) for n, one in enumerate(trips, 1)),
        sightings=tuple(
            Sighting(charge.breakdown, players=charge.players, points=one.points, possession=number)
            for number, one in enumerate(trips, 1)
            for charge in one.charges
        ),
        unclear=(),
        problems=(),
        heading=heading,
    )
    return f"# entered while watching, begun {begun}\n{write_sheet(intake)}"


def in_words(trip: Trip, titles: Mapping[str, str]) -> str:
    """Return a possession in words: ``2 points: No box out (21, 4); Late help``."""
    points = "" if trip.points is None else "stop" if trip.points == 0 else plural(trip.points, "point")
    seen = "; ".join(
        titles.get(one.breakdown, one.breakdown) + (f" ({', '.join(one.players)})" if one.players else "")
        for one in trip.charges
    )
    return ": ".join(part for part in (points, seen) if part) or "nothing noted"


def counts(trips: Iterable[Trip]) -> Counter[str]:
    """Return how often each breakdown was entered."""
    return Counter(charge.breakdown for one in trips for charge in one.charges)


def strangers(trips: Iterable[Trip], roster: Collection[str]) -> tuple[str, ...]:
    """Return the jerseys entered that nobody on the roster wears, none where the roster is empty."""
    seen = {jersey for one in trips for charge in one.charges for jersey in charge.players}
    return tuple(sorted(seen - set(roster))) if roster else ()
