from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import planner.desk
from planner.build.brief import Pin
from planner.desk.calendar_intake import add_file
from planner.desk.desk import Desk
from planner.desk.film import add_files, film_list, set_watched, undo_film
from planner.desk.film_proposals import Which, answer
from planner.desk.film_sorting import sort_line, unclear_lines
from planner.desk.house import change_game, remove_fixed, remove_game, remove_gym_rule, reset_setting
from planner.desk.library import load_library
from planner.desk.practice import Wishes, build_plan, find_plan
from planner.desk.scheme import set_coverage, set_exposure, set_floor
from planner.desk.season import Changes, log_practice
from planner.desk.team import (
    add_fixed,
    add_game,
    add_gym_rule,
    overview,
    remove_player,
    save_player,
    set_emphasis,
    set_passed,
    set_setting,
    set_up,
    teach,
)
from planner.desk.undo import _UNDO, _UNDO_FILES, undo_last
from planner.desk.versions import take_version
from planner.desk.words import coverages
from planner.drills.library import Library
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo
from tests.running import NOW, TODAY

THURSDAY = TODAY + dt.timedelta(days=1)
NOTE = """\
Opponent: Harbour Point
Date: 2027-01-11
Q1 8:42 2 no box out 21, ball watching 44
Q1 8:20 stop
Q1 8:01 2 zzz qqq wobble
"""
FEW = (
    *("land-lunge-lift", "circle-and-three-questions", "weak-side-crash", "meet-it-at-half"),
    *("shot-goes-up-go", "one-word-four-feet", "side-screen-two-on-two", "three-cards-one-guard"),
)


@cache
def few_drills() -> Library:
    """Return a handful of the shipped drills, read once."""
    known = load_library()
    return replace(known, drills=tuple(one for one in known.drills if one.id in FEW))


@contextmanager
def sat_down(home: Path, today: dt.date = THURSDAY) -> Iterator[Desk]:
    """Open the desk as a new start of the program would, with a few drills so that plans come quickly."""
    desk = Desk(home, today, lambda: NOW)
    desk.__dict__["library"] = few_drills()
    yield desk
    desk.close()


def seen(desk: Desk) -> dict[str, Any]:
    """Return everything that a coach can see of the data."""
    with desk.reading() as session:
        late = queries.practices(session, since=TODAY - dt.timedelta(days=3))
        return {
            **overview(desk),
            "sightings": queries.sightings(session),
            "film": queries.intakes(session),
            "unclear": queries.unclear(session),
            "proposals": queries.proposals(session, waiting=False),
            "emphases": queries.emphases(session),
            "progress": queries.progress(session),
            "done": queries.done_practices(session, dt.date.min, dt.date.max),
            "practices": late,
            "plans": [queries.plan_of(session, one.id) for one in late],
        }


def note(home: Path) -> Path:
    path = home / "harbour.txt"
    path.write_text(NOTE, "utf-8")
    return path


def talk(home: Path) -> Path:
    """Return a narrated film of one sentence."""
    path = home / "talk.vtt"
    said = "forty four never boxed out he just watched the shot go up"
    path.write_text(f"WEBVTT\n\n00:01.000 --> 00:05.000\n{said}\n", "utf-8")
    return path


def school_calendar(home: Path) -> Path:
    """Return a calendar file with a game and a closed gym."""
    path = home / "school.ics"
    events = (
        ("g1", "20270212T180000", "20270212T200000", "Marrowby Otters v Quillhaven"),
        ("c1", "20270218T160000", "20270218T220000", "Gym closed: exams"),
    )
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//school//EN"]
    for uid, start, end, words in events:
        lines += ["BEGIN:VEVENT", f"UID:{uid}@school", "DTSTAMP:20270101T000000Z", f"DTSTART:{start}"]
        lines += [f"DTEND:{end}", f"SUMMARY:{words}", "END:VEVENT"]
    path.write_bytes("\r\n".join([*lines, "END:VCALENDAR", ""]).encode())
    return path


def _sort(desk: Desk, breakdown: str, *players: str) -> None:
    sort_line(desk, unclear_lines(desk)[-1].id, breakdown, players)


def _plan(desk: Desk, day: dt.date, **wishes: Any) -> None:
    build_plan(desk, Wishes(day, minutes=70, load_ceiling=0, **wishes))


def _take(desk: Desk) -> None:
    """Let a version stand that came second to tomorrow's plan."""
    plan = find_plan(desk, THURSDAY + dt.timedelta(days=1))
    with desk.writing() as session:
        second = replace(plan, minutes=plan.minutes - 1)
        number = queries.keep_plan(session, second, {"date": plan.date.isoformat()}, NOW, "Ada")
    take_version(desk, number)


VERBS: list[tuple[str, Callable[[Desk], object]]] = [
    ("team", lambda desk: set_up(desk, TeamInfo("Marrowby Herons", TODAY, None, "open"))),
    ("player", lambda desk: save_player(desk, PlayerInfo("99", "New", "wing"))),
    ("player", lambda desk: save_player(desk, PlayerInfo("99", "Newer", "guard", active=False))),
    ("player", lambda desk: save_player(desk, PlayerInfo("00", "Renamed", "big"))),
    ("player-gone", lambda desk: remove_player(desk, "0")),
    ("game", lambda desk: add_game(desk, THURSDAY, "Harbour Point", "home")),
    ("gym", lambda desk: add_gym_rule(desk, GymRule(900, 960, 1, rrule="FREQ=WEEKLY;BYDAY=SA"))),
    ("fixed", lambda desk: add_fixed(desk, FixedRule("Zone offence", 5, "last", weekday=5))),
    ("teach", lambda desk: teach(desk, "hands-down", False)),
    ("teach", lambda desk: teach(desk, "no-pressure", True)),
    ("emphasis", lambda desk: set_emphasis(desk, "tag", 2.5)),
    ("passed", lambda desk: set_passed(desk, "tag", "guided")),
    ("passed", lambda desk: set_passed(desk, "box-out", "none")),
    ("setting", lambda desk: set_setting(desk, "minutes", 80)),
    ("setting", lambda desk: set_setting(desk, "tau", 40)),
    ("scheme", lambda desk: set_exposure(desk, "tag", 1.5)),
    ("scheme", lambda desk: set_exposure(desk, "tag", 1)),
    ("scheme", lambda desk: set_coverage(desk, coverages(desk)[0].id, True)),
    ("scheme", lambda desk: set_floor(desk, 3, {"7": 41})),
    ("game-changed", lambda desk: change_game(desk, 12, THURSDAY, "Elsewhere", "away")),
    ("game-gone", lambda desk: remove_game(desk, 13)),
    ("gym-gone", lambda desk: remove_gym_rule(desk, 2)),
    ("fixed-gone", lambda desk: remove_fixed(desk, 3)),
    ("setting", lambda desk: reset_setting(desk, "minutes")),
    ("calendar", lambda desk: add_file(desk, school_calendar(desk.home))),
    ("film", lambda desk: add_files(desk, [note(desk.home)])),
    ("sorted-lines", lambda desk: _sort(desk, "no-talk", "44")),
    ("film-undo", undo_film),
    ("film", lambda desk: add_files(desk, [talk(desk.home)], 3)),
    ("answered", lambda desk: answer(desk, Which(every=True), "no-talk", ["44"])),
    ("answered", lambda desk: answer(desk, Which((1,)), "no")),
    ("watched", lambda desk: set_watched(desk, max(one.id for one in film_list(desk)), 41)),
    ("film-undo", undo_film),
    ("film", lambda desk: add_files(desk, [note(desk.home)], 3)),
    ("film-undo", lambda desk: undo_film(desk, 4)),
    ("sorted-lines", lambda desk: _sort(desk, "nothing")),
    ("log", lambda desk: log_practice(desk, None, Changes({2: 9.5, 4: 0}, {2: (3, 5)}, ("0",) * 0, 6))),
    ("log", lambda desk: log_practice(desk, THURSDAY, Changes({}, {}, ("44",), 7))),
    ("plan", lambda desk: _plan(desk, THURSDAY + dt.timedelta(days=1))),
    ("plan", lambda desk: _plan(desk, THURSDAY + dt.timedelta(days=1), pins=(Pin("weak-side-crash", 8),))),
    ("plan-version", _take),
]


def test_every_verb_that_writes_is_tried_and_has_its_undo() -> None:
    """The list above misses no verb that can be undone, and no verb that the desk writes lacks its undo."""
    assert {verb for verb, _ in VERBS} >= set(_UNDO)
    desk = Path(planner.desk.__file__).parent
    text = "".join(one.read_text("utf-8") for one in sorted(desk.glob("*.py")))
    written = set(re.findall(r"desk\.note\(\s*session,\s*\"([a-z-]+)\"", text))
    assert len(written) > 10
    assert written <= {*_UNDO, *_UNDO_FILES}


def test_everything_is_undone_step_by_step(season_home: Path) -> None:
    """After many changes, each undo, in a program started anew, restores what was seen before."""
    states = []
    for verb, act in VERBS:
        with sat_down(season_home) as desk:
            states.append(seen(desk))
            act(desk)
            assert seen(desk) != states[-1], f"{verb} changed nothing"
    for number in reversed(range(len(VERBS))):
        with sat_down(season_home) as desk:
            said = undo_last(desk)
            assert said.startswith("Undone: ")
            now = seen(desk)
            changed = [key for key, value in states[number].items() if now[key] != value]
            assert changed == [], f"step {number} ({VERBS[number][0]}) leaves {changed}"
    with sat_down(season_home) as desk:
        undo_last(desk)
        with pytest.raises(Refusal, match="nothing to undo"):
            undo_last(desk)


def test_an_undone_note_can_be_added_again(season_home: Path) -> None:
    """Undo is not the end of a file: added again, it counts as it did the first time."""
    with sat_down(season_home) as desk:
        path = note(season_home)
        add_files(desk, [path])
        counted = film_list(desk)[-1].sightings
        undo_last(desk)
        assert all(one.file != path.name for one in film_list(desk))
        add_files(desk, [path])
        assert film_list(desk)[-1].sightings == counted > 0


def test_the_first_setting_up_stays(tmp_path: Path) -> None:
    """A team that was just made is not undone into a store without a team."""
    desk = Desk(tmp_path / "new", TODAY, lambda: NOW)
    set_up(desk, TeamInfo("Marrowby Herons"))
    with pytest.raises(Refusal, match="is not undone; change it with"):
        undo_last(desk)
    assert desk.has_team()
    desk.close()


def test_what_the_store_refuses_leaves_no_entry(season_home: Path) -> None:
    """A verb that was refused half-way left nothing in the journal, so undo takes back the one before."""
    with sat_down(season_home) as desk:
        set_setting(desk, "minutes", 80)
        with pytest.raises(Refusal, match="a fixed block must last"):
            add_fixed(desk, FixedRule("Nothing", 0, "last"))
        assert undo_last(desk) == "Undone: minutes = 80."
