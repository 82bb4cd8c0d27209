"""Ladders: what hangs on them, in what order, and which links are wrong."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.drills.card import Drill
from planner.drills.ladder import ladder_of, next_stage, slips
from planner.drills.vocabulary import Stage
from tests.drills.making import a_drill

SOUND = (
    a_drill("feet", Stage.WALK, harder=("front",)),
    a_drill("front", Stage.GUIDED, easier=("feet",), harder=("lob",)),
    a_drill("lob", Stage.CONTESTED, easier=("front",), harder=("five",)),
    a_drill("five", Stage.LIVE, easier=("lob",)),
)


def said(*drills: Drill, own: frozenset[str] = frozenset()) -> list[str]:
    return [f"{one.drill.id} {one.key}: {one.what}" for one in slips(drills, own)]


def with_(name: str, **changes: object) -> list[Drill]:
    return [
        a_drill(
            one.id,
            one.stage,
            **{"easier": one.easier, "harder": one.harder, **(changes if one.id == name else {})},
        )
        for one in SOUND
    ]


def test_a_sound_ladder_has_no_slips() -> None:
    """Mirrored links that climb from walk to live are right."""
    assert said(*SOUND) == []


def test_a_link_to_nothing() -> None:
    """An unknown id is a slip at the field where it stands."""
    assert said(*with_("five", harder=("moon",))) == ["five harder: 'moon' in 'harder' is no drill"]


def test_a_link_that_is_not_returned() -> None:
    """Each side names the other; the slip is with the one that speaks."""
    assert said(*with_("front", easier=())) == ["feet harder: 'front' does not name it back in its 'easier'"]
    assert said(*with_("front", harder=())) == ["lob easier: 'front' does not name it back in its 'harder'"]


def test_a_link_down_the_stages() -> None:
    """A drill of an earlier stage cannot be the harder one."""
    found = said(
        *with_("five", harder=("feet",))[1:], a_drill("feet", Stage.WALK, harder=("front",), easier=("five",))
    )
    assert "five harder: 'feet' (walk) is not harder than live" in found
    assert "feet easier: 'five' (live) is not easier than walk" in found


def test_a_circle_is_named_once_with_its_way() -> None:
    """Drills of one stage may follow one another, but not in a circle."""
    ring = (
        a_drill("a", Stage.WALK, harder=("b",), easier=("c",)),
        a_drill("b", Stage.WALK, harder=("c", "top"), easier=("a",)),
        a_drill("c", Stage.WALK, harder=("a",), easier=("b",)),
        a_drill("top", Stage.LIVE, easier=("b",)),
    )
    assert said(*ring) == ["a harder: goes in a circle: a -> b -> c -> a"]
    assert said(a_drill("x", Stage.LIVE, harder=("x",)), *SOUND)[0] == (
        "x harder: the drill is named in its own 'harder'"
    )


def test_what_cannot_be_reached_and_what_leads_nowhere() -> None:
    """Every drill hangs on a way up from a walk drill, and below live something follows."""
    lonely = a_drill("alone", Stage.CONTESTED)
    assert said(*SOUND, lonely) == [
        "alone easier: no way leads up to it from a walk drill of post",
        "alone harder: a dead end: nothing harder in post follows it",
    ]


def test_a_way_through_another_principle_does_not_count() -> None:
    """The ladder of a principle stands on its own drills."""
    bridge = a_drill("bridge", Stage.WALK, shares={"talk": 14}, harder=("late", "end"))
    end = a_drill("end", Stage.LIVE, shares={"talk": 14}, easier=("bridge",))
    late = a_drill("late", Stage.LIVE, easier=("bridge",))
    assert said(*SOUND, bridge, end, late) == ["late easier: no way leads up to it from a walk drill of post"]


def test_the_teams_own_drill_hangs_on_from_one_side() -> None:
    """A shipped drill cannot name a team's own, and an own drill need not hang on the ladder at all."""
    own = a_drill("ours", Stage.GUIDED, easier=("feet",))
    assert said(*SOUND, own, own=frozenset({"ours"})) == []
    assert len(said(*SOUND, own)) == 2
    rungs = {one.drill.id: one for one in ladder_of([*SOUND, own], "post").rungs}
    assert rungs["feet"].harder == ("front", "ours")
    assert rungs["ours"].easier == ("feet",)


def test_within_a_stage_the_easier_comes_first() -> None:
    """Order follows the links, not the alphabet; a warm-up is on no ladder."""
    second = a_drill("a-second", Stage.WALK, easier=("z-first",))
    first = a_drill("z-first", Stage.WALK, harder=("a-second",))
    warm = a_drill("warm", None, kind="warm-up")
    found = ladder_of([second, first, warm], "post")
    assert [one.drill.id for one in found.stages[Stage.WALK]] == ["z-first", "a-second"]
    assert [one.drill.id for one in found.rungs] == ["z-first", "a-second"]
    assert ladder_of([second], "talk").rungs == ()


def test_the_next_stage() -> None:
    """A team works one stage above the one it has passed."""
    assert [next_stage(one) for one in (None, *Stage)] == [*Stage, None]


NAMES = [f"d{n}" for n in range(6)]


@given(st.lists(st.tuples(st.sampled_from(NAMES), st.sampled_from(NAMES)), max_size=12))
def test_links_of_one_stage_are_circular_exactly_when_some_drill_follows_itself(
    links: list[tuple[str, str]],
) -> None:
    """Against a plain search: a circle is reported if and only if a way leads from a drill back to it."""
    links = [(one, two) for one, two in dict.fromkeys(links) if one != two]
    drills = [
        a_drill(
            name,
            Stage.LIVE,
            harder=tuple(two for one, two in links if one == name),
            easier=tuple(one for one, two in links if two == name),
        )
        for name in NAMES
    ]
    reach = {name: {two for one, two in links if one == name} for name in NAMES}
    for _ in NAMES:
        reach = {one: two | {far for near in two for far in reach[near]} for one, two in reach.items()}
    circular = any(one in two for one, two in reach.items())
    assert any("circle" in one for one in said(*drills)) == circular
    assert {one.drill.id for one in ladder_of(drills, "post").rungs} == set(NAMES)
