from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.build.brief import Brief, FixedBlock, Rules
from planner.build.frame import Block, Section, build_frame
from planner.problem import Refusal
from tests.build import kit

BLOCKS = st.lists(
    st.builds(
        FixedBlock,
        title=st.sampled_from(["Offence", "Press break", "Free throws"]),
        minutes=st.integers(0, 40),
        at=st.one_of(st.sampled_from(["first", "last"]), st.integers(0, 130)),
    ),
    max_size=4,
)


@given(st.integers(1, 130), st.integers(0, 20), st.integers(0, 10), BLOCKS)
def test_blocks_and_sections_fill_the_clock_or_are_refused(
    minutes: int, warm_up: int, cool_down: int, fixed: list[FixedBlock]
) -> None:
    """Without gap or overlap from the first minute to the last, or one sentence that says why not."""
    brief = kit.brief(
        (), minutes=minutes, warm_up_minutes=warm_up, cool_down_minutes=cool_down, fixed=tuple(fixed)
    )
    try:
        frame = build_frame(brief)
    except Refusal as refusal:
        assert str(refusal).endswith(".")  # noqa: PT017  a refusal is one of two good outcomes
        return
    at = 0
    for part in frame.parts:
        assert part.start == at
        assert part.end > part.start
        at = part.end
    assert at == minutes
    assert sorted((one.title, one.minutes) for one in frame.blocks if one.kind == "fixed") == sorted(
        (one.title, one.minutes) for one in fixed
    )
    for one in fixed:
        if isinstance(one.at, int):
            assert any((b.start, b.title) == (one.at, one.title) for b in frame.blocks)


def framed(*fixed: FixedBlock, **fields: object) -> Brief:
    return kit.brief((), fixed=fixed, **fields)


def test_first_and_last_lie_next_to_warm_up_and_cool_down() -> None:
    """'first' follows the warm-up, 'last' precedes the cool-down, several in the order they were given."""
    brief = framed(
        *(FixedBlock("A", 5, "first"), FixedBlock("B", 6, "first")),
        *(FixedBlock("Y", 4, "last"), FixedBlock("Z", 3, "last")),
    )
    blocks = [(one.title, one.start, one.end) for one in build_frame(brief).blocks]
    assert blocks == [
        ("Warm-up", 0, 12),
        ("A", 12, 17),
        ("B", 17, 23),
        ("Y", 88, 92),
        ("Z", 92, 95),
        ("Cool-down", 95, 100),
    ]


@pytest.mark.parametrize(
    ("brief", "sentence"),
    [
        (framed(minutes=0), "A practice of 0 minutes is none; give at least 1."),
        (framed(squad=()), "The squad is empty: a practice needs at least one player."),
        (
            framed(FixedBlock("Film", 85, "first")),
            "Fixed blocks need 85 min and warm-up and cool-down 17 min, the practice has 100 min.",
        ),
        (
            framed(FixedBlock("Film", 20, 5)),
            "'Film' at 16:35 begins before 'Warm-up' is over (16:42); move one of them.",
        ),
        (
            framed(FixedBlock("Film", 20, 11)),
            "'Film' at 16:41 begins before 'Warm-up' is over (16:42); move one of them.",
        ),
        (
            framed(FixedBlock("Film", 20, 30), FixedBlock("Talk", 5, 40)),
            "'Talk' at 17:10 begins before 'Film' is over (17:20); move one of them.",
        ),
        (
            framed(FixedBlock("Film", 20, 85), cool_down_minutes=0),
            "'Film' would end at 18:15, after practice ends (18:10).",
        ),
        (framed(FixedBlock("Film", 0, 30)), "The fixed block 'Film' has 0 min; give at least 1."),
    ],
)
def test_what_does_not_fit_is_refused_with_its_numbers(brief: Brief, sentence: str) -> None:
    """The sentence names block, clock and minutes."""
    with pytest.raises(Refusal) as refused:
        build_frame(brief)
    assert str(refused.value) == sentence


def test_a_block_too_long_to_be_drunk_around_is_drunk_in() -> None:
    """A scrimmage of forty minutes leaves no room for a break outside it, so one inside is asked for."""
    frame = build_frame(framed(FixedBlock("Scrimmage", 40, 30)))
    assert [one.title for one in frame.blocks if one.own_water] == ["Scrimmage"]
    assert len(frame.warnings) == 1
    assert "give a break inside it" in frame.warnings[0]
    assert build_frame(framed(FixedBlock("Scrimmage", 20, 30))).warnings == ()


def test_sections_hold_no_break_that_they_have_no_room_for() -> None:
    """One minute between two blocks is open, but no break of two minutes can be in it."""
    frame = build_frame(framed(FixedBlock("A", 10, 20), FixedBlock("B", 10, 31)))
    waters = {one.start: one.waters for one in frame.parts if isinstance(one, Section)}
    assert waters == {12: 1, 30: 0, 41: 3}
    rules = Rules(water_minutes=1)
    again = build_frame(replace(framed(FixedBlock("A", 10, 20), FixedBlock("B", 10, 31)), rules=rules))
    assert {one.start: one.waters for one in again.sections}[30] == 1


def test_cards_give_warm_up_and_cool_down_their_words() -> None:
    """With a card the block bears its title, effort and shares; without, plain words."""
    card = kit.drill(1, kind="warm-up", title="Loosen up", effort=2, shares={"talk": 2})
    frame = build_frame(framed(warm_up=card))
    first = frame.parts[0]
    assert isinstance(first, Block)
    assert (first.title, first.effort, first.shares, first.drill) == ("Loosen up", 2, {"talk": 2}, card.id)
    assert frame.blocks[-1].title == "Cool-down"
