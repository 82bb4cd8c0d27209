"""Small invented drills for the tests of the library's rules."""

from __future__ import annotations

from typing import Any

from planner.drills.card import Drill, Fault, Minutes, Scoring
from planner.drills.vocabulary import Principle, Stage, Vocabulary

VOCABULARY = Vocabulary(
    (
        Principle("post", "Post defence", "Make the catch hard."),
        Principle("talk", "Communication", "Early and loud."),
    ),
    (),
)


def a_drill(name: str, stage: Stage | None = Stage.GUIDED, **changes: Any) -> Drill:
    """Return a drill that teaches the post, with its file named after it."""
    said: dict[str, Any] = {
        "id": name,
        "title": f"The {name} drill",
        "kind": "drill",
        "stage": stage,
        "shares": {"post": 12, "talk": 4},
        "players_min": 4,
        "players_max": 10,
        "half_courts": 1,
        "layout": "half",
        "minutes": Minutes(5, 8, 12),
        "effort": 5,
        "equipment": ("2 balls", "4 cones"),
        "set_up": f"Two at each block, {name} in the middle.",
        "how": f"Three passes round {name}, then play.",
        "cues": ("Beat the feet", "High side first"),
        "faults": (Fault("Pinned behind", "Step over the foot"),),
        "scoring": Scoring("No catch in the lane.", "denials", 6, 10),
        "cautions": ("Elbows down.",),
        "file": f"{name}.toml",
    }
    return Drill(**{**said, **changes})
