"""A frame in words, for readers who do not see the picture."""

from __future__ import annotations

from planner.court.frame import Frame, Move, is_attacker, is_coach, is_defender
from planner.court.spots import name_of
from planner.text import listed, plural


def describe(frame: Frame) -> str:
    """Return the frame in plain sentences: caption, attackers, defenders, ball, then the actions in order."""
    sentences = [frame.caption.rstrip(".")] if frame.caption else []
    sentences.append("Full court" if frame.whole else "Half court")
    for title, wanted in (("Attackers", is_attacker), ("Defenders", is_defender), ("Coach", is_coach)):
        people = [f"{mark} {_where(frame, mark)}" for mark in sorted(frame.players) if wanted(mark)]
        if people:
            sentences.append(f"{title}: {listed(people)}")
    if ball := _ball(frame):
        sentences.append(ball)
    if frame.cones:
        sentences.append(f"{plural(len(frame.cones), 'cone')} on the floor")
    if frame.waiting:
        lines = [name_of(frame.court, one, frame.whole) for one in frame.waiting]
        sentences.append(f"{plural(len(lines), 'line')} of waiting players {listed(lines)}")
    sentences += _actions(frame.moves)
    return ". ".join(sentences) + "."


def _where(frame: Frame, mark: str) -> str:
    """Return where a player stands: in the words the diagram used, else by the nearest named place."""
    words = frame.places.get(mark, "")
    first = words.split(" ", 1)[0].lower()
    if first in {"on", "behind", "near", "beside"} and " " in words:
        return {"on": "guarding", "behind": "behind", "near": "near", "beside": "beside"}[first] + words[
            len(first) :
        ]
    if first == "on":
        return f"guarding {mark[1:]}"
    if first == "help":
        return f"in help, {name_of(frame.court, frame.players[mark], frame.whole)}"
    if words == "split line":
        return "on the split line"
    if first in {"gap", "deny", "front", "split", "trail"}:
        return (
            {
                "gap": "in the gap off",
                "deny": "denying",
                "front": "in front of",
                "split": "on the split line for",
                "trail": "trailing",
            }[first]
            + " "
            + (words[len(first) :].strip() or mark[1:])
        )
    return name_of(frame.court, frame.players[mark], frame.whole)


def _ball(frame: Frame) -> str:
    held = [one for one in frame.balls if isinstance(one, str)]
    loose = [name_of(frame.court, one, frame.whole) for one in frame.balls if not isinstance(one, str)]
    parts = [f"{listed(held)} {'has the ball' if len(held) == 1 else 'each have a ball'}"] if held else []
    parts += [f"{'a' if held else 'A'} ball lies {listed(loose)}"] if loose else []
    return "; ".join(parts)


def _actions(moves: tuple[Move, ...]) -> list[str]:
    """Return each sentence of the author once, in order."""
    said: list[str] = []
    for move in moves:
        sentence = move.said.strip().rstrip(".")
        if sentence and (not said or said[-1] != sentence):
            said.append(sentence)
    return [f"Then: {'; '.join(said)}"] if said else []
