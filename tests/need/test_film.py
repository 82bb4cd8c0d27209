"""Watched games as one table: exposure, blame, and what is said about oddities."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.need.film import Film, first_cause, gather
from planner.need.settings import NeedSettings
from planner.problem import Refusal
from tests.need import kit

SMALL = kit.small()
SMALL_IDS = [one.id for one in SMALL.breakdowns]
AT = {one.id: column for column, one in enumerate(SMALL.breakdowns)}
FIRST = NeedSettings(blame="first")


def table(*games: kit.WatchedGame, settings: NeedSettings | None = None) -> Film:
    return gather(games, SMALL, kit.LATER, settings or NeedSettings())


def test_chances_become_possessions() -> None:
    """With 20 and 40 chances in two games of 60, the exposures are 40 and 80 possessions."""
    film = table(
        kit.game(0, {"no-box-out": 4}, chances={"no-box-out": 20}),
        kit.game(1, {"no-box-out": 4}, chances={"no-box-out": 40}),
    )
    assert film.exposure[:, AT["no-box-out"]].tolist() == [40.0, 80.0]
    assert film.exposure[:, AT["no-talk"]].tolist() == [60.0, 60.0]


def test_uncounted_games_keep_possessions() -> None:
    """A game without counted chances is taken to have had the usual number of them."""
    film = table(kit.game(0, {}, 50), kit.game(1, {}, 60, chances={"no-box-out": 30}))
    assert film.exposure[:, AT["no-box-out"]].tolist() == [50.0, 60.0]


def test_no_chance_no_news() -> None:
    """A game without a single chance of its kind tells nothing of that breakdown."""
    film = table(
        kit.game(0, {"no-box-out": 2}, chances={"no-box-out": 30}),
        kit.game(1, {}, chances={"no-box-out": 0}),
    )
    assert film.exposure[1, AT["no-box-out"]] == 0.0


def test_more_sightings_than_chances() -> None:
    """A breakdown seen more often than it had chances falls back on possessions, and this is said."""
    film = table(kit.game(0, {"no-box-out": 9}, chances={"no-box-out": 4}))
    assert film.exposure[0, AT["no-box-out"]] == 60.0
    assert any("no-box-out" in note and "chances" in note for note in film.notes)


def test_first_cause_alone() -> None:
    """Under first blame what came second in a possession is taken off, what stands alone stays."""
    chain = kit.trip(2, "no-talk", "late-closeout", "late-closeout", first="no-talk")
    alone = kit.trip(0, "no-box-out", "no-box-out")
    seen = {"no-talk": 1, "late-closeout": 3, "no-box-out": 2}
    film = table(kit.game(0, seen, trips=(chain, alone)), settings=FIRST)
    counts = dict(zip(film.ids, film.counts[0], strict=True))
    assert (counts["no-talk"], counts["late-closeout"], counts["no-box-out"]) == (1, 1, 1)
    every = table(kit.game(0, seen, trips=(chain, alone)))
    assert every.counts.sum() == 6


def test_unknown_order_is_said() -> None:
    """Several breakdowns with no word on which came first all count, and the number of such is told."""
    trips = (kit.trip(2, "no-talk", "late-closeout"), kit.trip(0))
    film = table(kit.game(0, {"no-talk": 1, "late-closeout": 1}, trips=trips), settings=FIRST)
    assert film.counts.sum() == 2
    assert any(note.startswith("1 possession with several breakdowns") for note in film.notes)


def test_first_cause_of_unknown_points() -> None:
    """Possessions whose points nobody noted are thinned to their first cause all the same."""
    one = replace(
        kit.game(0, {"no-talk": 2, "late-closeout": 1}), chains=(("no-talk", "late-closeout", "no-talk"),)
    )
    counts = dict(zip(SMALL_IDS, table(one, settings=FIRST).counts[0], strict=True))
    assert (counts["no-talk"], counts["late-closeout"]) == (1, 0)


def test_switched_off_takes_no_blame() -> None:
    """Where the first cause is switched off, the next one in the note is charged."""
    chain = kit.trip(2, "no-talk", "late-closeout", "no-box-out", first="no-talk")
    seen = {"no-talk": 1, "late-closeout": 1, "no-box-out": 1}
    off = NeedSettings(blame="first", off=frozenset({"no-talk"}))
    counts = dict(
        zip(SMALL_IDS, table(kit.game(0, seen, trips=(chain,)), settings=off).counts[0], strict=True)
    )
    assert (counts["late-closeout"], counts["no-box-out"]) == (1, 0)
    assert first_cause(chain, {"no-talk", "late-closeout", "no-box-out"}) is None


def test_counted_only_is_said() -> None:
    """Under first blame, breakdowns that were only counted all count, and this is told."""
    film = table(kit.game(0, {"no-talk": 4}, trips=(kit.trip(2, "no-talk"),)), settings=FIRST)
    assert film.counts.sum() == 4
    assert any(note.startswith("3 breakdowns only counted") for note in film.notes)


def test_first_cause_must_have_been_seen() -> None:
    """A first cause that is not among the possession's breakdowns is not believed."""
    assert first_cause(kit.trip(2, "no-talk", "unmatched", first="no-box-out")) is None
    assert first_cause(kit.trip(2, "no-talk", first="no-box-out")) == "no-talk"
    assert first_cause(kit.trip(0)) is None


def test_unknown_words_and_empty_games_are_told() -> None:
    """A word outside the vocabulary and a game of unknown length are named, not silently dropped."""
    film = table(kit.game(0, {"sleepwalking": 3}), kit.game(1, {"no-talk": 2}, possessions=0))
    assert film.possessions == 60
    assert any("sleepwalking" in note for note in film.notes)
    assert any(note.startswith("1 game left out") for note in film.notes)


@pytest.mark.parametrize(
    "wrong",
    [
        {"half_life_games": 0},
        {"prior_possessions": -1},
        {"cost_sd": float("nan")},
        {"emphasis": {"talk": -1.0}},
        {"exposure": {"talk": float("inf")}},
        {"blame": "last"},
    ],
)
def test_settings_that_mean_nothing(wrong: dict[str, object]) -> None:
    """Settings that mean nothing are refused, naming the setting."""
    with pytest.raises(Refusal):
        NeedSettings(**wrong)  # type: ignore[arg-type]
