from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from planner.build.brief import Pin
from planner.desk.changes import change_plan, keep_out, pin
from planner.desk.desk import Desk, open_desk
from planner.desk.practice import Wishes, build_plan, find_plan, store_plan
from planner.desk.undo import undo_last
from planner.desk.versions import Overtaken, take_version, versions
from planner.problem import Refusal
from planner.store import queries
from tests.desk.test_undo import few_drills
from tests.running import NOW, TODAY, Stopsheet, assert_refused
from tests.store.making import a_plan

DAY = TODAY + dt.timedelta(days=1)
Sit = Callable[[str], Desk]


@pytest.fixture
def sit(season_home: Path) -> Iterator[Sit]:
    """Return a function that lets a coach sit down at the same season; each has a program of their own."""
    opened: list[Desk] = []

    def made(name: str) -> Desk:
        desk = Desk(season_home, TODAY, lambda: NOW, coach=name)
        desk.__dict__["library"] = few_drills()
        opened.append(desk)
        return desk

    yield made
    for one in opened:
        one.close()


def _short(desk: Desk, *pins: Pin) -> None:
    build_plan(desk, Wishes(DAY, minutes=70, load_ceiling=0, pins=pins))


def test_a_change_of_a_plan_that_was_changed_is_told_and_both_are_kept(sit: Sit) -> None:
    """Who changes the plan they saw is told by whom and when it was changed since; neither is lost."""
    ada, ben = sit("Ada"), sit("Ben")
    _short(ada)
    seen = find_plan(ben, DAY)
    theirs = change_plan(ada, find_plan(ada, DAY), keep_out("three-cards-one-guard")).built.plan
    with pytest.raises(Overtaken) as told:
        change_plan(ben, seen, pin("weak-side-crash", 8))
    hour = f"{NOW.astimezone():%H:%M}"
    assert f"was changed by Ada at {hour}, while you worked on it" in str(told.value)
    assert find_plan(ben, DAY) == theirs
    stands, kept = versions(ben, DAY)
    assert (stands.number, stands.plan, stands.coach) == (None, theirs, "Ada")
    assert (kept.number, kept.coach) == (told.value.kept, "Ben")
    mine = [s.minutes for s in kept.plan.segments for one in s.stations if one.drill == "weak-side-crash"]
    assert mine == [8]
    # Ben's was built from the wishes behind what Ben saw: Ada's change is not in it.
    with ben.reading() as session:
        assert queries.kept_plan(session, told.value.kept).wishes["keep_out"] == []


def test_a_plan_that_took_long_to_build_does_not_cover_one_saved_meanwhile(
    sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What stood when the building began must stand at its end, else the new plan is kept beside."""
    from planner.build import make

    ada, ben = sit("Ada"), sit("")
    _short(ada)
    built = make.make_plan
    quick = a_plan(DAY, find_plan(ada, DAY).start)

    def slowly(*brief: object) -> object:
        store_plan(ada, quick, Wishes(DAY))
        return built(*brief)  # type: ignore[arg-type]

    monkeypatch.setattr(make, "make_plan", slowly)
    with pytest.raises(Overtaken, match="changed by Ada"):
        _short(ben, Pin("weak-side-crash", 8))
    assert find_plan(ben, DAY) == quick


def test_without_names_it_is_another_coach(sit: Sit) -> None:
    """A coach who gave no name is called another coach."""
    one, other = sit(""), sit("")
    plan = a_plan(DAY)
    store_plan(one, plan, Wishes(DAY), seen=0)
    with pytest.raises(Overtaken, match="changed by another coach at"):
        store_plan(other, plan, Wishes(DAY), seen=0)


def test_a_kept_version_can_be_taken_and_the_other_is_kept_then(sit: Sit) -> None:
    """Taking a version turns the two round, and undo turns them back."""
    ada, ben = sit("Ada"), sit("Ben")
    first, second = a_plan(DAY), a_plan(DAY, warnings=("Ben's",))
    store_plan(ada, first, Wishes(DAY), seen=0)
    with pytest.raises(Overtaken) as told:
        store_plan(ben, second, Wishes(DAY, minutes=30), seen=0)
    take_version(ben, told.value.kept)
    found = versions(ben, DAY)
    at = [one for one in found if one.plan.start == first.start]
    assert [(one.plan, one.coach) for one in at] == [(second, "Ben"), (first, "Ada")]
    assert undo_last(ben).startswith("Undone: version")
    at = [one for one in versions(ben, DAY) if one.plan.start == first.start]
    assert [(one.plan, one.coach) for one in at][1:] == [(second, "Ben")]
    assert at[0].plan == first
    with pytest.raises(Refusal, match="no kept plan 9999"):
        take_version(ben, 9999)


def test_the_oldest_kept_versions_go_first(sit: Sit) -> None:
    """Twenty versions of one practice are kept; more push out the oldest."""
    ada = sit("Ada")
    store_plan(ada, a_plan(DAY), Wishes(DAY), seen=0)
    for number in range(23):
        with pytest.raises(Overtaken):
            store_plan(ada, a_plan(DAY, warnings=(str(number),)), Wishes(DAY), seen=0)
    with ada.reading() as session:
        kept = queries.kept_plans(session, DAY)
    assert [one.plan.warnings for one in kept] == [(str(number),) for number in range(3, 23)]


def test_nobody_undoes_what_another_coach_did(sit: Sit) -> None:
    """Undo takes back one's own last change; another coach's is named and left alone."""
    ada, ben = sit("Ada"), sit("Ben")
    store_plan(ada, a_plan(DAY), Wishes(DAY), seen=0)
    with pytest.raises(Refusal, match=r"was done by Ada; ask them to undo it\."):
        undo_last(ben)
    assert undo_last(ada).startswith("Undone: plan for")


def test_the_name_comes_from_the_environment(tmp_path: Path) -> None:
    """STOPSHEET_COACH is cleaned as all outside text is."""
    desk = open_desk({"STOPSHEET_HOME": str(tmp_path), "STOPSHEET_COACH": "A\x1b[31mda\u202e"})
    assert desk.coach == "Ada"


def test_the_command_line_shows_and_takes_versions(sit: Sit, stopsheet: Stopsheet, season_home: Path) -> None:
    """``versions`` lists, shows and takes; without any it says so."""
    stopsheet.home = season_home
    assert_refused(stopsheet("versions"), "nobody was overtaken")
    ada = sit("Ada")
    store_plan(ada, a_plan(DAY), Wishes(DAY), seen=0)
    with pytest.raises(Overtaken) as told:
        store_plan(ada, a_plan(DAY, warnings=("Second thoughts",)), Wishes(DAY), seen=0)
    number = told.value.kept
    ada.close()
    listed = stopsheet("versions", "--on", DAY.isoformat())
    assert "stands " in listed.out
    assert f"version {number}" in listed.out
    shown = stopsheet("versions", "--on", DAY.isoformat(), "--show", str(number))
    assert "Second thoughts" in shown.out
    assert_refused(stopsheet("versions", "--show", "77"), "no version 77")
    taken = stopsheet("versions", "--take", str(number))
    assert taken.code == 0
    found = stopsheet("versions", "--json").json
    assert ["Second thoughts"] in [one["plan"]["warnings"] for one in found if one["stands"]]
