"""Cards for the assistant and the players, as a reader of the PDF finds them."""

from __future__ import annotations

import io
import re
from types import SimpleNamespace

import pytest
from pypdf import PdfReader

from planner.build.plan import Plan, Segment, Station
from planner.paper import assistant_card as assistant
from planner.paper import player_card as player
from planner.paper.assistant_card import assistant_card, baskets_of
from planner.paper.player_card import MOST_WORDS, PlayerWords, player_cards, words_today
from planner.problem import Refusal
from tests.pdf import assert_accessible, assert_looks_like, elements, pictures_of, text_of


@pytest.fixture
def plan(sample: SimpleNamespace) -> Plan:
    """Return an evening in which both baskets are used."""
    made: Plan = sample.sized_plan(8)
    return made


def pages(data: bytes) -> list[str]:
    return [re.sub(r"\s+", " ", one.extract_text()) for one in PdfReader(io.BytesIO(data)).pages]


def test_each_basket_has_a_card_with_what_runs_there(sample: SimpleNamespace, plan: Plan) -> None:
    """Half B's card holds its own drill with set-up and faults; the other basket's takes a line."""
    assert baskets_of(plan) == ("A", "B")
    printed = assistant_card(plan, sample.notes())
    text = text_of(printed.data)
    first, second = text.split("Half B Assistant's card")
    assert first.startswith("Half A Assistant's card")
    assert "Find, hit, hold, go" in second
    assert "Bump and sprint to the corner" in first
    assert "Blue 00 7 15 24 30" not in first
    assert "Set-up Two lines on the wings. Bring 2 balls" in first
    assert "upright “Sit”" in second
    assert "Four-man shell, drive from the slot" in first
    assert "Four-man shell, drive from the slot" in second


def test_what_the_other_basket_does_alone_takes_a_line(sample: SimpleNamespace) -> None:
    """A drill of half B only is named on half A's card, without set-up and without players."""
    two = sample.plan_of(
        [
            Segment(0, 8, "drill", "Corner", (Station("corner-tag", "", ("4", "7"), "A"),)),
            Segment(0, 8, "drill", "Hit", (Station("find-hit-hold", "", ("9", "5"), "B"),)),
        ]
    )
    first, second = text_of(assistant_card(two, sample.notes()).data).split("Half B Assistant's card")
    assert "Other basket: Hit" in first
    assert "Other basket: Corner" in second
    assert "9 5" not in first


def test_a_plan_on_the_whole_floor_has_one_card(sample: SimpleNamespace) -> None:
    """Where no half runs by itself, the card is for the whole floor."""
    one = sample.plan_of(
        [Segment(0, 8, "drill", "Sprint", (Station("sprint-and-name", "", ("4", "7"), "full"),))]
    )
    assert baskets_of(one) == ("full",)
    printed = assistant_card(one, sample.notes())
    assert printed.pages == 1
    assert text_of(printed.data).startswith("Whole floor Assistant's card")


def test_the_sheets_caution_stands_on_every_page(sample: SimpleNamespace) -> None:
    """Cards are handed out one by one, so each page defers to licensed people and local rules."""
    for page in pages(assistant_card(sample.heavy_plan(12), sample.notes()).data):
        assert "back only when cleared by a licensed professional under local rules" in page


def test_large_print_is_large(sample: SimpleNamespace, plan: Plan) -> None:
    """Large print keeps 14 points or more."""
    assert assistant_card(plan, sample.notes(), large=True).size >= 14
    assert assistant_card(plan, sample.notes()).size >= 9.6


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_cards_are_accessible_and_the_same_twice(sample: SimpleNamespace, plan: Plan, paper: str) -> None:
    """Tagged, titled, headings in order, every diagram with words; equal input gives equal bytes."""
    notes = sample.notes(sample.every_drill)
    printed = assistant_card(plan, notes, paper=paper)  # type: ignore[arg-type]
    found = assert_accessible(printed.data)
    assert [one.alt for one in found if one.role == "/Figure"]
    assert assistant_card(plan, notes, paper=paper).data == printed.data  # type: ignore[arg-type]
    cards = player_cards(plan, _words(sample, plan), sample.notes().principles, paper=paper)  # type: ignore[arg-type]
    assert_accessible(cards.data)
    assert cards.data == player_cards(plan, _words(sample, plan), sample.notes().principles, paper=paper).data  # type: ignore[arg-type]


def _words(sample: SimpleNamespace, plan: Plan) -> tuple[PlayerWords, ...]:
    return words_today(plan, sample.drills, ["ball-screen", "box-out", "tag", "closeout"])


def test_players_take_the_words_of_the_costliest_principle_that_is_taught(
    sample: SimpleNamespace,
) -> None:
    """Ball screens cost more but are not in this plan, so tag and rotate is next; first cues come first."""
    two = sample.plan_of(
        [
            Segment(
                0, 8, "drill", "Shell", (Station("four-shell-drive", "", ("4", "7"), "full"),), {"tag": 4}
            ),
            Segment(0, 8, "drill", "Corner", (Station("corner-tag", "", ("4",), "A"),), {"tag": 12}),
        ]
    )
    said = words_today(two, sample.drills, ["ball-screen", "tag", "help-side"])
    assert [one.jersey for one in said] == ["4", "7"]
    assert {one.principle for one in said} == {"tag"}
    # 4 runs both, the one with more minutes of it first; 7 runs the shell alone.
    assert said[0].words == ("Bump for one beat", "See both", "Sprint while the pass flies")
    assert said[1].words == ("See both", "First step to the paint", "Talk on the flight of the pass")


def test_a_player_who_runs_none_of_the_drills_takes_the_words_of_all(sample: SimpleNamespace) -> None:
    """Nobody's card is blank."""
    two = sample.plan_of(
        [
            Segment(0, 8, "drill", "Corner", (Station("corner-tag", "", ("4",), "A"),), {"tag": 12}),
            Segment(0, 8, "drill", "Hit", (Station("find-hit-hold", "", ("9",), "B"),), {"box-out": 18}),
        ]
    )
    said = {one.jersey: one.words for one in words_today(two, sample.drills, ["tag"])}
    assert said["9"] == said["4"]
    assert all(len(one) <= MOST_WORDS for one in said.values())


def test_cards_hold_jersey_and_words_and_no_name(sample: SimpleNamespace, plan: Plan) -> None:
    """Eight cards a page (four in large print), each with its jersey as heading."""
    said = _words(sample, plan)
    printed = player_cards(plan, said, sample.notes().principles, "Fernhill")
    assert printed.pages == 2
    assert [one.role for one in elements(printed.data)].count("/H1") == len(said) == 10
    text = text_of(printed.data)
    assert all(word in text for one in said for word in one.words)
    large = player_cards(plan, said, sample.notes().principles, "Fernhill", large=True)
    assert large.pages == 3


def test_nothing_to_say_is_refused(sample: SimpleNamespace, plan: Plan) -> None:
    """No player, too many, a strange paper and an empty plan are refused in one sentence."""
    with pytest.raises(Refusal, match="no words for players' cards"):
        player_cards(plan, words_today(plan, {}, ["post"]), {})
    with pytest.raises(Refusal, match="too many"):
        player_cards(plan, [PlayerWords(str(n), "tag", ("a",)) for n in range(100)], {})
    with pytest.raises(Refusal, match="no paper"):
        assistant_card(plan, sample.notes(), paper="a3")  # type: ignore[arg-type]
    with pytest.raises(Refusal, match="nothing to print"):
        assistant_card(sample.plan_of([]), sample.notes())


def test_strange_words_stay_on_their_card(sample: SimpleNamespace, plan: Plan) -> None:
    """Endless words, control characters and a jersey from right to left are set, not refused."""
    odd = [PlayerWords("٤٢", "tag", ("W" * 300, "\x1b[31mred\x07", "שלום")), PlayerWords("XYZ", "tag", ())]
    printed = player_cards(plan, odd, {}, "T" * 200)
    assert printed.pages == 1
    assert "\x1b" not in text_of(printed.data)


def test_the_cards_look_as_they_were_looked_at(
    sample: SimpleNamespace, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both kinds of card match the pictures kept, within what smoothing of edges may differ."""
    notes = sample.notes(sample.every_drill)
    for name, png in zip(
        ("assistant-1", "assistant-2"),
        pictures_of(monkeypatch, assistant, lambda: assistant_card(plan, notes)),
        strict=False,
    ):
        assert_looks_like(name, png)
    said = _words(sample, plan)
    found = pictures_of(monkeypatch, player, lambda: player_cards(plan, said, notes.principles, "Fernhill"))
    assert_looks_like("players", found[0])
