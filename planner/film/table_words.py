"""What the headers of a table mean: trade words for its columns, as coaches and spreadsheets write them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from planner.film.words import plain

PERIOD, CLOCK, TIME, START, END = "period", "clock", "time", "start", "end"
POINTS, RESULT, BREAKDOWN, PLAYER, COUNT = "points", "result", "breakdown", "player", "count"
POSSESSION, WATCHED, COMMENT, IGNORE = "possession", "watched", "comment", "ignore"
DATE, OPPONENT, VENUE, TOTAL, NUMBER, MAYBE = "date", "opponent", "venue", "total", "number", "maybe"
OF, BY, IN = "of", "by", "in"
"""Columns of counts: of one breakdown, by one player, in one period."""

TOLD = (
    *(PERIOD, CLOCK, POINTS, RESULT, BREAKDOWN, PLAYER, COUNT, POSSESSION),
    *(COMMENT, START, END, DATE, OPPONENT, IGNORE),
)
"""What a coach may say a column means; the id of a breakdown says that it counts that one."""

_SAID: Mapping[str, tuple[str, ...]] = {
    PERIOD: ("period", "per", "pd", "quarter", "qtr", "q", "half", "game period", "section"),
    CLOCK: (
        *("clock", "game clock", "time left", "time remaining", "remaining", "game time", "clock time"),
        *("time on clock", "on the clock", "left", "period time", "time in period"),
    ),
    TIME: ("time", "at", "when", "moment", "min", "minute"),
    START: (
        *("start", "start time", "video time", "film time", "video", "tape", "in", "clip start", "begin"),
        *("from", "video start", "timecode", "time code", "timestamp", "time stamp", "start of clip"),
        *("video timestamp", "video position", "film", "tape time", "clip time", "video clock", "film clock"),
        *(
            "video s",
            "video sec",
            "video secs",
            "video seconds",
            "film s",
            "film sec",
            "film seconds",
            "tape s",
        ),
        *("starts at", "vid", "vid time", "tape mark", "mark", "film mark", "vid mark"),
    ),
    END: ("end", "end time", "out", "clip end", "until", "to", "video end", "end of clip", "ends at"),
    POINTS: (
        *("points", "pts", "pt", "points allowed", "pts allowed", "points against", "points given up"),
        *("conceded", "allowed", "opp points", "opp pts", "their points", "points scored", "given up"),
        *("points conceded", "pa", "opponent points", "opponents points", "pts against", "scored", "score"),
        *("points on possession", "pts given up", "cost", "points cost", "points for them", "gave up", "got"),
        *("they got", "what they got", "they scored", "damage", "cost us", "them", "we gave up", "gives up"),
    ),
    RESULT: ("result", "outcome", "res", "ended", "ending", "end result", "shot result", "how it ended"),
    BREAKDOWN: (
        *("breakdown", "breakdowns", "mistake", "mistakes", "error", "errors", "fault", "faults", "lapse"),
        *("what went wrong", "went wrong", "problem", "problems", "issue", "issues", "defensive error"),
        *("defensive breakdown", "defensive mistake", "def breakdown", "def error", "def mistake", "lapses"),
        *("defensive errors", "defensive breakdowns", "defensive mistakes", "breakdown type", "error type"),
        *("type of breakdown", "type of mistake", "type of error", "mistake type", "failure", "our mistake"),
        *("our mistakes", "our error", "what we did wrong", "cause", "defensive lapse", "defence error"),
        *("defense error", "defence mistake", "defense mistake", "oops", "what broke"),
        *("broke down", "what broke down", "breakdown s", "our d", "wrong", "whats wrong", "what was wrong"),
    ),
    PLAYER: (
        *("player", "players", "who", "jersey", "jerseys", "player no", "player number", "jersey no"),
        *("jersey number", "defender", "defenders", "by", "name", "player name", "charged to", "shirt"),
        *("nr who", "guilty", "our man", "d man", "girl", "boy", "guy", "culprit", "our number", "our no"),
        *("responsible", "whose", "at fault", "our player", "blame", "on whom", "player s", "by whom", "kid"),
        *("shirt number", "shirt no", "players involved", "who was it", "charged", "athlete", "names"),
    ),
    COUNT: (
        *("count", "counts", "times", "how many", "n", "qty", "quantity", "freq", "frequency", "tally"),
        *("occurrences", "amount", "number of times", "how often", "x", "tallies", "seen"),
    ),
    POSSESSION: (
        *("possession", "poss", "possession no", "poss no", "possession number", "trip", "def possession"),
        *("defensive possession", "poss num", "play", "play no", "play number", "clip", "clip no", "pos"),
        *("possession id", "trip no", "def poss", "clip number", "possession nr", "poss nr"),
    ),
    WATCHED: ("possessions", "possessions watched", "defensive possessions", "def possessions", "watched"),
    COMMENT: ("comment", "comments", "remark", "remarks", "quote", "coach comment", "my notes", "memo"),
    DATE: ("date", "game date", "day", "played on"),
    OPPONENT: ("opponent", "opp", "vs", "versus", "against", "game", "match", "opposition", "rival"),
    VENUE: ("venue", "home away", "site", "h a"),
    TOTAL: ("total", "totals", "sum", "overall", "all", "in all", "grand total", "team total", "team"),
    NUMBER: ("no", "nr", "number", "num", ""),
    IGNORE: (
        *("shot clock", "id", "index", "row", "link", "url", "duration", "length", "season", "competition"),
        *("average", "avg", "mean", "percent", "rate", "share", "per game", "per possession", "rank"),
    ),
    MAYBE: (
        *("type", "category", "tag", "tags", "label", "labels", "code", "codes", "event", "events", "what"),
        *("description", "notes", "note", "detail", "details", "what happened", "reason", "why", "text"),
        *("observation", "observations", "defence", "defense", "action", "topic", "item", "kind"),
    ),
}
_MEANINGS = {said: meaning for meaning, group in _SAID.items() for said in group}
_WHOSE = frozenset(
    {"their", "theirs", "our", "ours", "opp", "opponent", "opponents", "the", "def", "defensive"}
    | {"a", "of", "s", "for", "on", "this", "that", "my", "coach", "coaches"}
)
_PHRASES = (
    *(
        "points",
        "pts",
        "breakdown",
        "breakdowns",
        "mistake",
        "mistakes",
        "error",
        "errors",
        "went wrong",
        "game clock",
    ),
    *("what happened", "possession", "poss", "jersey", "player", "players", "quarter", "period"),
)
"""Words that say what a longer header is about, the telling ones first."""
_NUMBERED = re.compile(r"^(?P<base>.*?[^\W\d])\s*(?P<n>\d{1,2})$")
_WORDS = re.compile(r"[^\W_]+")


def normal(header: str) -> str:
    """Return a header in small letters, words only: ``Pts. (allowed)`` is ``pts allowed``."""
    return " ".join(_WORDS.findall(plain(header).replace("'", "")))[:80]


@lru_cache(maxsize=4096)
def header_meaning(header: str) -> str | None:
    """Return what a header says its column means, None when it says nothing we know.

    ``time`` and ``number`` can be one of two things, ``maybe`` a breakdown; contents decide.
    """
    said = normal(header)
    if not said:
        return NUMBER if header.strip() in ("#", "№", "n°") else None
    if said in _MEANINGS:
        return _MEANINGS[said]
    numbered = _NUMBERED.match(said)
    base = _MEANINGS.get(numbered["base"]) if numbered else None
    if base in (BREAKDOWN, PLAYER, MAYBE):
        return base
    short = normal(re.sub(r"\s*\([^)]*\)\s*", " ", header).strip())
    if short in _MEANINGS and short != said:
        return _MEANINGS[short]
    about = [one for one in said.split() if one not in _WHOSE]
    plainer = " ".join(about)
    if about and plainer != said and plainer in _MEANINGS:
        return _MEANINGS[plainer]
    return next(
        (meaning for one in _PHRASES if (meaning := _MEANINGS.get(one)) and f" {one} " in f" {said} "), None
    )


def series(header: str) -> str | None:
    """Return what numbered headers share: ``tag`` of ``Tag 1``; None for one without a number."""
    numbered = _NUMBERED.match(normal(header))
    return numbered["base"] if numbered else None


def header_key(cells: tuple[str, ...]) -> str:
    """Return the header row as one normalised line: what a team's corrections are remembered by."""
    return "|".join(normal(cell) for cell in cells).strip("|")
