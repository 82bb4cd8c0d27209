"""The verbs of a diagram: what a word on the floor makes a player do."""

from __future__ import annotations

import re

from planner.court.places import WrongPlace

RUN_WORDS = (
    "cut run sprint go move slide roll pop flash fill lift jump drop recover rotate step relocate sink show"
    " hedge backpedal slip dive drift chase retreat hustle flare curl come sag fight trail return space post"
    " follow get shuffle walk jog turn x-out clear race hurry tuck squeeze collapse crash rush scramble spin"
)
DRIBBLE_WORDS = "dribble drive attack penetrate bring"
PASSING_WORDS = "pass throw skip kick outlet inbound lob enter reverse feed toss swing"
TAKE_WORDS = "take match stop meet guard contain contest switch find cover pressure challenge"
TOUCH_WORDS = "tag bump hit"
BLUFF_WORDS = "bluff stunt fake dig"
RELATION_STEMS = {"den": "deny", "front": "front", "help": "help", "gap": "gap"}
STAY_WORDS = "stay hold wait call talk point watch pivot jab look"
SHOOT_WORDS = "shoot finish score"


def _any(words: str) -> str:
    return "(?:" + "|".join(words.split()) + ")(?:es|s)?"


_VERBS: tuple[tuple[str, str], ...] = (
    ("closeout", r"clos(?:es|e) ?out"),
    ("box-out", r"(?:box(?:es)?|blocks?) out|seals?"),
    ("trap", r"(?:traps?|double-?teams?|doubles?)"),
    ("hand-off", r"hands? (?:it |ball )?off|hands? (?:it|ball)"),
    ("screen", r"sets? (?:\S+ )?screens?|(?:\w+-)?screens?(?: away| down)?"),
    ("collect", r"(?:collects?|picks? up|gets?|grabs?|wins?) (?:loose )?ball|rebounds?"),
    ("pass", _any(PASSING_WORDS) + "(?: it| ball)?"),
    ("take", r"picks? up|" + _any(TAKE_WORDS)),
    ("touch", _any(TOUCH_WORDS)),
    ("bluff", _any(BLUFF_WORDS)),
    ("dribble", _any(DRIBBLE_WORDS) + "(?: it| ball)?"),
    ("shot", _any(SHOOT_WORDS) + "|lays? (?:it |ball )?up"),
    ("relation", r"(?:den(?:y|ies)|fronts?|helps?|gaps?)"),
    ("stay", _any(STAY_WORDS)),
    ("run", _any(RUN_WORDS)),
)


def find_verb(rest: str) -> tuple[str, str, str]:
    """Return the kind of act a sentence's rest starts with, the words used for it, and what follows.

    Raises:
        WrongPlace: no verb of the list.

    """
    for kind, pattern in _VERBS:
        if found := re.match(rf"({pattern})(?:\s+|$)", rest):
            return kind, found[1], rest[found.end() :]
    word = rest.split(" ", 1)[0]
    raise WrongPlace(
        f"'{word}' is no action a diagram knows: passes, dribbles, cuts, screens, closes out ..."
    )
