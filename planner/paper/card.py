"""A drill card for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from planner.drills.card import SHARE_UNIT, Drill


def card_view(drill: Drill, titles: Mapping[str, str], width: int = 80) -> Group:
    """Return the whole card, wrapped to ``width`` columns."""
    return Group(*(_fitted(one, width) for one in _parts(drill, titles)))


def _fitted(part: RenderableType, width: int) -> RenderableType:
    if isinstance(part, Text) and len(part.plain) > width:
        part.no_wrap = False
    return part


def _parts(drill: Drill, titles: Mapping[str, str]) -> Iterator[RenderableType]:
    yield Text(drill.title, style="bold")
    yield Text(f"{drill.id} · {_facts(drill)}")
    yield Text(_shares(drill, titles))
    if drill.equipment:
        yield Text(f"Bring: {', '.join(drill.equipment)}")
    yield from _block("Set-up", [drill.set_up])
    yield from _block("How it runs", [drill.how])
    yield from _block("Say", [f"“{one}”" for one in drill.cues])
    yield from _block("See → say", [f"{one.seen} → {one.say}" for one in drill.faults])
    if drill.scoring:
        goal = f"{drill.scoring.target} {drill.scoring.counts}"
        out_of = f" of {drill.scoring.tries}" if drill.scoring.tries else ""
        yield from _block("Score", [f"{drill.scoring.rule} Target: {goal}{out_of}."])
    yield from _block("Few players", [drill.few_players])
    yield from _block("One basket", [drill.one_basket])
    yield from _block("Mind", list(drill.cautions))
    yield from _block("Easier / harder", [_ladder(drill)])


def _facts(drill: Drill) -> str:
    room = "full court" if drill.half_courts == 2 else "half court"
    return (
        f"{drill.stage.value if drill.stage else drill.kind}"
        f" · {drill.players_min}–{drill.players_max} players · {room}"
        f" · {drill.minutes.min}–{drill.minutes.max} min (usual {drill.minutes.usual})"
        f" · effort {drill.effort}/10"
    )


def _shares(drill: Drill, titles: Mapping[str, str]) -> str:
    parts = [f"{titles.get(one, one)} {units / SHARE_UNIT:.0%}" for one, units in drill.shares.items()]
    return ", ".join(parts) or "No principle of the defence"


def _ladder(drill: Drill) -> str:
    if not drill.easier and not drill.harder:
        return ""
    return f"{', '.join(drill.easier) or '–'} / {', '.join(drill.harder) or '–'}"


def _block(title: str, lines: list[str]) -> Iterator[RenderableType]:
    kept = [one for one in lines if one]
    if not kept:
        return
    yield Text(f"\n{title}", style="bold")
    for one in kept:
        yield Padding(Text(" ".join(one.split())), (0, 0, 0, 2))
