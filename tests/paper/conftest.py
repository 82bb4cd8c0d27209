"""An invented practice, in the sizes that a sheet has to bear."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

import pytest

from planner.build.plan import Plan, Segment, Station
from planner.drills.card import Drill, Fault, Minutes, Scoring
from planner.drills.vocabulary import Stage
from planner.paper.rows import SheetNotes

DAY = dt.date(2026, 12, 3)
RED = ("0", "4", "12", "21", "33")
BLUE = ("00", "7", "15", "24", "30")
ALL = RED + BLUE
PRINCIPLES = {
    "closeout": "Closeouts and contests",
    "help-side": "Help-side position",
    "tag": "Tag and rotate",
    "box-out": "Box out and rebound",
    "transition": "Transition defence",
    "ball-screen": "Ball-screen coverage",
    "talk": "Communication",
}
DIAGRAM = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 50 42">'
    '<path d="M0.2 0.2H49.8V41.8H0.2Z M17 0.2V19H33V0.2" fill="none" stroke="#000" stroke-width="0.2"/>'
    '<circle cx="25" cy="5.2" r="0.75" fill="none" stroke="#000" stroke-width="0.3"/>'
    '<path d="M8 30L25 20L40 30" fill="none" stroke="#000" stroke-width="0.6"/>'
    '<circle cx="8" cy="30" r="2.4" fill="#fff" stroke="#000" stroke-width="0.5"/>'
    '<circle cx="40" cy="30" r="2.4" fill="#fff" stroke="#000" stroke-width="0.5"/></svg>'
)


def drill(
    name: str,
    title: str,
    shares: dict[str, int],
    cues: tuple[str, ...],
    scoring: Scoring | None,
    equipment: tuple[str, ...] = ("2 balls",),
    stage: Stage = Stage.CONTESTED,
) -> Drill:
    return Drill(
        id=name,
        title=title,
        kind="drill",
        stage=stage,
        shares=shares,
        players_min=4,
        players_max=12,
        half_courts=1,
        layout="half",
        minutes=Minutes(6, 10, 14),
        effort=6,
        equipment=equipment,
        set_up="Two lines on the wings.",
        how="Play it out.",
        cues=cues,
        faults=(Fault("upright", "Sit"),),
        scoring=scoring,
    )


DRILLS = {
    one.id: one
    for one in (
        drill(
            "wake-up-feet",
            "Feet and voice",
            {},
            ("Low, wide, loud", "Say the pass before it comes"),
            None,
            ("4 cones",),
            Stage.WALK,
        ),
        drill(
            "long-short-closeout",
            "Long run, short steps",
            {"closeout": 16, "talk": 2},
            ("Run, then chop", "High hand, low hips", "Land with your chest in front"),
            Scoring("A stop is a contested shot or no shot in four seconds.", "stops", 7, 10),
            ("4 balls", "4 cones"),
        ),
        drill(
            "corner-tag",
            "Bump and sprint to the corner",
            {"tag": 12, "closeout": 6},
            ("Bump for one beat", "Sprint while the pass flies", "Call 'mine' first"),
            Scoring("Roller touched and corner shot contested.", "good tags", 6, 8),
        ),
        drill(
            "find-hit-hold",
            "Find, hit, hold, go",
            {"box-out": 18},
            ("Find a body before the ball", "Hit first", "Two hands, chin it"),
            Scoring("Count rebounds caught before the second bounce.", "boards", 8, 10),
            ("2 balls", "2 pads"),
        ),
        drill(
            "four-shell-drive",
            "Four-man shell, drive from the slot",
            {"help-side": 12, "tag": 4, "talk": 4},
            ("See both", "First step to the paint", "Talk on the flight of the pass"),
            Scoring("Three stops in a row end the turn.", "stops", 3, None),
            ("1 ball",),
            Stage.LIVE,
        ),
        drill(
            "sprint-and-name",
            "Sprint back and name your shooter",
            {"transition": 14, "talk": 4},
            ("Rim first, ball second", "Name him before half court"),
            Scoring("No lay-up and no open three.", "stops", 5, 8),
            ("1 ball", "pinnies"),
            Stage.LIVE,
        ),
        drill(
            "screen-two-words",
            "Two words on the ball screen",
            {"ball-screen": 15, "talk": 5},
            ("Early, loud, twice", "Hand on the hip", "Level with the screen"),
            Scoring("Called before the screen is set.", "called", 9, 12),
            stage=Stage.GUIDED,
        ),
    )
}


def _station(name: str, group: str, players: tuple[str, ...], half: str) -> Station:
    return Station(name, group, players, half)


def _drill_segment(minutes: int, names: tuple[str, ...], why: str) -> Segment:
    cards = [DRILLS[name] for name in names]
    if len(names) == 1 and names[0] in {"four-shell-drive", "sprint-and-name"}:
        stations: tuple[Station, ...] = (_station(names[0], "", ALL, "full"),)
    elif len(names) == 1:
        stations = (_station(names[0], "Red", RED, "A"), _station(names[0], "Blue", BLUE, "B"))
    else:
        stations = (_station(names[0], "Red", RED, "A"), _station(names[1], "Blue", BLUE, "B"))
    return Segment(
        start=0,
        minutes=minutes,
        kind="drill",
        title=" / ".join(card.title for card in cards),
        stations=stations,
        shares=dict(cards[0].shares),
        why=why,
        effort=6,
    )


def _simple(kind: str, minutes: int, title: str) -> Segment:
    return Segment(0, minutes, kind, title)  # type: ignore[arg-type]


_WARM_UP = Segment(0, 8, "warm-up", "Feet and voice", (Station("wake-up-feet", "", ALL, "full"),), {}, "", 3)
_WHYS = (
    "Closeouts cost us 4.1 points per 100, most of all problems; last taught eight days ago.",
    "The corner was open behind the tag on 9 of 31 rolls.",
    "Second chances: 11 in the last two games.",
    "Back to the whole picture before the game, at game speed.",
)


def _ordinary() -> list[Segment]:
    return [
        _WARM_UP,
        _drill_segment(10, ("long-short-closeout",), _WHYS[0]),
        _simple("water", 2, "Water"),
        _simple("set-up", 1, "Set up: two baskets, pads out"),
        _drill_segment(12, ("corner-tag", "find-hit-hold"), _WHYS[1]),
        _drill_segment(12, ("four-shell-drive",), _WHYS[3]),
        _simple("water", 2, "Water"),
        _drill_segment(9, ("screen-two-words",), "Two of three slips came with nobody calling the screen."),
        _drill_segment(14, ("sprint-and-name",), "Unmatched shooters in transition: 7 in 61 trips."),
        _simple("fixed", 10, "Free throws in pairs"),
        _drill_segment(10, ("find-hit-hold",), _WHYS[2]),
        _simple("cool-down", 5, "Walk, stretch, two things we keep"),
    ]


def plan_of(segments: list[Segment], start: int = 18 * 60 + 10) -> Plan:
    """Return the plan with its segments laid end to end."""
    at, out = start, []
    for one in segments:
        out.append(
            Segment(at, one.minutes, one.kind, one.title, one.stations, one.shares, one.why, one.effort)
        )
        at += one.minutes
    return Plan(DAY, start, at - start, 3.2, 3.2, True, 0.4, tuple(out))


def sized_plan(count: int) -> Plan:
    """Return a plan of ``count`` segments: the ordinary evening, cut short or gone round again."""
    ordinary = _ordinary()
    middle = ordinary[1:-1]
    if count <= 2:
        return plan_of(ordinary[:count])
    chosen = [middle[n % len(middle)] for n in range(count - 2)]
    return plan_of([ordinary[0], *chosen, ordinary[-1]])


def heavy_plan(count: int) -> Plan:
    """Return a plan in which every segment is two drills at once."""
    pairs = [("corner-tag", "find-hit-hold"), ("screen-two-words", "long-short-closeout")]
    return plan_of([_drill_segment(6, pairs[n % 2], _WHYS[n % 4]) for n in range(count)], 14 * 60)


def notes(diagrams: tuple[str, ...] = ()) -> SheetNotes:
    return SheetNotes(
        team="Fernhill Under-16 girls",
        practice="Practice 23",
        next_game="Next: Fri 4 Dec v Harbour Point, home",
        drills=DRILLS,
        principles=PRINCIPLES,
        present=("00", "0", "4", "7", "12", "15", "21", "24", "30", "33", "41", "50"),
        needs=(
            "Closeouts: 4.1 points per 100 (2.6 to 5.9), shooters set before we arrive",
            "Tag and rotate: 2.8 (1.7 to 4.2), the roller walks in",
            "Box out: 2.2 (1.2 to 3.4), second chances from the weak side",
        ),
        cautions=(
            "Pads: contact below the shoulders only",
            "Spare towels at both baselines, wet floor stops play",
        ),
        diagrams=dict.fromkeys(diagrams, DIAGRAM),
        diagram_texts=dict.fromkeys(diagrams, "Two wings, the ball passed over the top."),
    )


@pytest.fixture(scope="session")
def sample() -> SimpleNamespace:
    """Builders of invented practices and of what is printed beside them."""
    return SimpleNamespace(
        day=DAY,
        drills=DRILLS,
        diagram=DIAGRAM,
        every_drill=tuple(DRILLS),
        sized_plan=sized_plan,
        heavy_plan=heavy_plan,
        plan_of=plan_of,
        notes=notes,
        titles={name: card.title for name, card in DRILLS.items()},
    )
