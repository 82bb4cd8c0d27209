from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.build.brief import FixedBlock, GymWindow
from planner.problem import Refusal
from planner.store import queries
from planner.store.engine import Store
from planner.store.values import FixedRule, GymRule, JournalEntry
from tests.store.making import STAMP

WEDNESDAY = dt.date(2027, 1, 13)


def test_gym_rules_are_kept_as_given(store: Store) -> None:
    """Weekdays, dates and recurrences come back as they went in, and go when told."""
    rules = (
        GymRule(960, 1020, 2, weekday=2, note="shared from five"),
        GymRule(600, 700, 0, date=WEDNESDAY),
        GymRule(960, 1080, 1, rrule="FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", first=dt.date(2027, 1, 5)),
    )
    with store.session() as session:
        numbers = [queries.add_gym_rule(session, one) for one in rules]
    kept = tuple(replace(one, id=number) for one, number in zip(rules, numbers, strict=True))
    with store.session() as session:
        assert queries.gym_rules(session) == kept
        assert queries.remove_gym_rule(session, numbers[0]) == kept[0]
        assert queries.gym_rules(session) == kept[1:]
        with pytest.raises(Refusal, match="no gym time 1"):
            queries.remove_gym_rule(session, numbers[0])


def test_a_date_s_own_gym_time_replaces_the_usual_ones(store: Store) -> None:
    """On an ordinary Wednesday the weekly windows hold, by start; on the closed one only its own."""
    with store.session() as session:
        queries.add_gym_rule(session, GymRule(1020, 1080, 1, weekday=2))
        queries.add_gym_rule(session, GymRule(960, 1020, 2, rrule="FREQ=WEEKLY;BYDAY=WE"))
        queries.add_gym_rule(session, GymRule(0, 1440, 0, date=WEDNESDAY))
        assert queries.gym_on(session, WEDNESDAY) == (GymWindow(0, 1440, 0),)
        usual = (GymWindow(960, 1020, 2), GymWindow(1020, 1080, 1))
        assert queries.gym_on(session, WEDNESDAY + dt.timedelta(days=7)) == usual
        assert queries.gym_on(session, WEDNESDAY + dt.timedelta(days=1)) == ()


@pytest.mark.parametrize(
    "rule",
    [
        "",
        "every tuesday",
        "FREQ=SECONDLY",
        "FREQ=HOURLY;BYDAY=TU",
        "FREQ=WEEKLY;INTERVAL=0",
        "FREQ=WEEKLY;BYDAY=XX",
        "FREQ=WEEKLY;UNTIL=soon",
        "FREQ=WEEKLY;COLOUR=RED",
        "FREQ=WEEKLY;BYMONTH=13x",
        "FREQ=WEEKLY;BYDAY=TU\nEXRULE:FREQ=SECONDLY",
    ],
)
def test_a_rule_that_cannot_be_read_or_repeats_too_fast_is_refused(store: Store, rule: str) -> None:
    """Only recurrences by day or slower are kept, and hostile ones never get to run."""
    with pytest.raises(Refusal, match="is not a rule for gym days"), store.session() as session:
        queries.add_gym_rule(session, GymRule(960, 1080, 2, rrule=rule))
    with store.reading() as session:
        assert queries.gym_rules(session) == ()


@pytest.mark.parametrize("rule", ["FREQ=WEEKLY;INTERVAL=2", "FREQ=DAILY;COUNT=3"])
def test_a_rule_that_counts_needs_its_first_day(store: Store, rule: str) -> None:
    """Every other week, or three times, means nothing without a first day."""
    with pytest.raises(Refusal, match="counts from a first day"), store.session() as session:
        queries.add_gym_rule(session, GymRule(960, 1080, 2, rrule=rule))


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        (GymRule(960, 1080, 2), "needs a weekday, a date or a rule"),
        (GymRule(960, 1080, 2, weekday=1, date=WEDNESDAY), "only one of them"),
        (GymRule(960, 960, 2, weekday=1), "must end after it starts"),
        (GymRule(960, 1080, 3, weekday=1), "0, 1 or 2 half courts"),
    ],
)
def test_an_impossible_gym_time_is_refused(store: Store, rule: GymRule, said: str) -> None:
    """Each is told in its own words."""
    with pytest.raises(Refusal, match=said), store.session() as session:
        queries.add_gym_rule(session, rule)


def test_fixed_blocks_are_kept_as_given(store: Store) -> None:
    """A block at minute 0, first or last comes back with its very place, on its weekdays."""
    rules = (
        FixedRule("Captain's talk", 5, 0, effort=0, halves=0),
        FixedRule("Sideline plays", 8, "last", 4, 2, {"vision": 1}, weekday=2),
    )
    with store.session() as session:
        numbers = [queries.add_fixed_rule(session, one) for one in rules]
        kept = tuple(replace(one, id=number) for one, number in zip(rules, numbers, strict=True))
        assert queries.fixed_rules(session) == kept
        talk, plays = (one.block for one in rules)
        assert queries.fixed_on(session, WEDNESDAY) == (talk, plays)
        assert queries.fixed_on(session, WEDNESDAY + dt.timedelta(days=1)) == (talk,)
        assert isinstance(talk, FixedBlock)
        assert queries.remove_fixed_rule(session, numbers[1]) == kept[1]
        assert queries.fixed_rules(session) == kept[:1]
    with pytest.raises(Refusal, match="stands first, last"), store.session() as session:
        queries.add_fixed_rule(session, FixedRule("Odd", 5, "middle"))


def test_settings_hold_anything_json_can(store: Store) -> None:
    """Numbers, words, lists, nothing and nested tables come back as they were, with what stood before."""
    values = {"a": 95, "b": "16:10", "c": [1, None, "ż"], "d": None, "e": {"tau": 30.5, "on": True}}
    with store.session() as session:
        for key, value in values.items():
            assert queries.set_setting(session, key, value) is None
        assert queries.set_setting(session, "a", 90) == 95
    with store.session() as session:
        assert queries.settings(session) == {**values, "a": 90}
        assert queries.setting(session, "c") == values["c"]
        assert queries.setting(session, "d", "unset") is None
        assert queries.setting(session, "z", "unset") == "unset"
        assert queries.remove_setting(session, "a") == 90
        assert queries.remove_setting(session, "a") is None
        assert "a" not in queries.settings(session)


def test_breakdowns_are_switched_off_and_on(store: Store) -> None:
    """Switching tells whether it changed anything, so that undo does not undo too much."""
    with store.session() as session:
        assert queries.switch_off(session, "hands-down")
        assert not queries.switch_off(session, "hands-down")
        assert queries.switched_off(session) == {"hands-down"}
        assert queries.switch_on(session, "hands-down")
        assert not queries.switch_on(session, "hands-down")
        assert queries.switched_off(session) == frozenset()


def test_the_journal_is_walked_backwards(store: Store) -> None:
    """Undo takes the newest entry not yet undone, then the one before it, and never one twice."""
    with store.session() as session:
        assert queries.last_journal(session) is None
        first = queries.append_journal(session, STAMP, "team", "Set up Herons", {"before": None})
        second = queries.append_journal(session, STAMP, "film add", "Read a.txt", {"intakes": [1, 2]})
    with store.session() as session:
        last = queries.last_journal(session)
        assert last == JournalEntry(second, STAMP, "film add", "Read a.txt", {"intakes": [1, 2]}, False)
        queries.mark_undone(session, second)
        before = queries.last_journal(session)
        assert before is not None
        assert before.id == first
        assert [(one.id, one.undone) for one in queries.journal(session)] == [(second, True), (first, False)]
        assert len(queries.journal(session, 1)) == 1
        with pytest.raises(Refusal, match=r"'Read a\.txt' was undone before"):
            queries.mark_undone(session, second)
