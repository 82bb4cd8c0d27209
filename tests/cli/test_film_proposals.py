"""``stopsheet film proposals``, ``yes`` and ``no`` as they are typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.cli.film_proposals import numbers_of
from planner.problem import Refusal
from tests.running import Stopsheet, assert_refused, is_clean

TALK = """WEBVTT

00:01.000 --> 00:05.000
twenty one never boxed out he just watched the shot go up

00:20.000 --> 00:24.000
next one and nobody stops the ball \x1b[31m and he goes coast to coast

00:40.000 --> 00:44.000
next one number ninety eight jumps at the pump fake and he is in the air
"""


@pytest.fixture
def narrated(stopsheet: Stopsheet, tmp_path: Path) -> Stopsheet:
    """Return the command line of a team with a narrated film of three proposals."""
    (tmp_path / "talk.vtt").write_text(TALK, encoding="utf-8")
    stopsheet("team", "new", "Herons")
    for jersey in ("4", "21"):
        stopsheet("team", "player", jersey)
    stopsheet("team", "game", "2027-01-08", "Marlow Lane")
    ran = stopsheet("film", "add", str(tmp_path / "talk.vtt"), "--game", "1")
    assert ran.code == 0
    assert "3 proposed" in ran.out
    assert "3 narrated sightings wait for your yes" in ran.out
    return stopsheet


def test_what_waits_is_listed_with_time_and_words(narrated: Stopsheet) -> None:
    """Number, time, sureness, breakdown, jersey and words stand there, clean, within eighty columns."""
    out = narrated("film", "proposals").out
    assert "    1    00:01" in out
    assert "No box out  21" in out
    assert "98?" in out
    assert "never boxed out" in out
    assert is_clean(out)
    assert max(map(len, out.splitlines()[:-1])) <= 80


def test_answers_by_number_range_and_sureness(narrated: Stopsheet) -> None:
    """Exit 0 and the undo when something changed, 1 when nothing did; --as and --players say what it was."""
    ran = narrated("film", "yes", "1")
    assert (ran.code, "2 proposals still wait." in ran.out, "Undo with" in ran.out) == (0, True, True)
    assert narrated("film", "yes", "1").code == 1
    assert narrated("film", "yes", "3", "--as", "late-closeout", "--players", "4").code == 0
    assert narrated("film", "no", "1-3").code == 0
    narrated("undo")
    rows = narrated("film", "proposals", "--all", "--json").json
    assert [(one["answer"], one["charged"]) for one in rows] == [
        ("no-box-out", ["21"]),
        (None, []),
        ("late-closeout", ["4"]),
    ]
    changed = narrated("film", "--json", "no", "--sure-below", "1").json
    assert (len(changed["changed"]), changed["left"]) == (1, 0)
    assert narrated("film", "proposals").out.startswith("No proposal waits")


def test_refusals(narrated: Stopsheet) -> None:
    """What is no proposal, no range or no share is one sentence."""
    assert_refused(narrated("film", "yes"), "Say which")
    assert_refused(narrated("film", "yes", "9"), "no proposal 9")
    assert_refused(narrated("film", "yes", "x"), "'x' is no number")
    assert_refused(narrated("film", "yes", "--sure-above", "90"), "from 0 to 1")
    assert_refused(narrated("film", "no", "9-5"), "smaller number first")
    assert_refused(narrated("film", "proposals", "--note", "4"), "no film note 4")


def test_possessions_are_told_and_json_holds_on_either_side(narrated: Stopsheet) -> None:
    """``film watched`` says what a note covers; --json before or after the part is the same."""
    assert "covers 41 possessions" in narrated("film", "watched", "1", "41").out
    before, after = narrated("film", "--json", "list"), narrated("film", "list", "--json")
    assert before.out == after.out
    (row,) = before.json
    assert (row["possessions"], row["proposed"], row["waiting"], row["sightings"]) == (41, 3, 3, 0)
    assert "3 wait" in narrated("film", "list").out
    assert "3 proposals no longer waiting" in narrated("film", "undo", "1").out


def test_ranges() -> None:
    """Numbers and ranges, with spaces or commas, each once and in order."""
    assert numbers_of(["3", "5-7,3", "6"]) == (3, 5, 6, 7)
    for bad in ("", "-", "3-", "-3", "3--5", "1-99999", "٣", "1e3"):
        if bad:
            with pytest.raises(Refusal):
                numbers_of([bad])
    assert numbers_of([]) == ()
