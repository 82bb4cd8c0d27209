"""Narrated film at the desk: it waits, is answered, counts with yes alone, and is undone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.desk.desk import Desk
from planner.desk.film import add_files, film_list, set_watched
from planner.desk.film_proposals import YES, Which, answer, place_of, proposals, waiting_words, who_of
from planner.desk.film_reading import read_files
from planner.desk.needs import assess_needs
from planner.desk.team import save_player
from planner.desk.undo import undo_last
from planner.film.answers import NO
from planner.problem import Refusal
from planner.store import queries
from planner.store.values import PlayerInfo, TeamInfo
from tests.running import everything

SAID = (
    "twenty one never boxed out he just watched the shot go up",
    "next one and nobody stops the ball and he goes coast to coast",
    "next one number ninety eight jumps at the pump fake and he is in the air",
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    made = Desk(tmp_path / "home", dt.date(2026, 12, 1), now=lambda: dt.datetime(2026, 12, 1, tzinfo=dt.UTC))
    with made.store.session() as session:
        queries.save_team(session, TeamInfo("Herons"))
        queries.add_game(session, dt.date(2026, 11, 20), "Marlow Lane")
    for jersey in ("4", "21"):
        save_player(made, PlayerInfo(jersey))
    yield made
    made.close()


def talk(folder: Path, name: str = "talk.vtt", first: int = 1) -> Path:
    """Write a narrated film of three breakdowns, twenty seconds apart."""
    blocks = ["WEBVTT"]
    for n, said in enumerate(SAID):
        at = first + 20 * n
        blocks.append(f"00:{at:02d}.000 --> 00:{at + 4:02d}.000\n{said}")
    path = folder / name
    path.write_text("\n\n".join(blocks) + "\n", encoding="utf-8")
    return path


def seen(desk: Desk) -> list[tuple[str, tuple[str, ...]]]:
    with desk.reading() as session:
        return [(one.breakdown, one.players) for one in queries.sightings(session)]


def test_narration_waits_and_is_added_once(desk: Desk, tmp_path: Path) -> None:
    """Proposals wait, in the order of the film; the same bytes again add nothing."""
    add_files(desk, [talk(tmp_path)], 1)
    waiting = proposals(desk)
    assert [(one.breakdown, place_of(one), who_of(one)) for one in waiting] == [
        ("no-box-out", "00:01", "21"),
        ("ball-not-stopped", "00:21", ""),
        ("left-feet", "00:43", "98?"),
    ]
    assert seen(desk) == []
    before = everything(desk.home)
    assert add_files(desk, [talk(tmp_path), talk(tmp_path, "copy.vtt")], 1).new == ()
    assert everything(desk.home) == before


def test_yes_no_and_another_breakdown(desk: Desk, tmp_path: Path) -> None:
    """Only yes counts, charged as heard or as told; each answer, one or many, is undone as one."""
    add_files(desk, [talk(tmp_path)], 1)
    one, two, three = (each.id for each in proposals(desk))
    assert answer(desk, Which((one,)), YES).left == 2
    assert answer(desk, Which((two,)), NO).left == 1
    done = answer(desk, Which((three,)), "late-closeout", ["4"])
    assert (done.left, [each.answer for each in done.changed]) == (0, ["late-closeout"])
    assert seen(desk) == [("no-box-out", ("21",)), ("late-closeout", ("4",))]
    for left in (1, 2, 3):
        undo_last(desk)
        assert len(proposals(desk)) == left
    assert seen(desk) == []


def test_the_same_answer_again_changes_nothing(desk: Desk, tmp_path: Path) -> None:
    """Answering is idempotent; another answer takes the place of the first, and undo brings that back."""
    add_files(desk, [talk(tmp_path)], 1)
    one = proposals(desk)[0].id
    answer(desk, Which((one,)), YES, ["4"])
    before = everything(desk.home)
    again = answer(desk, Which((one,)), YES)
    assert (again.changed, again.already) == ((), 1)
    assert everything(desk.home) == before
    answer(desk, Which((one,)), NO)
    assert seen(desk) == []
    undo_last(desk)
    assert seen(desk) == [("no-box-out", ("4",))]


def test_many_at_once(desk: Desk, tmp_path: Path) -> None:
    """By sureness, by film note or all; what is answered already is left as it is."""
    add_files(desk, [talk(tmp_path)], 1)
    add_files(desk, [talk(tmp_path, "second.vtt", 9)], 1)
    every = proposals(desk)
    first = every[0]
    answer(desk, Which((first.id,)), NO)
    high = max(one.sure for one in every)
    done = answer(desk, Which(above=high), YES)
    assert {one.id for one in done.changed} == {one.id for one in every if one.sure >= high} - {first.id}
    second = max(one.id for one in film_list(desk))
    answer(desk, Which(note=second), NO)
    assert proposals(desk, second) == ()
    left = proposals(desk)
    assert len(answer(desk, Which(every=True, below=1.0), NO).changed) == len(left)
    assert proposals(desk) == ()


@pytest.mark.parametrize(
    ("which", "said", "players", "why"),
    [
        (Which(), YES, [], "Say which"),
        (Which((1, 999)), YES, [], "no proposal 999"),
        (Which((1,), above=0.5), YES, [], "not both"),
        (Which(note=77), YES, [], "no film note 77"),
        (Which((1,)), "no-such", [], "no-such"),
        (Which((1,)), YES, ["98"], "no player 98"),
        (Which((1,)), NO, ["4"], "charges nobody"),
    ],
)
def test_refusals_leave_everything(
    desk: Desk, tmp_path: Path, which: Which, said: str, players: list[str], why: str
) -> None:
    """A wrong number, note, breakdown or player is one sentence, and nothing is half answered."""
    add_files(desk, [talk(tmp_path)], 1)
    before = everything(desk.home)
    with pytest.raises(Refusal, match=why):
        answer(desk, which, said, players)
    assert everything(desk.home) == before


def test_needs_count_yes_alone_and_tell_what_waits(desk: Desk, tmp_path: Path) -> None:
    """Film that waits is in no rate; needs say how much waits, and how to say how many possessions."""
    add_files(desk, [talk(tmp_path)], 1)
    found = assess_needs(desk)
    assert found.games == 0
    assert any("3 narrated sightings wait" in one for one in found.notes)
    assert any("film watched" in one for one in found.notes)
    answer(desk, Which((1,)), YES)
    answer(desk, Which(every=True), NO)
    assert set_watched(desk, 1, 40).possessions == 40
    found = assess_needs(desk)
    assert (found.games, found.possessions) == (1, 40)
    assert not any("wait" in one for one in found.notes)
    undo_last(desk)
    assert film_list(desk)[0].possessions is None
    for number, possessions in ((1, 0), (1, 301), (9, 40)):
        with pytest.raises(Refusal):
            set_watched(desk, number, possessions)


def test_answers_teach_the_next_film(desk: Desk, tmp_path: Path) -> None:
    """Wording often said no to is doubted in the next film; taking the answers back forgets it."""
    for n in range(6):
        add_files(desk, [talk(tmp_path, f"{n}.vtt", n + 1)], 1)
    fresh = talk(tmp_path, "next.vtt", 12)
    before = read_files(desk, [fresh]).readings[0].intake
    numbers = tuple(one.id for one in proposals(desk) if one.breakdown == "ball-not-stopped")
    answer(desk, Which(numbers), NO)
    after = read_files(desk, [fresh]).readings[0].intake
    assert [one.breakdown for one in after.proposals] == ["no-box-out", "left-feet"]
    assert any("you said no" in one.why for one in after.unclear)
    undo_last(desk)
    assert read_files(desk, [fresh]).readings[0].intake == before
    answer(desk, Which(numbers), "no-pressure")
    after = read_files(desk, [fresh]).readings[0].intake
    assert [one.breakdown for one in after.proposals] == ["no-box-out", "no-pressure", "left-feet"]


def test_words_of_what_waits() -> None:
    """Nothing, one and several are told in their own words."""
    assert waiting_words(0) == ""
    assert waiting_words(1).startswith("1 narrated sighting waits for your yes")
    assert waiting_words(12).startswith("12 narrated sightings wait for your yes")
