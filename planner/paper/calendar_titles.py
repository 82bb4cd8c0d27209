"""What the title of a calendar event says: a game of ours, a gym that is closed, or neither."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from planner.text import clean_line

Venue = Literal["", "home", "away", "neutral"]


def _many(words: str) -> frozenset[str]:
    return frozenset(words.split())


_BETWEEN = re.compile(r"(?:^|(?<=\s))(vs?\.?|versus|@|at)(?=\s)|(?:^|(?<=\s))@(?=\w)", re.IGNORECASE)
_PLACE = re.compile(
    r"[\s,-]*[(\[](home|away|neutral|h|a|n)[)\]]\s*$|\s+[-–,]\s*(home|away|neutral)\s*$", re.IGNORECASE
)
_CLOSED = re.compile(
    r"\b(gym|gymnasium|sports? hall|hall|court|floor)\b.*"
    r"\b(closed|closure|shut|unavailable|not available|not free)\b"
    r"|\bclosed\b.*\b(gym|gymnasium|sports? hall)\b"
    r"|\bno (gym|gymnasium|sports? hall|court)\b",
    re.IGNORECASE,
)
_GAME = _many(
    "game match basketball varsity jv league cup boys girls men women team playoff playoffs quarterfinal "
    "semifinal final friendly tournament round home away"
)
_NO_GAME = _many(
    "practice training session meeting dinner lunch breakfast bus photo photos picture pictures camp clinic "
    "tryout tryouts film party fundraiser concert exam exams parents banquet pizza draft registration "
    "football soccer volleyball hockey baseball softball tennis swimming swim track wrestling lacrosse golf "
    "rugby cricket netball handball rowing debate chess cancelled canceled postponed"
)
_LEADING = re.compile(r"^(?:game|match|basketball|league|cup|friendly)\s*[:\-–]\s*", re.IGNORECASE)
_NOT_A_SIDE = re.compile(r"^\d{1,2}([:.]\d{2})?\s*([ap]\.?m\.?)?$|^(tbd|tba|home|noon)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Pairing:
    """Whom we meet, and where as far as the title says."""

    opponent: str
    venue: Venue


def says_closed(title: str) -> bool:
    """Return whether a title says that the gym is not there."""
    return bool(_CLOSED.search(clean_line(title, 300)))


def pairing(title: str, ours: str) -> Pairing | None:
    """Return the game that a title names ("v Harbour Point", "Otters @ Harbour Point"), or None.

    ``ours`` is the team's name: where it stands on the right, the left side is the opponent. "at" and "@"
    name a game only beside the team's name, a word of games, or nothing: dinners are at places too.
    """
    said = _LEADING.sub("", clean_line(title, 300))
    said, told = _without_place(said)
    found = _BETWEEN.search(said)
    if found is None:
        return None
    left, right = (
        clean_line(one.strip(" -–:,."), 80) for one in (said[: found.start()], said[found.end() :])
    )
    away = found[0].casefold() in {"@", "at"}
    words = _words(left)
    if not right or _NOT_A_SIDE.match(right) or _NO_GAME & (words | _words(right)):
        return None
    if _is_ours(right, ours) and left and not _is_ours(left, ours):
        # The side named first is at home by custom; "X @ us" says so outright.
        return Pairing(left, told or ("home" if away else ""))
    if away and left and not (_is_ours(left, ours) or _GAME & words):
        return None
    return Pairing(right, told or ("away" if away else "home"))


def _without_place(said: str) -> tuple[str, Venue]:
    found = _PLACE.search(said)
    if found is None:
        return said, ""
    venues: dict[str, Venue] = {"h": "home", "a": "away", "n": "neutral"}
    return said[: found.start()], venues[(found[1] or found[2])[0].lower()]


def _is_ours(side: str, ours: str) -> bool:
    """Return whether a side shares a telling word with the team's name."""
    return bool({one for one in _words(side) & _words(ours) if len(one) >= 4} - _GAME - {"under", "club"})


def _words(text: str) -> set[str]:
    return set(re.findall(r"\w+", text.casefold()))
