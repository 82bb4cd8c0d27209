"""``stopsheet drills``: list, show, ladder and check the library; ``stopsheet print drill``."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from itertools import groupby
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from planner.cli.show import draw, say, say_json, width
from planner.desk.desk import Desk, open_desk
from planner.drills.card import Drill
from planner.drills.ladder import Ladder, ladder_of, next_stage
from planner.drills.library import Library
from planner.drills.plain import plain
from planner.drills.search import Wanted, find_drills, in_teaching_order
from planner.drills.vocabulary import Stage
from planner.problem import Problem, Refusal
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from planner.court.frame import Frame

STAGE_WORDS: Mapping[Stage, str] = {
    Stage.WALK: "no opposition, or walked through",
    Stage.GUIDED: "the offence does what it is told, at speed",
    Stage.CONTESTED: "real opposition, limited by an advantage or a rule",
    Stage.LIVE: "full decisions, scored",
}
_ID_WIDTH = 34
_LIST_ROW = "{mark} {stage:<9} {id:<34} {players:>5} {minutes:>7} {room:>4} {effort:>6}"


def list_(arguments: Namespace) -> int:
    """List the drills that fit."""
    desk = open_desk()
    library = desk.library
    found = in_teaching_order(find_drills(library.drills, _wanted(arguments, library)), library.vocabulary)
    found = tuple(sorted(found, key=lambda one: one.main_principle != getattr(arguments, "principle", None)))
    if getattr(arguments, "own", False):
        found = tuple(one for one in found if one.id in library.own)
    if arguments.json:
        say_json([{**plain(one), "own": one.id in library.own} for one in found])
        return 0 if found else 1
    titles = {one.id: one.title for one in library.vocabulary.principles}
    if found:
        say(_LIST_ROW.format(mark=" ", stage="stage", id="drill", players="players", minutes="minutes",
                             room="room", effort="effort"))  # fmt: skip
    for heading, drills in groupby(found, key=lambda one: _heading(one, titles)):
        say(heading)
        for one in drills:
            say(_row(one, library))
    say(_count(len(found), library))
    for line in _remarks(library):
        say(line)
    return 0 if found else 1


def _wanted(arguments: Namespace, library: Library) -> Wanted:
    given = vars(arguments)
    principle = given.get("principle") or ""
    known = library.vocabulary.principle_by_id
    if principle and principle not in known:
        raise Refusal(f"'{clean_line(principle, 40)}' is no principle; they are: {', '.join(known)}.")
    return Wanted(
        principle=principle,
        stage=Stage(given["stage"]) if given.get("stage") else None,
        kind=given.get("kind"),
        players=given.get("players"),
        minutes=given.get("minutes"),
        words=tuple(given.get("words") or ()),
        equipment=tuple(given.get("equipment") or ()),
        without=tuple(given.get("without") or ()),
        half_court=bool(given.get("half_court")),
    )


def _heading(one: Drill, titles: Mapping[str, str]) -> str:
    if one.kind != "drill" or one.main_principle is None:
        return {"warm-up": "Warm-up", "cool-down": "Cool-down", "fixed": "Fixed blocks"}.get(
            one.kind, "Other"
        )
    return f"{titles[one.main_principle]} ({one.main_principle})"


def _row(one: Drill, library: Library) -> str:
    mark = " "
    if one.id in library.own:
        mark = "!" if one.id in library.changed else "*"
    row = _LIST_ROW.format(
        mark=mark,
        stage=one.stage.value if one.stage else "",
        id="" if len(one.id) > _ID_WIDTH else one.id,
        players=f"{one.players_min}–{one.players_max}",
        minutes=f"{one.minutes.min}–{one.minutes.max}",
        room="full" if one.half_courts == 2 else "half",
        effort=f"{one.effort}/10",
    )
    return row if len(one.id) <= _ID_WIDTH else f"{'':12}{one.id}\n{row}"


def _count(found: int, library: Library) -> str:
    yours = f" {plural(len(library.own), 'is', 'are')} your own (*)." if library.own else ""
    return f"{plural(found, 'drill')}.{yours} 'stopsheet drills show ID' shows one."


def _remarks(library: Library) -> list[str]:
    lines = [
        f"! The shipped drill has changed since '{one}' was copied; 'stopsheet drills show {one}' says more."
        for one in sorted(library.changed)
    ]
    if library.problems:
        files = len({one.file for one in library.problems})
        lines.append(f"! {plural(files, 'file')} could not be used; 'stopsheet drills check' says why.")
    return lines


def show(arguments: Namespace) -> int:
    """Show one drill card."""
    from planner.desk.drills import find_drill

    desk = open_desk()
    drill = find_drill(desk.library, arguments.drill)
    frames = _frames(desk, drill, arguments.court)
    if arguments.json:
        from planner.court.describe import describe

        pictures = [{"caption": one.caption, "words": describe(one)} for one in frames]
        say_json({**plain(drill), "own": drill.id in desk.library.own, "diagrams": pictures})
        return 0
    from planner.paper.card import CardNotes, card_view, frame_view

    frame = _frame_number(arguments.frame, frames, drill)
    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
    notes = CardNotes(titles, frames, frame, arguments.words, _own_remarks(drill, desk.library))
    view = frame_view if frame and not arguments.words else card_view
    draw(view(drill, notes, width()))
    if arguments.key:
        from planner.court.legend import legend_text

        say(f"\n{legend_text()}")
    return 0


def _frames(desk: Desk, drill: Drill, court: str | None) -> tuple[Frame, ...]:
    from planner.desk.drills import court_rules
    from planner.desk.library import court_of
    from planner.drills.pictures import frames_of

    if not desk.library.diagram_rows.get(drill.id):
        return ()
    return frames_of(desk.library, drill.id, court_of(court or court_rules(desk)))


def _frame_number(wanted: int | None, frames: tuple[Frame, ...], drill: Drill) -> int | None:
    if wanted is None:
        return None
    if not 1 <= wanted <= len(frames):
        have = plural(len(frames), "diagram") if frames else "no diagram"
        raise Refusal(f"There is no diagram {wanted}: '{drill.id}' has {have}.")
    return wanted


def _own_remarks(drill: Drill, library: Library) -> tuple[str, ...]:
    if drill.id not in library.own:
        return ()
    remarks = [f"Your own drill: {drill.file}"]
    if drill.id in library.changed:
        remarks.append(
            "The shipped drill has changed since you copied it;"
            f" 'stopsheet drills remove {drill.id}' goes back to the shipped one."
        )
    return tuple(remarks)


def ladder(arguments: Namespace) -> int:
    """Show the drills of a principle from walk to live, and how far the team has come."""
    from planner.desk import drills as desk_drills

    desk = open_desk()
    if not arguments.principle:
        return _ladders(desk, arguments.json)
    found, passed = desk_drills.ladder(desk, arguments.principle)
    upcoming = next_stage(passed)
    if arguments.json:
        say_json(_ladder_json(found, passed))
        return 0
    principle = desk.library.vocabulary.principle_by_id[found.principle]
    say(f"{principle.title} ({principle.id})")
    say(f"  {principle.taught}")
    for stage, rungs in found.stages.items():
        mark = "✓" if passed and stage.rank <= passed.rank else "▸" if passed and stage is upcoming else " "
        say(f"\n{mark} {stage.rank} {stage.value}: {STAGE_WORDS[stage]}")
        for rung in rungs:
            say(f"      {rung.drill.id}{' *' if rung.drill.id in desk.library.own else ''}")
            for line in wrap("then " + ", ".join(rung.harder), width() - 10) if rung.harder else ():
                say(f"          {line}")
    say("")
    say(_standing(desk, principle.id, passed))
    return 0


def _standing(desk: Desk, principle: str, passed: Stage | None) -> str:
    if passed is None:
        if not desk.has_team():
            return "✓ will mark what your team has passed, once there is a team."
        return f"Nothing passed yet; 'stopsheet team passed {principle} walk' records it."
    upcoming = next_stage(passed)
    return f"Passed: {passed}. " + (f"Next: {upcoming} (▸)." if upcoming else "All four stages.")


def _ladders(desk: Desk, as_json: bool) -> int:
    from planner.desk.drills import passed_stages

    passed = passed_stages(desk)
    found = [ladder_of(desk.library.drills, one.id) for one in desk.library.vocabulary.principles]
    if as_json:
        say_json([_ladder_json(one, passed.get(one.principle)) for one in found])
        return 0
    say(f"{'principle':<17}{'walk':>6}{'guided':>8}{'contested':>11}{'live':>6}  passed")
    for one in found:
        counts = {stage: len(rungs) for stage, rungs in one.stages.items()}
        numbers = "".join(
            f"{counts[stage]:>{wide}}" for stage, wide in zip(Stage, (6, 8, 11, 6), strict=True)
        )
        reached = passed.get(one.principle)
        say(f"{one.principle:<17}{numbers}  {reached.value if reached else '–'}")
    say("'stopsheet drills ladder PRINCIPLE' shows the drills.")
    return 0


def _ladder_json(found: Ladder, passed: Stage | None) -> dict[str, Any]:
    upcoming = next_stage(passed)
    return {
        "principle": found.principle,
        "passed": passed.value if passed else None,
        "next": upcoming.value if upcoming else None,
        "stages": [
            {
                "stage": stage.value,
                "passed": passed is not None and stage.rank <= passed.rank,
                "drills": [
                    {
                        "id": one.drill.id,
                        "title": one.drill.title,
                        "easier": list(one.easier),
                        "harder": list(one.harder),
                    }
                    for one in rungs
                ],
            }
            for stage, rungs in found.stages.items()
        ],
    }


def check(arguments: Namespace) -> int:
    """Report every finding in the library with file and line."""
    from planner.desk.drills import check_library

    desk = open_desk()
    problems = check_library(desk)
    if arguments.json:
        say_json([_problem_json(one) for one in problems])
        return 1 if problems else 0
    for one in problems:
        say(str(one))
    say(f"{plural(len(desk.library.drills), 'drill')} read, {plural(len(problems), 'finding')}.")
    return 1 if problems else 0


def _problem_json(one: Problem) -> dict[str, Any]:
    return {"file": one.file, "line": one.line, "what": one.what}


def print_cards(arguments: Namespace) -> int:
    """Put drill cards on paper."""
    from planner.desk.cards import print_drills

    printed = print_drills(
        open_desk(),
        arguments.ids,
        Path(arguments.to) if arguments.to else None,
        paper=arguments.paper,
        large=arguments.large,
        frame=arguments.frame,
        court=arguments.court,
        overwrite=arguments.overwrite,
    )
    say(f"Printed to {printed.path}")
    for one in printed.notes:
        say(f"  {one}")
    return 0
