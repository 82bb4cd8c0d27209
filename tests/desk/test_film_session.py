"""Film in the plan, the team's equipment, and who comes late, as the coach says them."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.build.check import check_plan
from planner.build.players import MISSED, players_of
from planner.desk.desk import Desk
from planner.desk.equipment import equipment, have
from planner.desk.film_session import TITLE, clips, parse_film_session
from planner.desk.needs import assess_needs
from planner.desk.practice import Wishes, build_plan, make_brief
from planner.desk.undo import undo_last
from planner.desk.wishes import parse_late, parse_station_pins, wishes_from
from planner.problem import Refusal
from tests.running import TODAY

THURSDAY = TODAY + dt.timedelta(days=1)


def test_film_first_then_the_warm_up(desk: Desk) -> None:
    """A film session begins practice, names clips, needs no water before the warm-up, and breaks no rule."""
    wishes = Wishes(THURSDAY, film=(15, None), minutes=80)
    built = build_plan(desk, wishes, keep=False)
    first, second = built.plan.segments[:2]
    assert (first.kind, first.title, first.minutes) == ("fixed", TITLE, 15)
    assert second.kind == "warm-up"
    assert first.why.startswith("Clips: ")
    assert sum(one.minutes for one in built.plan.segments) == 80
    assert check_plan(built.plan, built.brief) == []


def test_film_at_its_hour(desk: Desk) -> None:
    """A film session at a clock time is there, whatever the gym has then."""
    brief, _, _ = make_brief(desk, Wishes(THURSDAY))
    at = brief.start + 20
    built = build_plan(desk, Wishes(THURSDAY, film=(10, at), minutes=80), keep=False)
    assert [(one.start, one.minutes) for one in built.plan.segments if one.title == TITLE] == [(at, 10)]
    with pytest.raises(Refusal, match="before practice"):
        make_brief(desk, Wishes(THURSDAY, film=(10, brief.start - 5)))


def test_clips_are_those_of_what_costs_most(desk: Desk) -> None:
    """The content names the two costliest needs with game and clock, in one short line."""
    needs = assess_needs(desk)
    line = clips(desk, needs)
    titles = {one.id: one.title for one in desk.library.vocabulary.principles}
    for one in needs.principles[:2]:
        assert titles[one.principle] in line
    assert " v " in line
    assert len(line) <= 240


@pytest.mark.parametrize("text", ["", "0", "61", "x", "15@", "15@25:00", "@16:30"])
def test_no_film_session(text: str) -> None:
    """What is no length and no time is refused."""
    with pytest.raises(Refusal):
        parse_film_session(text)


def test_equipment_is_told_and_undone(desk: Desk) -> None:
    """What the team has is kept under one name, taken back by undo, and no longer told with usual."""
    have(desk, ["pads=2", "Cones = 4"])
    assert equipment(desk) == {"pads": 2, "cones": 4}
    have(desk, ["pad=1"])
    assert equipment(desk) == {"pad": 1, "cones": 4}
    undo_last(desk)
    assert equipment(desk) == {"pads": 2, "cones": 4}
    have(desk, ["pads=usual", "cones=usual"])
    assert equipment(desk) == {}
    for text in ("pads", "=2", "pads=-1", "pads=x", "12=3"):
        with pytest.raises(Refusal):
            have(desk, [text])


def test_who_comes_late_is_counted_from_then_on(desk: Desk) -> None:
    """A player who comes late is in no group before, in one after, and the minutes missed are told."""
    brief, _, _ = make_brief(desk, Wishes(THURSDAY))
    jersey = next(one.jersey for one in brief.squad[3:] if one.jersey != "5")
    comes = brief.start + 31
    built = build_plan(desk, Wishes(THURSDAY, late=((jersey, comes),), away=("5",), minutes=80), keep=False)
    for one in built.plan.segments:
        players = [name for station in one.stations for name in station.players]
        assert "5" not in players
        if one.drills:
            assert (jersey in players) == (one.start >= comes)
    told = {one.jersey: one for one in players_of(built.plan, desk.library.by_id)}
    assert told[jersey].minutes[MISSED] >= 31
    assert {sum(one.units.values()) for one in told.values()} == {20 * 80}


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({"late": (("99", 1100),)}, "No player wears 99"),
        ({"late": (("5", 1100),), "away": ("5",)}, "away and comes late"),
        ({"late": (("5", 1439),)}, "practice ends"),
    ],
)
def test_who_cannot_come_late(desk: Desk, wishes: dict[str, tuple[object, ...]], words: str) -> None:
    """A stranger, one who is away and one who comes after the end are refused in words."""
    with pytest.raises(Refusal, match=words):
        build_plan(desk, Wishes(THURSDAY, **wishes), keep=False)  # type: ignore[arg-type]


def test_wishes_are_kept_whole() -> None:
    """Stations, who comes late, and film come back from the store as they were said."""
    wishes = Wishes(
        THURSDAY,
        stations=True,
        station_pins=parse_station_pins(["a,b=6", "c,d"]),
        group_by="position",
        late=parse_late(["21@18:50", "#4@19:00"]),
        film=parse_film_session("15@18:30"),
    )
    assert wishes_from(wishes.as_json()) == wishes
    for text in ("a", "a,b,c", "a,", "a,b=x", "a,b=0", ""):
        with pytest.raises(Refusal, match="no pair"):
            parse_station_pins([text])
    for text in ("21", "21@", "@18:50", "21@99:00"):
        with pytest.raises(Refusal):
            parse_late([text])
