"""The Season place: the heat map, need, trends, steps, load; emphasis, goals, steps taken up, periods."""

from __future__ import annotations

import re

import pytest
from pypdf import PdfReader

from planner.desk.desk import Desk
from planner.desk.season import season_overview
from planner.desk.season_progress import progress_in
from planner.screens.dialogs import ReadDialog
from planner.screens.season import SeasonPlace
from planner.screens.widgets.season_text import SHADES, spark, weeks_that_fit
from planner.season.load import CAUTIONS
from planner.season.minutes import BESIDES
from planner.season.review import mismatches
from planner.store import queries
from tests.running import TODAY
from tests.screens.steps import SIZES, answer, go, opened, options, press, shown, toasts


async def choose(place: SeasonPlace, pilot: object, principle: str) -> None:
    """Put the cursor on a principle."""
    assert place.shown is not None
    ids = [name for name, _ in place.shown.rows]
    place.query_one("#season-rows").highlighted = ids.index(principle)
    await press(pilot, "shift")


@pytest.mark.parametrize("size", SIZES)
async def test_the_heat_map_counts_every_minute(demo_desk: Desk, size: tuple[int, int]) -> None:
    """Each cell has a shade and its numeral; the sums are those of the season, whatever fits the screen."""
    async with opened(demo_desk, size) as (_, pilot):
        place = await go(pilot, "4", SeasonPlace)
        assert place.shown is not None
        found = season_overview(demo_desk)
        by_principle = {one.principle: one.minutes for one in found.review.principles}
        weeks = weeks_that_fit(place._width())
        for principle, text in place.shown.rows:
            cells = re.findall(rf"([{SHADES}]) *(\d+)", text.plain)
            assert len(cells) == min(weeks, len(place.shown.head.split()) - 1)
            assert all((shade == "·") == (number == "0") for shade, number in cells)
            assert text.plain.split()[-1] == f"{by_principle[principle]:.0f}"
        taught = sum(by_principle.values())
        everything = sum(one.seconds for one in found.book.done) / 60
        rest = sum(v for w in found.review.weeks for k, v in w.seconds.items() if k in BESIDES) / 60
        assert taught + rest == pytest.approx(everything)
        assert place.shown.foot[0].split()[-1] == f"{rest:.0f}"
        assert place.shown.foot[1].split()[-1] == f"{everything:.0f}"


async def test_weeks_without_practice_have_a_column_and_earlier_ones_are_reached(demo_desk: Desk) -> None:
    """The weeks shown follow one another without a gap; [ goes back until the first, ] forward again."""
    async with opened(demo_desk, (60, 24)) as (_, pilot):
        place = await go(pilot, "4", SeasonPlace)
        assert place.shown is not None
        newest = place.shown.head.split()
        await press(pilot, "left_square_bracket")
        assert place.shown.head.split()[1:-1] == newest[:-2]
        place.action_weeks(40)
        oldest = place.shown.head.split()
        assert len(oldest) == len(newest)
        assert oldest[0] != newest[0]
        first = min(one.date for one in season_overview(demo_desk).book.done)
        assert oldest[0] == f"W{first.isocalendar().week:02}"
        place.action_weeks(-40)
        await press(pilot, "right_square_bracket")
        assert place.shown.head.split() == newest


async def test_the_gaps_between_minutes_and_need_are_said_in_words(demo_desk: Desk) -> None:
    """Need shows both shares for each principle and the largest gaps as sentences."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        await press(pilot, "n")
        review = season_overview(demo_desk).review
        titles = {one.id: one.title for one in demo_desk.library.vocabulary.principles}
        for sentence in mismatches(review, titles):
            assert sentence in shown(app, "#season-words")
        assert place.shown is not None
        rows = dict(place.shown.rows)
        for one in review.principles:
            shares = re.findall(r"(\d+)%", rows[one.principle].plain)
            assert shares == [f"{one.minutes_share * 100:.0f}", f"{one.need_share * 100:.0f}"]


async def test_trends_come_with_intervals_and_say_what_they_are_not(demo_desk: Desk) -> None:
    """Every principle has points lost with an interval around them; association is not called cause."""
    async with opened(demo_desk, (120, 40)) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        await press(pilot, "r")
        assert place.shown is not None
        for _, text in place.shown.rows:
            found = re.search(r"(\d+\.\d) \((\d+\.\d)–(\d+\.\d)\)", text.plain)
            assert found
            assert float(found[2]) <= float(found[1]) <= float(found[3])
        assert "Association, not cause" in shown(app, "#season-words")


async def test_a_step_proposed_is_taken_up_and_undone(demo_desk: Desk) -> None:
    """Key a takes the step proposed for the principle; u takes it back; without one it refuses."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        await press(pilot, "s")
        rows = progress_in(demo_desk, season_overview(demo_desk).book)
        one = next(row for row in rows if row.proposal)
        other = next(row for row in rows if not row.proposal)
        await choose(place, pilot, one.principle)
        assert one.proposal is not None
        assert one.proposal.why in shown(app, "#season-words")
        await press(pilot, "a")
        with demo_desk.reading() as session:
            assert queries.progress_on(session, TODAY).get(one.principle) == one.proposal.stage
        await press(pilot, "u")
        with demo_desk.reading() as session:
            assert queries.progress_on(session, TODAY).get(one.principle) == one.passed
        await choose(place, pilot, other.principle)
        await press(pilot, "a")
        assert isinstance(app.screen, ReadDialog)
        assert "Nothing is proposed" in app.screen._text


async def test_load_is_shown_with_its_cautions(demo_desk: Desk) -> None:
    """Load has a row a week, newest first, and the usual cautions below it."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        await press(pilot, "l")
        assert place.shown is not None
        weeks = [one.week for one in season_overview(demo_desk).loads.weeks]
        assert [name for name, _ in place.shown.rows] == weeks[::-1]
        for caution in CAUTIONS:
            assert caution in shown(app, "#season-words")


async def test_parts_change_by_letter_and_by_arrow(demo_desk: Desk) -> None:
    """The present part stands in brackets; the arrows go round all five."""
    async with opened(demo_desk) as (app, pilot):
        await go(pilot, "4", SeasonPlace)
        for title in ("n Need", "r Trends", "s Steps", "l Load", "m Minutes"):
            await press(pilot, "right")
            assert f"[{title}]" in shown(app, "#season-parts")
        await press(pilot, "left")
        assert "[l Load]" in shown(app, "#season-parts")


async def test_an_emphasis_is_set_and_undone(demo_desk: Desk) -> None:
    """Key e weighs the principle under the cursor from today on; a word that is no number is refused."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        await choose(place, pilot, "tag")
        await press(pilot, "e")
        await answer(pilot, "1,5")
        assert "tag counts x1.5 from 2027-01-13" in toasts(app)
        with demo_desk.reading() as session:
            assert queries.emphasis_on(session, TODAY)["tag"] == 1.5
        await press(pilot, "n")
        assert place.shown is not None
        assert "x1.5" in dict(place.shown.rows)["tag"].plain
        await press(pilot, "u")
        with demo_desk.reading() as session:
            assert "tag" not in queries.emphasis_on(session, TODAY)
        await choose(place, pilot, "tag")
        await press(pilot, "e")
        await answer(pilot, "much")
        assert isinstance(app.screen, ReadDialog)
        assert "'much' is no number" in app.screen._text


async def test_a_goal_of_minutes_a_week_is_set(demo_desk: Desk) -> None:
    """Key g sets how many minutes a week a principle is to get, and the row says how often it did."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        await choose(place, pilot, "transition")
        await press(pilot, "g")
        await answer(pilot, "20")
        assert "Wanted: 20 minutes a week" in shown(app, "#season-words")


async def test_the_period_can_be_four_weeks_or_since_a_day(demo_desk: Desk) -> None:
    """Key w narrows everything to the last four weeks or to what came since a day; a bad day is refused."""
    async with opened(demo_desk) as (app, pilot):
        place = await go(pilot, "4", SeasonPlace)
        whole = shown(app, "#season-line")
        await press(pilot, "w", "down", "enter")
        assert shown(app, "#season-line").startswith("2026-12-16 to 2027-01-13")
        assert shown(app, "#season-line") != whole
        await press(pilot, "w", "down", "down", "enter")
        await answer(pilot, "2026-11-01")
        assert shown(app, "#season-line").startswith("2026-11-01 to 2027-01-13")
        await press(pilot, "w", "down", "down", "enter")
        await answer(pilot, "3/4")
        assert isinstance(app.screen, ReadDialog)
        await press(pilot, "escape", "w", "enter")
        assert shown(app, "#season-line") == whole
        assert place.since is None


async def test_heat_is_answered_with_source_and_caution(demo_desk: Desk) -> None:
    """Key h shows what the heat tables ask for at a reading; a reading that cannot be is refused."""
    async with opened(demo_desk) as (app, pilot):
        await go(pilot, "4", SeasonPlace)
        await press(pilot, "h")
        await answer(pilot, "88.1F")
        assert isinstance(app.screen, ReadDialog)
        assert "At a WBGT of 88.1 F (31.2 C)" in app.screen._text
        await press(pilot, "escape", "h")
        await answer(pilot, "hot")
        assert isinstance(app.screen, ReadDialog)
        assert "is no temperature" in app.screen._text


async def test_the_season_is_printed(demo_desk: Desk) -> None:
    """Key p writes the season's PDF in a process of its own and says where."""
    async with opened(demo_desk) as (app, pilot):
        await go(pilot, "4", SeasonPlace)
        await press(pilot, "p")
        assert isinstance(app.screen, ReadDialog)
        assert PdfReader(demo_desk.home / "prints" / "season.pdf").pages


async def test_copying_takes_the_part_that_is_shown(demo_desk: Desk) -> None:
    """Key c copies head, rows and what stands below, of the part on screen."""
    async with opened(demo_desk) as (app, pilot):
        await go(pilot, "4", SeasonPlace)
        await press(pilot, "s", "c")
        assert app.clipboard.startswith("Steps: ")
        assert "works at" in app.clipboard
        rows = options(app, "#season-rows")
        assert all(one.rstrip() in app.clipboard for one in rows)


def test_sparks_rise_with_their_values() -> None:
    """The highest value has the highest bar, nothing has the lowest, and no values have no bars."""
    assert spark([0.0, 4.0, 8.0]) == "▁▅█"
    assert spark([0.0, 0.0]) == "▁▁"
    assert spark([]) == ""
