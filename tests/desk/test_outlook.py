"""The next practice as it stands: its plan, whether film is newer, and what it rests on."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from planner.desk.changes import change_plan, pin
from planner.desk.desk import Desk
from planner.desk.film import add_files
from planner.desk.hand import edit_plan
from planner.desk.outlook import grounds, look_ahead
from planner.desk.practice import Wishes, build_plan, find_plan
from planner.desk.team import set_setting
from planner.desk.undo import undo_last
from tests.running import NOW, PRACTICE_DAY, TODAY

FRIDAY = PRACTICE_DAY + dt.timedelta(days=1)
NOTE = "Date: 2027-01-12\nOpponent: Quillmarsh\nQ1 8:42 2 no box out 21\n"


def at(desk: Desk, minutes: int) -> Desk:
    """Return the same desk so many minutes later."""
    return Desk(desk.home, TODAY, lambda: NOW + dt.timedelta(minutes=minutes))


def stale(desk: Desk, day: dt.date = PRACTICE_DAY) -> bool:
    """Return whether film is newer than a day's plan."""
    found = look_ahead(desk, day)
    assert found is not None
    return found.stale


def test_film_makes_the_plans_before_it_stale_until_each_is_built(quick_desk: Desk, tmp_path: Path) -> None:
    """A plan older than the film is stale: building another, or an edit by hand, makes it no newer."""
    build_plan(quick_desk, Wishes(FRIDAY))
    assert not stale(quick_desk)
    file = tmp_path / "note.txt"
    file.write_text(NOTE)
    add_files(at(quick_desk, 5), [file])
    assert stale(quick_desk)
    assert stale(quick_desk, FRIDAY)
    later = at(quick_desk, 9)
    build_plan(later, Wishes(FRIDAY))
    assert not stale(later, FRIDAY)
    assert stale(later)
    plan = find_plan(later)
    row = next(n for n, one in enumerate(plan.segments) if one.drills)
    edit_plan(later, plan, lambda h: h.resize(row, 1), "longer")
    assert stale(later)
    build_plan(later, Wishes(PRACTICE_DAY))
    assert not stale(later)


def test_the_mark_changes_with_what_needs_come_from_alone(quick_desk: Desk) -> None:
    """Planning leaves it as it is; a setting, and taking that back, do not."""
    marks = [_mark(quick_desk)]
    change_plan(quick_desk, find_plan(quick_desk), pin("one-word-four-feet"))
    assert _mark(quick_desk) == marks[0]
    set_setting(quick_desk, "half-life", 20)
    marks.append(_mark(quick_desk))
    undo_last(quick_desk)
    marks.append(_mark(quick_desk))
    assert len(set(marks)) == 3


def _mark(desk: Desk) -> tuple[int, ...]:
    found = look_ahead(desk)
    assert found is not None
    return found.mark


def test_grounds_are_those_of_building(desk: Desk) -> None:
    """The doubts of the stored plan are the ones that building it told."""
    built = build_plan(desk, Wishes(PRACTICE_DAY))
    assert built.doubts
    assert grounds(desk, built.plan).doubts == built.doubts


def test_nothing_is_known_without_a_team(no_home: Path) -> None:
    """Where no team is set up there is no outlook."""
    assert look_ahead(Desk(no_home, TODAY, lambda: NOW)) is None
