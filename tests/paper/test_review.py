"""The season's review: two pages, its numbers as data, and its words."""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
import json
import re

import pytest
from pypdf import PdfReader

from planner.drills.vocabulary import Breakdown, Principle, Stage, Vocabulary
from planner.need.estimate import BreakdownEstimate, Needs, PrincipleNeed
from planner.paper import review as review_module
from planner.paper.review import MOST_WEEKS, Passed, SeasonPaper, _heat, grouped, passed_days, season_pdf
from planner.paper.review_table import HEAD, review_csv, review_json
from planner.problem import Refusal
from planner.season.load import load_weeks
from planner.season.record import DonePractice, DoneSegment
from planner.season.review import review
from tests.pdf import assert_accessible, assert_looks_like, pictures_of, text_of

UNTIL = dt.date(2026, 11, 25)
TITLES = ("Closeouts", "Box out", "Tag and rotate", "Transition", "Post defence")
KEYS = ("closeout", "box-out", "tag", "transition", "post")


def vocabulary() -> Vocabulary:
    return Vocabulary(
        tuple(Principle(key, title, "") for key, title in zip(KEYS, TITLES, strict=True)),
        tuple(
            Breakdown(f"{key}-{n}", f"{title} gone wrong {n}", key, None, "", 1.0, 2.0, 0.5)
            for key, title in zip(KEYS, TITLES, strict=True)
            for n in (1, 2)
        ),
    )


def needs() -> Needs:
    shares = (0.4, 0.3, 0.15, 0.1, 0.05)
    return Needs(
        UNTIL,
        412,
        7,
        tuple(
            PrincipleNeed(key, 5 * share, 4 * share, 6 * share, 3.0, 0.5, share)
            for key, share in zip(KEYS, shares, strict=True)
        ),
        tuple(
            BreakdownEstimate(
                f"{key}-{n}", 12 - n, 6 * share + n, 4 * share, 9 * share + 2 * n, 0.5, 0.2, 0.8, 0.8, 0.5,
                "library", False, (1.0, 2.0), trend="Down: 1 in the last 3." if n == 1 else "",
            )
            for key, share in zip(KEYS, shares, strict=True)
            for n in (1, 2)
        ),
    )  # fmt: skip


def practice(day: dt.date, minutes: dict[str, int], rating: int | None = 6) -> DonePractice:
    segments = [DoneSegment("warm-up", "Warm-up", 600)]
    segments += [
        DoneSegment("drill", key, 60 * spent, key, "live", {key: 20}, 6) for key, spent in minutes.items()
    ]
    return DonePractice(str(day), day, 18 * 60, tuple(segments), (), rating)


def season(*practices: DonePractice, passed: tuple[Passed, ...] = ()) -> SeasonPaper:
    done = practices or tuple(
        practice(dt.date(2026, 10, 5) + dt.timedelta(days=7 * n), {"closeout": 10 + 4 * n, "box-out": 20 - n})
        for n in range(7)
    )
    stages = {
        key: max(row, key=lambda one: one.rank) for key, row in passed_days(passed, UNTIL).items() if row
    }
    return SeasonPaper(
        "Fernhill Under-16 girls",
        done[0].date,
        UNTIL,
        review(done, needs(), stages),
        needs(),
        vocabulary(),
        passed,
        load_weeks(done, [], UNTIL),
    )


PASSED = (
    Passed(dt.date(2026, 10, 6), "closeout", Stage.GUIDED),
    Passed(dt.date(2026, 10, 20), "closeout", Stage.LIVE),
    Passed(dt.date(2026, 10, 8), "box-out", Stage.CONTESTED),
    Passed(dt.date(2026, 11, 3), "box-out", Stage.WALK),
    Passed(dt.date(2026, 12, 3), "tag", Stage.LIVE),
)


@pytest.mark.parametrize("page", ["letter", "a4"])
def test_the_review_is_two_accessible_pages_and_the_same_twice(page: str) -> None:
    """Two tagged pages with five tables or charts, each under a heading; equal bytes for equal input."""
    paper = season(passed=PASSED)
    printed = season_pdf(paper, page)  # type: ignore[arg-type]
    assert printed.pages == len(PdfReader(io.BytesIO(printed.data)).pages) == 2
    assert printed.dropped == ()
    found = assert_accessible(printed.data)
    roles = [one.role for one in found]
    assert roles.count("/Table") == 4
    assert roles.count("/H2") == 5
    (chart,) = [one for one in found if one.role == "/Figure"]
    assert re.match(r"Chart of load per week, by the week's Monday: 5 Oct 2\d\d,", chart.alt)
    assert season_pdf(paper, page).data == printed.data  # type: ignore[arg-type]


def test_every_number_of_the_charts_stands_beside_them() -> None:
    """What is drawn is also written: minutes, shares, rates with intervals, days of stages."""
    text = text_of(season_pdf(season(passed=PASSED)).data)
    assert "Closeouts 10 14 18 22 26 30 34 154" in text
    assert re.search(r"Closeouts 5\d % 40 %", text)
    assert "Closeouts Closeouts gone wrong 1 11 3.4 (1.6–5.6) 0.50 1.7" in text
    assert "Closeouts 6 Oct 6 Oct 20 Oct 20 Oct" in text
    assert "Box out 8 Oct – – –" in text
    assert "7 practices" in text
    assert "412 possessions" in text


def test_the_words_say_what_the_charts_show() -> None:
    """Most minutes, what was left alone, the largest differences, what moved, the heaviest week."""
    text = text_of(season_pdf(season(passed=PASSED)).data)
    assert "Most minutes went to Closeouts (154) and Box out (119)." in text
    assert "Needed but left alone for three weeks: Tag and rotate (never), Transition (never)" in text
    assert "Tag and rotate: 0 % of the minutes, 15 % of the need: less time than it asks for." in text
    assert "Closeouts gone wrong 1 – down: 1 in the last 3." in text
    assert "Live: Closeouts. Walk: Box out." in text
    assert "Nothing passed yet: Tag and rotate; Transition; Post defence." in text
    assert "The heaviest week began 16 Nov" in text
    assert "ask a licensed professional" in text


def test_a_stage_taken_back_is_no_longer_passed() -> None:
    """The table shows what counts on the last day; later entries and what was taken back are gone."""
    days = passed_days(PASSED, UNTIL)
    assert days["closeout"] == {
        Stage.WALK: dt.date(2026, 10, 6),
        Stage.GUIDED: dt.date(2026, 10, 6),
        Stage.CONTESTED: dt.date(2026, 10, 20),
        Stage.LIVE: dt.date(2026, 10, 20),
    }
    assert days["box-out"] == {Stage.WALK: dt.date(2026, 10, 8)}
    assert "tag" not in days
    gone = passed_days([*PASSED, Passed(dt.date(2026, 11, 20), "closeout", None)], UNTIL)
    assert gone["closeout"] == {}


def test_cells_add_up_and_empty_weeks_stand() -> None:
    """Rows sum to the minutes taught, columns to the week, and a week without practice has a column."""
    paper = season(
        practice(dt.date(2026, 10, 5), {"closeout": 30, "tag": 10}),
        practice(dt.date(2026, 10, 19), {"closeout": 5}),
    )
    heat = _heat(paper)
    assert heat["weeks"] == ["5 Oct", "12 Oct", "19 Oct"]
    rows = {row["title"]: [cell["text"] for cell in row["cells"]] for row in heat["rows"]}
    assert rows["Closeouts"] == ["30", "–", "5"]
    assert rows["Everything else"] == ["10", "–", "10"]
    assert rows["All minutes"] == ["50", "–", "15"]
    dark = [cell["dark"] for row in heat["rows"] for cell in row["cells"]]
    assert max(dark) == 0.42


def test_a_long_season_keeps_its_last_weeks_and_sums_the_rest() -> None:
    """Forty weeks are two pages still: the first fourteen share a column, and no minute is lost."""
    done = [practice(dt.date(2026, 2, 2) + dt.timedelta(days=7 * n), {"tag": 7}) for n in range(40)]
    paper = season(*done)
    heat = _heat(paper)
    assert len(heat["weeks"]) == MOST_WEEKS + 1
    (row,) = [one for one in heat["rows"] if one["title"] == "Tag and rotate"]
    assert row["cells"][0] == {"text": str(14 * 7), "dark": 0.42}
    assert {cell["dark"] for cell in row["cells"][1:]} == {0.42}  # a week is compared with weeks
    assert row["sum"] == str(40 * 7)
    assert season_pdf(paper).pages == 2


def test_breakdowns_stand_under_the_principle_they_fail() -> None:
    """Groups by falling need, none lost."""
    groups = grouped(season())
    assert [key for key, _ in groups] == list(KEYS)
    assert sum(len(rows) for _, rows in groups) == 10


def test_sessions_without_a_rating_are_told() -> None:
    """A week that misses a rating is drawn white and the text says how many there are."""
    paper = season(
        practice(dt.date(2026, 10, 5), {"tag": 10}),
        practice(dt.date(2026, 10, 7), {"tag": 10}, None),
    )
    assert "1 of 2 sessions had no rating" in text_of(season_pdf(paper).data)
    bare = season(practice(dt.date(2026, 10, 5), {"tag": 10}, None))
    assert "no load to show" in text_of(season_pdf(bare).data)


def test_the_table_is_one_csv_with_every_number() -> None:
    """RFC 4180: CRLF, as many fields in every row; text that would run as a formula is quoted, -3 is not."""
    paper = dataclasses.replace(season(passed=PASSED), team='=HYPERLINK("x"), "Otters"')
    text = review_csv(paper)
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert tuple(rows[0]) == HEAD
    assert {len(row) for row in rows} == {len(HEAD)}
    assert rows[1][3] == "made by stopsheet"
    assert rows[2][3] == '\'=HYPERLINK("x"), "Otters"'
    minutes = [float(row[3]) for row in rows if row[:2] == ["minutes", "closeout"]]
    assert minutes == [10, 14, 18, 22, 26, 30, 34]
    assert ["rates", "closeout-1", "per 100", "3.4", "1.6", "5.6"] in rows
    assert ["passed", "closeout", "live", "2026-10-20", "", ""] in rows


def test_the_same_as_json() -> None:
    """JSON holds period, review, needs, stages and loads under lasting names."""
    found = json.loads(review_json(season(passed=PASSED)))
    assert set(found) == {"made", "team", "since", "until", "review", "needs", "passed", "load"}
    assert found["passed"]["closeout"]["live"] == "2026-10-20"
    assert len(found["load"]) == 7
    assert found["review"]["weeks"][0]["minutes"]["closeout"] == 10


def test_nothing_logged_is_refused() -> None:
    """A review of nothing, and a strange paper, are refused in a sentence."""
    paper = season()
    empty = dataclasses.replace(paper, review=review([], needs(), {}))
    with pytest.raises(Refusal, match="No practice is logged"):
        season_pdf(empty)
    with pytest.raises(Refusal, match="no paper"):
        season_pdf(paper, "a3")  # type: ignore[arg-type]


def test_large_print_keeps_twelve_points() -> None:
    """Large print takes the pages it needs and says so if they are more than two."""
    printed = season_pdf(season(), large=True)
    assert printed.size == 12
    assert bool(printed.dropped) == (printed.pages > 2)


def test_the_review_looks_as_it_was_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """Both pages match the pictures kept, within what smoothing of edges may differ."""
    found = pictures_of(monkeypatch, review_module, lambda: season_pdf(season(passed=PASSED)))
    assert len(found) == 2
    for number, png in enumerate(found, 1):
        assert_looks_like(f"review-{number}", png)
