"""The needs on one screen."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Group

from planner.drills.vocabulary import Breakdown, Principle, Vocabulary
from planner.need.advice import Advice
from planner.need.estimate import BreakdownEstimate, Followed, Needs, PrincipleNeed
from planner.need.players import PlayerLine, Players
from planner.paper.frame import plain_text
from planner.paper.needs_view import breakdowns_table, more_film_table, needs_table, players_table

SENTENCE = (
    "Late closeout: 27 in 5 games, about 9.1 per 100 possessions (6.0 to 12.0), "
    "costing about 0.5 points each."
)


def words(principle: str = "Closeouts and contests", breakdown: str = "Late closeout") -> Vocabulary:
    return Vocabulary(
        (Principle("closeout", principle, ""), Principle("tag", "Tag and rotate", "")),
        (
            Breakdown("late-closeout", breakdown, "closeout", None, "", 1.0, 6, 0.5),
            Breakdown("stuck-on-tag", "Tagged and stayed", "tag", "closeout", "", 0.7, 3, 0.5),
        ),
    )


def seen(name: str, count: int, rate: float, said: str = "", **more: object) -> BreakdownEstimate:
    return BreakdownEstimate(
        name, count, rate, 6, 12, 0.5, 0.3, 0.7, 0.8, 0.5, "library", False, (0, 4, 8), sentence=said, **more
    )  # type: ignore[arg-type]


TREND = "Up: 9.1 per 100 in the last 3 games, 4.0 before (exact two-rate test, p 0.004)."
NEEDS = Needs(
    dt.date(2026, 12, 2),
    317,
    5,
    (
        PrincipleNeed(
            *("closeout", 4.0, 2.0, 6.0, 9.1, 0.45, 0.31, 1.2, 1.5, 6),
            film_share=0.845,
            cost_film_share=0.4,
            recent=(0.0, 5.0, 10.0),
            trend=TREND,
        ),
        PrincipleNeed("tag", 2.8, 1.7, 4.2, 7.0, 0.40, 0.20),
    ),
    (seen("late-closeout", 27, 9.1, SENTENCE, trend=TREND), seen("stuck-on-tag", 11, 3.1, "Tagged: 11.")),
    ("Two lines were unclear.",),
    "first",
    (Followed("late-closeout", "stuck-on-tag", 4), Followed("stuck-on-tag", "late-closeout", 1)),
)


def lines_of(table: Group, width: int = 80) -> list[str]:
    lines = plain_text(table, width).splitlines()
    wide = [line for line in lines if cell_len(line) > max(width, 80)]
    assert not wide, wide
    return lines


def many(count: int) -> tuple[Needs, Vocabulary]:
    """Return as many principles, each with a breakdown and its sentence."""
    names = [f"p{number}" for number in range(count)]
    vocabulary = Vocabulary(
        tuple(Principle(name, f"Principle {name}", "") for name in names),
        tuple(Breakdown(f"b{name}", f"Fault {name}", name, None, "", 1.0, 3, 0.5) for name in names),
    )
    needs = Needs(
        dt.date(2026, 12, 2),
        600,
        10,
        tuple(PrincipleNeed(name, 2.0, 1.0, 3.0, 5.0, 0.4, 1 / count) for name in names),
        tuple(seen(f"b{name}", 9, 5.0, SENTENCE) for name in names),
        ("A note of ordinary length that just about fills one line.",),
    )
    return needs, vocabulary


def test_a_bar_reads_without_colour() -> None:
    """Solid to the low end, thinner to the estimate, thinnest to the high end, in proportion."""
    row = next(line for line in lines_of(needs_table(NEEDS, words())) if line.startswith("Closeouts"))
    assert (row.count("█"), row.count("▓")) == (4 + 1, 4)  # one full step is the last game's
    assert "4.0 (2.0–6.0)" in row
    assert row.endswith(" 9.1  0.45 ▁▅█    84/40")


def test_a_need_says_in_a_sentence_what_it_is_made_of() -> None:
    """The costliest breakdown's sentence, visible factors and a move stand under the bar; nothing is cut."""
    text = " ".join(" ".join(lines_of(needs_table(NEEDS, words(), rows=23))).split())
    assert f"{SENTENCE} x1.2 by your emphasis. x1.5 by the next opponent. Up lately." in text
    assert "the first breakdown of a possession alone" in text
    assert "317 watched in 5 games" in text
    assert "! Two lines were unclear." in text
    assert "31% of all points lost" not in text
    everything = " ".join(" ".join(lines_of(needs_table(NEEDS, words()))).split())
    assert f"{TREND} 31% of all points lost. 6 min carried over." in everything


@pytest.mark.parametrize("count", [1, 5, 14])
@pytest.mark.parametrize("rows", [23, 30, 60])
def test_the_top_fits_one_screen(count: int, rows: int) -> None:
    """The table never passes the screen, fills it, and says how many principles are left."""
    needs, vocabulary = many(count)
    lines = lines_of(needs_table(needs, vocabulary, 80, rows=rows))
    shown = sum(line.startswith("Principle") for line in lines)
    assert len(lines) <= rows
    if shown < count:
        assert f"{count - shown} more: --all" in lines
        assert len(lines) > rows - 3
    else:
        assert not any("--all" in line for line in lines)


def test_a_tiny_screen_still_shows_three() -> None:
    """Three principles are shown even where they pass the screen."""
    needs, vocabulary = many(14)
    assert (
        sum(line.startswith("Principle") for line in lines_of(needs_table(needs, vocabulary, rows=11))) == 3
    )


def test_context_stands_above() -> None:
    """What is played and whom we meet is said before the numbers."""
    lines = lines_of(needs_table(NEEDS, words(), context=("Next, 2026-12-05 v Oakenlade: tag x1.4.",)))
    assert lines[3] == "Next, 2026-12-05 v Oakenlade: tag x1.4."


def test_breakdowns_with_what_followed() -> None:
    """Seen, rate, cost, points lost and evidence in one line, its move below, what came after at the end."""
    lines = lines_of(breakdowns_table(NEEDS, words(), rows=23))
    row = next(line for line in lines if line.startswith("Late closeout"))
    assert re.search(r"27 +9\.1 \(6\.0–12\.0\) 0\.50 +4\.5 ▁▅█ +80/50$", row)
    assert "    Up: 9.1 per 100 in the last 3 games" in lines[lines.index(row) + 1]
    assert "After 'late closeout' came 'tagged and stayed' 4 times." in lines
    assert sum(line.startswith("After") for line in lines) == 1


def test_more_film() -> None:
    """Width now and then and the gain, best first, with the sentence of the best."""
    advice = (
        Advice("closeout", 4.0, 3.6, 0.1, "Closeouts: about 10% narrower."),
        Advice("tag", 2.5, 2.4, 0.04, ""),
    )
    lines = lines_of(more_film_table(advice, words(), ascii_only=True))
    assert lines[1] == "Closeouts: about 10% narrower."
    assert re.search(r"^Closeouts and contests +4\.0 -> 3\.6 +10%$", lines[3])
    assert "Nothing that is switched on" in plain_text(more_film_table((), words()))


def test_players_by_jersey() -> None:
    """One line each in the order given, no rate where none is known, cautions above."""
    line = PlayerLine("00", 12, 140, 8.4, 5.1, 12.3, ("closeout", "tag"))
    blank = PlayerLine("4", 0, 0, None, None, None)
    found = Players(True, 3, 7.7, (line, blank), 2, ("For the coaches, by jersey.",))
    lines = lines_of(players_table(found))
    assert lines[1] == "For the coaches, by jersey."
    assert re.search(r"^ +00 +12 +140 +8\.4 \(5\.1 to 12\.3\)  closeout, tag$", lines[-2])
    assert re.search(r"^ +4 +0 +0 +-$", lines[-1])


def test_ascii() -> None:
    """With ``ascii_only`` everything the program draws itself is ASCII."""
    for table in (needs_table, breakdowns_table):
        text = plain_text(table(NEEDS, words(), ascii_only=True))
        assert text.isascii()
    assert re.search(r"#{4}={4}-{4} ", plain_text(needs_table(NEEDS, words(), ascii_only=True)))


def test_nothing_seen() -> None:
    """No film and nothing taught give a table without rows and without failing."""
    nothing = Needs(dt.date(2026, 12, 2), 0, 0, (), ())
    for table in (needs_table, breakdowns_table):
        assert "0 watched in 0 games" in plain_text(table(nothing, words(), rows=23))


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=80), st.integers(20, 140))
def test_no_text_makes_a_line_too_wide(said: str, width: int) -> None:
    """No line passes the width (80 at least) nor holds an escape, whatever the words."""
    vocabulary = words(said, said)
    for table in (needs_table, breakdowns_table):
        lines = lines_of(table(NEEDS, vocabulary, width, context=(said,)), width)
        assert "\x1b" not in "".join(lines)
