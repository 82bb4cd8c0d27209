from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.build.brief import FixedBlock, Pin
from planner.build.check import check_plan
from planner.desk.desk import Desk
from planner.desk.practice import Wishes, build_plan, find_plan, make_brief, parse_pins, whole_minutes
from planner.desk.season import Changes, log_practice
from planner.desk.team import add_gym_rule, set_setting
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import GymRule
from tests.running import NOW, TODAY, Planted, everything

TOMORROW = TODAY + dt.timedelta(days=1)
SATURDAY = dt.date(2027, 1, 16)
FEW = (
    *("land-lunge-lift", "circle-and-three-questions", "weak-side-crash", "meet-it-at-half"),
    *("shot-goes-up-go", "one-word-four-feet", "side-screen-two-on-two", "three-cards-one-guard"),
)


@pytest.fixture
def quick(desk: Desk) -> Desk:
    """Return a desk with a handful of drills, so that plans come quickly."""
    few = tuple(one for one in desk.library.drills if one.id in FEW)
    desk.__dict__["library"] = replace(desk.library, drills=few)
    return desk


def test_the_demo_s_plan_keeps_every_rule(planted: Planted) -> None:
    """Tomorrow's plan is proven the best, and the independent check finds nothing to say."""
    assert planted.plan.proven
    assert planted.plan.bound == planted.plan.objective
    assert check_plan(planted.plan, planted.brief) == []
    assert sum(one.minutes for one in planted.plan.segments) == planted.plan.minutes == 90


def test_wishes_go_before_rules_of_the_day_before_settings(desk: Desk) -> None:
    """A start that is asked for holds; else the gym's that day, else the team's, and so with the length."""
    assert make_brief(desk, Wishes(TOMORROW, start=1000, minutes=80))[0].start == 1000
    add_gym_rule(desk, GymRule(1020, 1200, 2, weekday=TOMORROW.weekday()))
    brief, _, _ = make_brief(desk, Wishes(TOMORROW))
    assert (brief.start, brief.minutes) == (1020, 90)
    assert make_brief(desk, Wishes(SATURDAY))[0].start == 1095
    assert make_brief(desk, Wishes(SATURDAY, minutes=70))[0].minutes == 70


def test_the_brief_holds_what_the_store_knows(desk: Desk) -> None:
    """Gym, fixed blocks of that weekday, what was run lately and what has been passed reach the solver."""
    set_setting(desk, "water-every", 20)
    brief, needs, notes = make_brief(desk, Wishes(TOMORROW, away=("5", "#00")))
    assert [one.halves for one in brief.gym] == [1, 2]
    assert [one.title for one in brief.fixed] == ["Half-court offence", "Free throws"]
    assert len(brief.squad) == 10
    assert not {"5", "00"} & {one.jersey for one in brief.squad}
    assert brief.ran_last
    assert brief.rules.water_every == 20
    assert brief.rules.load_ceiling == 450
    assert set(brief.weights) == {one.principle for one in needs.principles}
    assert brief.weights["closeout"].passed == "live"
    assert brief.weights["bluff-recover"].passed is None
    assert notes == ()


def test_a_smaller_squad_leaves_the_last_on_the_roster_out_and_says_so(desk: Desk) -> None:
    """Who is left out of the reckoning is named, so that the coach can name others."""
    brief, _, notes = make_brief(desk, Wishes(TOMORROW, squad=10))
    assert len(brief.squad) == 10
    assert notes == ("10 of 12 players: planned without 32, 44; --away names others.",)


def test_guests_stand_in_for_players_without_a_jersey(desk: Desk) -> None:
    """More players than the roster has are numbered P1 and on."""
    brief, _, notes = make_brief(desk, Wishes(TOMORROW, squad=14))
    assert [one.jersey for one in brief.squad][-2:] == ["P1", "P2"]
    assert notes == ("2 players without a jersey on the roster stand as P1 and on.",)


REFUSED = [
    (Wishes(TODAY - dt.timedelta(days=1)), "2027-01-12 is past (today is 2027-01-13); plan a day to come."),
    (Wishes(TOMORROW, squad=0), "A squad of 0 cannot practise; give at least 1."),
    (Wishes(TOMORROW, squad=-3), "A squad of -3 cannot practise; give at least 1."),
    (Wishes(TOMORROW, squad=100_000), "A squad of 100000 is more than one gym holds; give at most 99."),
    (Wishes(TOMORROW, away=("99",)), "No player wears 99; 'stopsheet team' shows the roster."),
    (Wishes(TOMORROW, minutes=0), "A practice of 0 minutes is none; give at least 1."),
    (Wishes(TOMORROW, minutes=100_000), "A practice of 100000 minutes is too long; give at most 300."),
    (
        Wishes(TOMORROW, minutes=30),
        "Fixed blocks need 21 min and warm-up and cool-down 15 min, the practice has 30 min.",
    ),
    (
        Wishes(TOMORROW, fixed=(FixedBlock("Film room", 70, "first"),)),
        "Fixed blocks need 91 min and warm-up and cool-down 15 min, the practice has 90 min.",
    ),
    (
        Wishes(TOMORROW, fixed=(FixedBlock("Talk", 10, 40),)),
        "'Talk' at 18:55 begins before 'Half-court offence' is over (19:05); move one of them.",
    ),
    (
        Wishes(TOMORROW, fixed=(FixedBlock("Talk", 0, 20),)),
        "The fixed block 'Talk' has 0 min; give at least 1.",
    ),
    (
        Wishes(TOMORROW, pins=(Pin("weak-side-crash", 40), Pin("meet-it-at-half", 30))),
        "Pinned drills need 70 min and fixed blocks, warm-up and cool-down 36 min: 106 min, practice has 90.",
    ),
    (
        Wishes(TOMORROW, pins=(Pin("weak-side-crash", 0),)),
        "'weak-side-crash' is pinned for 0 min; give at least 1.",
    ),
    (
        Wishes(TOMORROW, pins=(Pin("no-such-drill"),)),
        "There is no drill 'no-such-drill'; 'stopsheet drills list' shows their ids.",
    ),
    (
        Wishes(TOMORROW, keep_out=("no-such-drill",)),
        "There is no drill 'no-such-drill'; 'stopsheet drills list' shows their ids.",
    ),
    (
        Wishes(TOMORROW, pins=(Pin("weak-side-crash"),), keep_out=("weak-side-crash",)),
        "'weak-side-crash' is both pinned and kept out; drop one of the two wishes.",
    ),
    (
        Wishes(TOMORROW, squad=3, pins=(Pin("weak-side-crash"),)),
        "'weak-side-crash' is pinned but cannot run: needs 5 players, 3 will be there.",
    ),
    (
        Wishes(TOMORROW, load_ceiling=20),
        "Warm-up, fixed blocks and cool-down alone load 122, the ceiling is 20; raise it or shorten a block.",
    ),
    (
        Wishes(TOMORROW, load_ceiling=float("nan")),
        "A load ceiling of nan is out of range; give 0 (for none) to 5000.",
    ),
    (
        Wishes(TOMORROW, load_ceiling=-5),
        "A load ceiling of -5 is out of range; give 0 (for none) to 5000.",
    ),
]


@pytest.mark.parametrize(("wishes", "sentence"), REFUSED, ids=[one[1][:40] for one in REFUSED])
def test_wishes_that_cannot_be_met_name_the_numbers(desk: Desk, wishes: Wishes, sentence: str) -> None:
    """The one sentence says what is asked, what there is, and the stored plan stays as it was."""
    before = everything(desk.home)
    with pytest.raises(Refusal) as refused:
        build_plan(desk, wishes)
    assert str(refused.value) == sentence
    assert everything(desk.home) == before


def test_nobody_on_the_roster_and_nobody_named(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Without a roster the coach has to say how many there will be."""
    from planner.desk.team import set_up
    from planner.store.values import TeamInfo

    desk = Desk(tmp_path_factory.mktemp("new"), TODAY, lambda: NOW)
    set_up(desk, TeamInfo("Herons"))
    with pytest.raises(Refusal, match="say how many will be there with --squad 11"):
        make_brief(desk, Wishes(TOMORROW))
    assert len(make_brief(desk, Wishes(TOMORROW, squad=11))[0].squad) == 11
    desk.close()


def test_a_plan_replaces_the_one_of_that_time_only(quick: Desk) -> None:
    """A second plan for the same evening takes the first one's place; another evening has its own."""
    first = build_plan(quick, Wishes(TOMORROW, minutes=70, load_ceiling=0))
    other = build_plan(quick, Wishes(SATURDAY, minutes=70, load_ceiling=0))
    again = build_plan(quick, Wishes(TOMORROW, minutes=75, load_ceiling=0))
    assert first.practice == again.practice != other.practice
    assert find_plan(quick, TOMORROW) == again.plan
    assert find_plan(quick) == again.plan
    assert find_plan(quick, SATURDAY).minutes == 70
    with pytest.raises(Refusal, match="There is no plan for 2027-01-17"):
        find_plan(quick, SATURDAY + dt.timedelta(days=1))


def test_a_practice_that_was_run_is_not_planned_anew(quick: Desk) -> None:
    """What was logged stays; the refusal comes before the search."""
    quick.today = TOMORROW
    log_practice(quick, TOMORROW, Changes({}, {}))
    before = everything(quick.home)
    with pytest.raises(Refusal, match="has been logged; undo the log before planning it anew"):
        build_plan(quick, Wishes(TOMORROW))
    assert everything(quick.home) == before


def test_the_wishes_are_kept_with_the_plan(quick: Desk) -> None:
    """What was asked of a practice can be read from the store again."""
    wishes = Wishes(SATURDAY, 70, 900, 11, ("5",), (Pin("weak-side-crash", 7),), ("meet-it-at-half",))
    build_plan(quick, replace(wishes, load_ceiling=0))
    with quick.reading() as session:
        kept = queries.find_practice(session, SATURDAY)
    assert kept is not None
    assert kept.wishes["pins"] == [["weak-side-crash", 7]]
    assert kept.wishes["away"] == ["5"]
    assert kept.wishes["start"] == 900


@pytest.mark.parametrize("text", ["x=", "x=²", "x=-1", "x=8.5", "x=1e3", "x=" + "9" * 5000, "\x1b[31mx=no"])
def test_pins_with_odd_minutes_are_refused(text: str) -> None:
    """Only plain digits are minutes; the sentence shows how a pin is written and no escape."""
    with pytest.raises(
        Refusal, match=r"pins a drill for no whole number of minutes; write it as DRILL=8\."
    ) as no:
        parse_pins([text])
    assert "\x1b" not in str(no.value)


def test_pins_are_read_with_and_without_minutes() -> None:
    """A pin is a drill, or a drill and its minutes."""
    assert parse_pins(["a-drill", "b-drill=8"]) == (Pin("a-drill"), Pin("b-drill", 8))
    assert [whole_minutes(one) for one in ("0", "95", "", "12345", "٣")] == [0, 95, None, None, None]
