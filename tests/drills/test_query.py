"""What is typed to find drills: words, short questions, and what cannot be understood."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.desk.library import load_library
from planner.drills.query import PREFIXES, Query, headed, matching, parse_query
from planner.drills.search import Wanted, find_drills, in_teaching_order
from planner.drills.vocabulary import Stage

LIBRARY = load_library()
WORDS = LIBRARY.vocabulary


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("", Wanted()),
        ("gate close", Wanted(words=("gate", "close"))),
        ("s:live", Wanted(stage=Stage.LIVE)),
        ("S:G", Wanted(stage=Stage.GUIDED)),
        ("n:8 m:10", Wanted(players=8, minutes=10)),
        ("k:warm", Wanted(kind="warm-up")),
        ("e:cones no:chairs", Wanted(equipment=("cones",), without=("chairs",))),
        ("r:half", Wanted(half_court=True)),
        ("p: s: n:", Wanted()),
    ],
)
def test_short_questions_ask_what_they_say(text: str, wanted: Wanted) -> None:
    """Each prefix fills its field, begun words are enough, and an empty one asks nothing yet."""
    assert parse_query(text, WORDS) == Query(wanted)


def test_a_principle_is_found_by_how_its_id_or_title_begins() -> None:
    """A whole id means that one; a beginning means all that begin so."""
    assert parse_query("p:box-out", WORDS).principles == ("box-out",)
    begun = [
        one.id for one in WORDS.principles if one.id.startswith("o") or one.title.lower().startswith("o")
    ]
    assert parse_query("p:o", WORDS).principles == tuple(begun)


@pytest.mark.parametrize("part", ["p:qq", "s:x", "n:many", "n:0", "m:²", "k:game", "r:full", "z:3", ":x"])
def test_what_is_not_understood_asks_nothing_and_is_kept(part: str) -> None:
    """A question that makes no sense is handed back to be shown, and the rest is still asked."""
    found = parse_query(f"{part} s:walk", WORDS)
    assert found == Query(Wanted(stage=Stage.WALK), puzzling=(part,))


def test_what_matches_is_what_the_search_finds_with_the_principle_s_own_first() -> None:
    """The query narrows exactly as the search does; drills that mainly teach the principle come first."""
    found = matching(LIBRARY, parse_query("p:box-out n:8", WORDS))
    assert {one.id for one in found} == {
        one.id for one in find_drills(LIBRARY.drills, Wanted(principle="box-out", players=8))
    }
    mains = [one.main_principle == "box-out" for one in found]
    assert mains == sorted(mains, reverse=True)
    assert matching(LIBRARY, Query()) == in_teaching_order(LIBRARY.drills, WORDS)
    assert matching(LIBRARY, parse_query("k:own", WORDS)) == ()


def test_headings_stand_over_every_drill_once() -> None:
    """Put back together the runs under the headings are the drills in their order."""
    drills = matching(LIBRARY, Query())
    runs = headed(drills, WORDS)
    assert tuple(one for _, run in runs for one in run) == drills
    assert [name for name, _ in runs][: len(WORDS.principles)] == [one.title for one in WORDS.principles]


def test_every_prefix_is_explained() -> None:
    """What help lists is what is understood: each prefix alone is a question that is only begun."""
    for prefix in PREFIXES:
        assert parse_query(prefix, WORDS) == Query()


@given(st.text(max_size=60))
def test_anything_can_be_typed(text: str) -> None:
    """Whatever is typed gives a query, and what it finds is part of the library."""
    found = matching(LIBRARY, parse_query(text, WORDS))
    assert {one.id for one in found} <= set(LIBRARY.by_id)
