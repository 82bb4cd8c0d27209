"""Players' cards: a jersey and today's words, several a page, to be cut apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from planner.build.plan import Plan
from planner.drills.card import Drill
from planner.paper.files import MADE_BY
from planner.paper.printable import day_in_words, paper_size, printable
from planner.paper.sheet import Printed
from planner.paper.typesetter import typeset
from planner.problem import Refusal

MOST_WORDS = 3
MOST_PLAYERS = 99
_PER_PAGE = 8


@dataclass(frozen=True, slots=True)
class PlayerWords:
    """What one player is told today: the principle the practice is most about, and up to three cues."""

    jersey: str
    principle: str
    words: tuple[str, ...]


def words_today(plan: Plan, drills: Mapping[str, Drill], needs: Sequence[str]) -> tuple[PlayerWords, ...]:
    """Return each player's words, in the order in which the plan first names the players.

    The rule: of the principles in ``needs`` (ids, the costliest first), the first that the plan teaches;
    of its drills those the player runs, by the minutes they give it; from each its first cue, then its
    second, until there are three. A player who runs none of them takes the words of all.
    """
    principle = next((one for one in needs if _minutes(plan, one)), "")
    if not principle:
        return ()
    ranked = _ranked(plan, drills, principle)
    players = dict.fromkeys(one for segment in plan.segments for s in segment.stations for one in s.players)
    out = []
    for jersey in players:
        own = [drill for drill, who in ranked if jersey in who] or [drill for drill, _ in ranked]
        out.append(PlayerWords(jersey, principle, _three([drills[one].cues for one in own])))
    return tuple(out)


def _minutes(plan: Plan, principle: str) -> int:
    return sum(one.minutes * one.shares.get(principle, 0) for one in plan.segments if one.kind == "drill")


def _ranked(plan: Plan, drills: Mapping[str, Drill], principle: str) -> list[tuple[str, frozenset[str]]]:
    """Return the drills that serve a principle with who runs them, most minutes of it first."""
    minutes: dict[str, int] = {}
    who: dict[str, set[str]] = {}
    for segment in plan.segments:
        for station in segment.stations:
            card = drills.get(station.drill)
            if segment.kind != "drill" or card is None or not card.shares.get(principle):
                continue
            given = segment.minutes * card.shares[principle]
            minutes[card.id] = max(minutes.get(card.id, 0), given)
            who.setdefault(card.id, set()).update(station.players)
    return [(one, frozenset(who[one])) for one in sorted(minutes, key=lambda one: (-minutes[one], one))]


def _three(cues: Sequence[Sequence[str]]) -> tuple[str, ...]:
    deepest = max(map(len, cues), default=0)
    taken = [one[n] for n in range(deepest) for one in cues if n < len(one)]
    return tuple(dict.fromkeys(taken))[:MOST_WORDS]


def player_cards(
    plan: Plan,
    players: Sequence[PlayerWords],
    titles: Mapping[str, str],
    team: str = "",
    paper: Literal["letter", "a4"] = "letter",
    large: bool = False,
) -> Printed:
    """Return the cards as a tagged PDF, eight a page (four in large print) with lines to cut along.

    ``titles`` maps principle id to title. The same arguments give the same bytes.

    Raises:
        Refusal: there is no player or nothing to say, the paper is unknown, or the typesetter missing.

    """
    named = paper_size(paper)
    if not players:
        raise Refusal("The plan teaches no principle to anyone, so there are no words for players' cards.")
    if len(players) > MOST_PLAYERS:
        raise Refusal(f"{len(players)} cards are too many for one print; {MOST_PLAYERS} is the most.")
    day = day_in_words(plan.date)
    name = printable(team, 60)
    inputs = {
        "title": f"{name or 'Practice'}: players' cards, {day}",
        "mark": MADE_BY,
        "date": {"year": plan.date.year, "month": plan.date.month, "day": plan.date.day},
        "paper": named,
        "team": name,
        "day": day,
        "rows": 2 if large else _PER_PAGE // 2,
        "large": large,
        "cards": [
            {
                "jersey": printable(one.jersey, 12),
                "principle": printable(titles.get(one.principle, one.principle), 40),
                "words": [printable(word, 60) for word in one.words],
            }
            for one in players
        ],
    }
    done = typeset("player_card.typ", inputs, plan.date)
    return Printed(done.data, done.pages, (), done.notes, float(done.facts["size"]))
