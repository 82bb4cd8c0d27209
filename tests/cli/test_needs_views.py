"""``stopsheet needs`` in its views, and the verbs that steer it."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.running import Stopsheet, assert_refused


@pytest.fixture
def season(stopsheet: Stopsheet, season_home: Path) -> Stopsheet:
    """Return the command line at a copy of the demo season."""
    stopsheet.home = season_home
    return stopsheet


@pytest.mark.parametrize("view", [(), ("--breakdowns",), ("--more-film",), ("--cause", "first")])
def test_a_view_fits_a_small_screen(season: Stopsheet, view: tuple[str, ...]) -> None:
    """At 80 by 24 every view leaves room for the next command and no line is too wide."""
    ran = season("needs", *view)
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert len(lines) <= 23
    assert max(cell_len(line) for line in lines) <= 80
    assert "\x1b" not in ran.out


def test_all_shows_every_principle(season: Stopsheet) -> None:
    """``--all`` lists all fourteen, each with its share."""
    out = " ".join(season("needs", "--all").out.split())
    assert out.count("of all points lost.") == 14
    assert "--all" not in out


def test_json_keeps_its_words(season: Stopsheet) -> None:
    """The keys of the contract stand, with blame, next game, coverages and evidence beside them."""
    found = season("needs", "--json", "--cause", "first").json
    assert {"as_of", "possessions", "principles", "breakdowns", "blame", "next_game", "coverages"} <= set(
        found
    )
    assert found["blame"] == "first"
    assert {
        *("principle", "points_per_100", "low", "high", "rate_per_100", "cost", "share", "emphasis"),
        *("carry_over_minutes", "exposure", "film_share", "recent", "trend"),
    } <= set(found["principles"][0])
    assert {"breakdown", "count", "rate_per_100", "low", "high", "cost"} <= set(found["breakdowns"][0])
    assert not {"players", "more_film"} & set(found)


def test_players_only_when_asked(season: Stopsheet) -> None:
    """Jerseys appear with ``--players`` alone, by number, with their cautions, as text and as JSON."""
    assert "by jersey" not in season("needs", "--all").out
    out = season("needs", "--players").out
    assert "not who is better" in out
    assert "Nobody wrote down who was on the floor" in " ".join(out.split())
    found = season("needs", "--players", "--json").json["players"]
    assert [one["jersey"] for one in found["players"]][:4] == ["0", "00", "3", "5"]
    assert found["line_ups_known"] is False


def test_more_film_as_json(season: Stopsheet) -> None:
    """Advice comes as numbers too."""
    (first, *_) = season("needs", "--more-film", "--json").json["more_film"]
    assert first["width_then"] <= first["width_now"]


def test_exposure_is_visible(season: Stopsheet) -> None:
    """A factor for the next opponent is told in the needs, in their JSON, and in the team's overview."""
    ran = season("team", "exposure", "ball-screen", "1.5")
    assert "ball-screen counts x1.5 for" in ran.out
    assert "Undo with: stopsheet undo" in ran.out
    text = " ".join(season("needs").out.split())
    assert "v Pennigrove: ball-screen x1.5." in text
    assert "x1.5 by the next opponent." in text
    assert season("needs", "--json").json["next_game"]["exposure"] == {"ball-screen": 1.5}
    assert "ball-screen x1.5" in season("team").out
    assert season("undo").code == 0
    assert "next opponent" not in season("needs", "--all").out


def test_coverage_is_visible(season: Stopsheet) -> None:
    """What is played is told in the needs and in the team's overview; without a name all are listed."""
    listed = season("team", "coverage").out
    assert "without late-show: Nobody shows, so nobody shows late." in listed
    assert "* drop" not in listed
    assert season("team", "coverage", "drop").code == 0
    assert "* drop" in season("team", "coverage").out
    assert "We play: Drop the big; left out: late-show" in season("needs").out
    assert season("needs", "--json").json["left_out"]["late-show"]["coverage"] == "Drop the big"
    assert "\nCoverages\n  drop\n" in season("team").out
    assert season("team", "coverage", "drop", "off").code == 0
    assert "We play" not in season("needs").out


def test_line_ups(season: Stopsheet) -> None:
    """Possessions defended are taken, used and shown."""
    assert season("team", "floor", "10", "7=41", "12=50").code == 0
    assert "Line-ups are known for 1 of 10 games" in season("needs", "--players").out
    assert "v Tarnoway: 2" in season("team").out


@pytest.mark.parametrize(
    ("argv", "word"),
    [
        (("team", "exposure", "ball-screen", "x"), "factor"),
        (("team", "exposure", "ball-screen", "nan"), "out of range"),
        (("team", "exposure", "tag", "1.2", "--game", "999"), "no game 999"),
        (("team", "coverage", "\x1b[31mfly"), "no coverage"),
        (("team", "floor", "10", "99=4"), "No player wears 99"),
        (("team", "floor", "10", "7"), "write it as 7=41"),
        (("needs", "--cause", "last"), "--cause"),
        (("needs", "--players", "--breakdowns"), "not allowed"),
    ],
)
def test_refusals(season: Stopsheet, argv: tuple[str, ...], word: str) -> None:
    """What means nothing is refused in one clean sentence."""
    assert_refused(season(*argv), word)
