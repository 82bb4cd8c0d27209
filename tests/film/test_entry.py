from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.drills.vocabulary import Vocabulary
from planner.film import entry as pad
from planner.film.entry import Charge, Entry, Keys, Trip
from planner.film.entry_letters import DOZEN, RESERVED, choose_letters, find_breakdowns
from planner.film.intake import Heading
from planner.film.read import read_note
from planner.film.wording import Lexicon
from planner.problem import Refusal

IDS = ("no-box-out", "late-help", "ball-watching", "no-talk")
BEGUN = "2027-01-13T20:15:00+00:00"


def entered(words: str) -> Entry:
    """Return what keys lead to: breakdown ids, ``next``, ``undo``, ``Q2``, and signs one by one."""
    keys = Keys(IDS)
    for word in words.split():
        known = word in IDS or word in (pad.NEXT, pad.UNDO)
        for key in [word] if known else [pad.period_key(word)] if word in pad.PERIODS else [*word]:
            keys.take(key)
    return keys.entry


@pytest.mark.parametrize(
    ("words", "charges"),
    [
        ("no-box-out 21", [("no-box-out", "21")]),
        ("21 no-box-out", [("no-box-out", "21")]),
        ("no-box-out 21 late-help 4", [("no-box-out", "21"), ("late-help", "4")]),
        ("21 no-box-out 4 late-help", [("no-box-out", "21"), ("late-help", "4")]),
        ("no-box-out 21+4", [("no-box-out", "21", "4")]),
        ("21+4 no-box-out", [("no-box-out", "21", "4")]),
        ("21 no-box-out +4", [("no-box-out", "21", "4")]),
        ("no-box-out late-help 00", [("no-box-out",), ("late-help", "00")]),
        ("4,7 no-box-out", [("no-box-out", "4", "7")]),
        ("no-box-out 4 no-box-out 7", [("no-box-out", "4"), ("no-box-out", "7")]),
    ],
)
def test_a_jersey_may_be_typed_before_or_after_its_breakdown(
    words: str, charges: list[tuple[str, ...]]
) -> None:
    """A number goes to the breakdown before it when that has none yet, else to the next one."""
    want = tuple(
        Charge(breakdown, players) for breakdown, *players_ in charges for players in [tuple(players_)]
    )
    assert entered(f"{words} next").done == (Trip(None, None, want),)
    assert entered(words).trips == (Trip(None, None, want),)


def test_points_are_a_dot_and_a_digit() -> None:
    """After a dot the next digit is the points of the possession, and digits are jerseys again."""
    trip = Trip(None, 2, (Charge("no-box-out", ("21",)),))
    assert entered("no-box-out .2 21 next").done == (trip,)
    assert entered(".0 next").done == (Trip(None, 0),)
    assert entered(".2 .3 next").done == (Trip(None, 3),)


def test_a_new_period_ends_the_possession_before_it() -> None:
    """What is on the possession when the period changes belongs to the old period."""
    entry = entered("Q1 no-talk Q2 .0")
    assert entry.trips == (Trip("Q1", None, (Charge("no-talk"),)), Trip("Q2", 0))
    assert entered("Q1 Q2").trips == ()


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ("21 next", "21 has no breakdown yet"),
        (".7", "7 points on one possession cannot be"),
        (". next", "After . comes a digit"),
        ("+", "type the first one's number before it"),
        ("no-talk +", "type the first one's number before it"),
        ("03", "03 is no jersey"),
        ("undo", "There is no key to take back."),
        ("Q1 undo undo", "There is no key to take back."),
    ],
)
def test_a_key_that_cannot_be_meant_is_refused(words: str, why: str) -> None:
    """The refusal says what would be, and what was entered before stays."""
    with pytest.raises(Refusal) as refused:
        entered(words)
    assert why in str(refused.value)


def test_what_hangs_in_the_air_is_named() -> None:
    """A jersey without a breakdown and a dot without points are asked for before a game is finished."""
    assert entered("no-talk next 21").hanging == "what 21 did"
    assert entered("no-talk .").hanging == "how many points the dot means"
    assert entered("no-talk 21").hanging == ""


def test_periods_go_on_to_overtimes() -> None:
    """Quarters and halves each lead to an overtime, and overtimes go on."""

    def row(*, halves: bool) -> list[str]:
        found: list[str] = []
        period: str | None = None
        for _ in range(7):
            period = pad.next_period(period, halves=halves).removeprefix("period ")
            found.append(period)
        return found

    assert row(halves=False) == ["Q1", "Q2", "Q3", "Q4", "OT", "OT2", "OT3"]
    assert row(halves=True) == ["H1", "H2", "OT", "OT2", "OT3", "OT4", "OT5"]


def any_key(ids: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Return keys in about the mixture in which they are pressed."""
    periods = [pad.period_key(one) for one in ("Q1", "Q2", "H1", "OT", "OT2")]
    return st.one_of(
        st.sampled_from(ids),
        st.sampled_from("0123456789"),
        st.sampled_from([pad.NEXT, pad.NEXT, pad.POINT, pad.AND, pad.END, pad.UNDO]),
        st.sampled_from(periods),
    )


def press_all(keys: list[str], ids: tuple[str, ...]) -> Keys:
    """Press keys, those that are refused left out."""
    made = Keys(ids)
    for key in keys:
        try:
            made.take(key)
        except Refusal:
            continue
    return made


@given(st.lists(any_key(IDS), max_size=40), any_key(IDS))
def test_undo_returns_to_what_was_before(keys: list[str], key: str) -> None:
    """After any keys, one more and an undo lead to the very same entry; and undo goes back to nothing."""
    made = press_all(keys, IDS)
    before = made.entry
    if key != pad.UNDO:
        try:
            made.take(key)
        except Refusal:
            assert made.entry == before
        else:
            assert made.take(pad.UNDO) == before
    for _ in made.pressed:
        made.take(pad.UNDO)
    assert made.entry == Entry()


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_the_sheet_reads_back_to_what_was_entered(
    data: st.DataObject, lexicon: Lexicon, vocabulary: Vocabulary
) -> None:
    """Whatever keys are pressed, the sheet has the same possessions, points, breakdowns and players."""
    ids = tuple(one.id for one in vocabulary.breakdowns)
    entry = press_all(data.draw(st.lists(any_key(ids), max_size=60)), ids).entry
    if not entry.trips:
        return
    sheet = pad.sheet_of(entry, Heading("2026-11-20", "Harbour Point", "home"), BEGUN)
    intake = read_note("live entry.txt", sheet.encode(), lexicon)
    assert [(one.period, one.points) for one in intake.trips] == [
        (one.period, one.points) for one in entry.trips
    ]
    assert sorted(
        (one.possession or 0, one.breakdown, sorted(one.players), str(one.points))
        for one in intake.sightings
        for _ in range(one.count)
    ) == sorted(
        (number, charge.breakdown, sorted(charge.players), str(one.points))
        for number, one in enumerate(entry.trips, 1)
        for charge in one.charges
    )
    assert (intake.unclear, intake.problems) == ((), ())


def test_the_dozen_seen_most_have_letters_of_their_own(vocabulary: Vocabulary) -> None:
    """Twelve different letters, none that does something else, and none for what is not taught."""
    seen = {"no-talk": 40, "turned-back": 30, "late-show": 20}
    letters = choose_letters(vocabulary.breakdowns, seen, {"late-show"})
    assert len(letters) == len(set(letters.values())) == DOZEN
    assert not RESERVED & set(letters)
    assert list(letters.values())[:2] == ["no-talk", "turned-back"]
    assert "late-show" not in letters.values()
    assert "no-box-out" in letters.values()


def test_a_breakdown_is_found_by_a_few_letters(vocabulary: Vocabulary) -> None:
    """Letters may come from the id or the title, in any order; what begins with them comes first."""
    assert find_breakdowns("rot", vocabulary.breakdowns)[0].id == "no-rotation"
    assert find_breakdowns("out box", vocabulary.breakdowns)[0].id == "no-box-out"
    assert find_breakdowns("roller", vocabulary.breakdowns)[0].id == "no-tag"
    assert find_breakdowns("xyzzy", vocabulary.breakdowns) == ()
    assert len(find_breakdowns("", vocabulary.breakdowns)) == len(vocabulary.breakdowns)


def test_a_possession_is_told_in_words() -> None:
    """Points, breakdowns and players stand in one line; a stop is a stop."""
    titles = {"no-box-out": "No box out"}
    assert pad.in_words(entered("no-box-out 21+4 .2").now, titles) == "2 points: No box out (21, 4)"
    assert pad.in_words(Trip(None, 0), titles) == "stop"
    assert pad.in_words(Trip(), titles) == "nothing noted"
