"""``stopsheet drills``: list, show and check the library."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from typing import Any

from planner.cli.show import draw, say, say_json, width
from planner.desk.desk import open_desk
from planner.desk.team import check_principle
from planner.drills.card import SHARE_UNIT, Drill
from planner.problem import Refusal
from planner.text import clean_line, plural


def list_(arguments: Namespace) -> int:
    """List the drills that fit."""
    desk = open_desk()
    wanted = vars(arguments)
    if principle := wanted.get("principle"):
        check_principle(desk, principle)
    found = [one for one in desk.library.drills if _fits(one, wanted)]
    if arguments.json:
        say_json([card_json(one) for one in found])
        return 0
    for one in found:
        stage = one.stage.value if one.stage else one.kind
        players = f"{one.players_min}-{one.players_max}"
        minutes = f"{one.minutes.min}-{one.minutes.max}"
        main = one.main_principle or ""
        say(f"{one.id:30.30} {stage:10} {main:16} {players:>5} pl {minutes:>5} min")
    say(f"{plural(len(found), 'drill')}; 'stopsheet drills show ID' shows one.")
    return 0 if found else 1


def _fits(one: Drill, wanted: Mapping[str, Any]) -> bool:
    principle, stage, players = wanted.get("principle"), wanted.get("stage"), wanted.get("players")
    if principle and principle not in one.shares:
        return False
    if stage and one.stage != stage:
        return False
    if players and not one.players_min <= players <= one.players_max:
        return False
    text = " ".join((one.id, one.title, one.set_up, one.how, *one.cues)).lower()
    return all(word.lower() in text for word in wanted.get("words") or ())


def card_json(one: Drill) -> dict[str, Any]:
    """Return a drill card as plain values."""
    return {
        "id": one.id,
        "title": one.title,
        "kind": one.kind,
        "stage": one.stage.value if one.stage else None,
        "principles": {key: units / SHARE_UNIT for key, units in one.shares.items()},
        "players": [one.players_min, one.players_max],
        "half_courts": one.half_courts,
        "layout": one.layout,
        "minutes": [one.minutes.min, one.minutes.usual, one.minutes.max],
        "effort": one.effort,
        "equipment": list(one.equipment),
        "set_up": one.set_up,
        "how": one.how,
        "cues": list(one.cues),
        "faults": [{"seen": fault.seen, "say": fault.say} for fault in one.faults],
        "scoring": _scoring_json(one),
        "easier": list(one.easier),
        "harder": list(one.harder),
        "cautions": list(one.cautions),
        "few_players": one.few_players,
        "one_basket": one.one_basket,
    }


def _scoring_json(one: Drill) -> dict[str, Any] | None:
    if one.scoring is None:
        return None
    scoring = one.scoring
    return {
        "rule": scoring.rule,
        "counts": scoring.counts,
        "target": scoring.target,
        "tries": scoring.tries,
    }


def show(arguments: Namespace) -> int:
    """Show one drill card."""
    desk = open_desk()
    found = desk.library.by_id.get(arguments.drill)
    if found is None:
        from difflib import get_close_matches

        near = get_close_matches(arguments.drill, desk.library.by_id, 3, 0.5)
        hint = f"did you mean {' or '.join(near)}?" if near else "'stopsheet drills list' shows all."
        raise Refusal(f"There is no drill '{clean_line(arguments.drill, 40)}'; {hint}")
    if arguments.json:
        say_json(card_json(found))
        return 0
    from planner.paper.card import card_view

    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
    draw(card_view(found, titles, width()))
    return 0


def check(arguments: Namespace) -> int:
    """Report every fault of the library with file and line."""
    desk = open_desk()
    problems = desk.library.problems
    if arguments.json:
        say_json([{"file": one.file, "line": one.line, "what": one.what} for one in problems])
        return 1 if problems else 0
    for one in problems:
        say(str(one))
    say(f"{plural(len(desk.library.drills), 'drill')} read, {plural(len(problems), 'fault')}.")
    return 1 if problems else 0
