"""The season on paper: the review as PDF, CSV or JSON, and the season's calendar."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from planner.desk.desk import Desk
from planner.desk.printing import PrintedFile, make_folder
from planner.problem import Refusal
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.paper.review import SeasonPaper

ENDINGS = (".pdf", ".csv", ".json", ".ics")


def print_season(
    desk: Desk,
    to: Path | None = None,
    *,
    since: dt.date | None = None,
    until: dt.date | None = None,
    paper: str = "letter",
    large: bool = False,
    overwrite: bool = False,
) -> PrintedFile:
    """Write the season as the file's ending asks: .pdf, .csv, .json, or .ics for its practices and games.

    Raises:
        Refusal: the ending is none of these, nothing was logged, or the file cannot be written.

    """
    from planner.paper.files import write_atomically

    target = to or desk.home / "prints" / "season.pdf"
    ending = target.suffix.lower()
    if ending not in ENDINGS:
        raise Refusal(f"'{clean_line(target.name, 60)}' ends in none of {', '.join(ENDINGS)}.")
    if ending == ".ics":
        from planner.desk.calendar import export_calendar

        return export_calendar(desk, target, since=since, until=until, overwrite=overwrite)
    found = season_paper(desk, since, until)
    notes: tuple[str, ...] = ()
    if ending == ".pdf":
        from planner.paper.review import season_pdf

        if paper not in {"letter", "a4"}:
            raise Refusal(f"'{clean_line(paper, 20)}' is no paper; say letter or a4.")
        printed = season_pdf(found, "a4" if paper == "a4" else "letter", large)
        data, notes = printed.data, (*printed.dropped, *printed.notes)
    else:
        from planner.paper.review_table import review_csv, review_json

        data = (review_csv(found) if ending == ".csv" else review_json(found)).encode()
    if to is None:
        make_folder(target.parent)
    return PrintedFile(write_atomically(target, data, overwrite), notes)


def season_paper(desk: Desk, since: dt.date | None = None, until: dt.date | None = None) -> SeasonPaper:
    """Gather what the season's review prints.

    Raises:
        Refusal: no practice was logged in that time.

    """
    from planner.desk.needs import assess_needs
    from planner.desk.words import vocabulary
    from planner.paper.review import Passed, SeasonPaper
    from planner.season.load import load_weeks
    from planner.season.review import review
    from planner.store import queries

    end = until or desk.today
    with desk.reading() as session:
        team = queries.team(session)
        begin = since or (team.season_start if team else None) or dt.date.min
        if begin > end:
            raise Refusal(
                f"The period would end on {end.isoformat()} before it starts on {begin.isoformat()}."
            )
        done = queries.done_practices(session, begin, end)
        reached = queries.progress_on(session, end)
        history = queries.progress(session)
        games = [one.date for one in queries.games(session, scouted=False)]
    if not done:
        raise Refusal("No practice is logged in that time; log one with 'stopsheet log'.")
    needs = assess_needs(desk, as_of=end)
    return SeasonPaper(
        team=team.name if team else "",
        since=max(begin, done[0].date) if begin == dt.date.min else begin,
        until=end,
        review=review(done, needs, reached),
        needs=needs,
        vocabulary=vocabulary(desk),
        passed=tuple(Passed(one.date, one.principle, one.stage, one.how) for one in history),
        loads=load_weeks(done, games, desk.today),
    )
