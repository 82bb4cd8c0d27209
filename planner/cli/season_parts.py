"""``stopsheet season minutes``, ``balance``, ``target``, ``progress``, ``accept``, and ``--compare``."""

from __future__ import annotations

import datetime as dt
import sys
from argparse import Namespace
from typing import TYPE_CHECKING, Any

from planner.cli.needs import plain_letters
from planner.cli.show import draw, say, say_json, width
from planner.clock import parse_date
from planner.desk import season_minutes as minutes_desk
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.printing import titles
from planner.desk.season_book import Book, open_book
from planner.desk.season_progress import accept as accept_proposal
from planner.desk.season_progress import progress_in, rule_of
from planner.desk.team import check_principle
from planner.problem import Refusal
from planner.season.ledger import stage_seconds
from planner.season.minutes import BESIDES, Week, month_of, weeks
from planner.text import clean_line

if TYPE_CHECKING:
    from rich.console import RenderableType

    from planner.season.progress import PrincipleProgress

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
NOTHING_LOGGED = "No practice is logged in that time; log one with 'stopsheet log'."


def show(what: RenderableType) -> None:
    """Show a view; as plain text where nobody watches."""
    if sys.stdout.isatty():
        draw(what)
        return
    from planner.paper.frame import plain_text

    say(plain_text(what, width()).rstrip("\n"))


def asked(arguments: Namespace, desk: Desk) -> Book:
    """Return the book of the period the command names, by default of the season."""
    since = parse_date(arguments.since, desk.today) if arguments.since else None
    until = parse_date(arguments.until, desk.today) if arguments.until else None
    return open_book(desk, since, until)


def minutes(arguments: Namespace) -> int:
    """Show minutes by week, month, stage or player, or planned beside done."""
    desk = open_desk()
    if arguments.principle:
        check_principle(desk, arguments.principle)
    book = asked(arguments, desk)
    if arguments.json:
        say_json(_minutes_json(desk, book, arguments.by))
        return 0
    if not book.done:
        say(NOTHING_LOGGED)
        return 1
    if arguments.by in {"week", "month"}:
        _tell_spans(desk, book, arguments)
        return 0
    from planner.paper import season_view as view

    if arguments.by == "stage":
        show(view.stages_table(stage_seconds(book.done), titles(desk), width()))
    elif arguments.by == "player":
        players = minutes_desk.player_minutes(desk, book)
        show(view.players_table(players, titles(desk), arguments.principle, width()))
    else:
        kept = minutes_desk.kept_plans(desk, book)
        if not kept.with_plan:
            say("No practice logged in that time had a plan to hold it against.")
            return 1
        show(view.kept_table(kept, titles(desk), width()))
    return 0


def _minutes_json(desk: Desk, book: Book, by: str) -> dict[str, Any]:
    head = {"since": book.since.isoformat(), "until": book.until.isoformat(), "by": by}
    if by == "stage":
        parts = stage_seconds(book.done)
        said = {stage: {key: one / 60 for key, one in part.items()} for stage, part in parts.items()}
        return {**head, "stages": said}
    if by == "player":
        return {**head, "players": [one.as_json() for one in minutes_desk.player_minutes(desk, book)]}
    if by == "plan":
        return {**head, **minutes_desk.kept_plans(desk, book).as_json()}
    spans = weeks(book.done, month_of) if by == "month" else weeks(book.done)
    return {**head, f"{by}s": [_span_json(one, by) for one in spans]}


def _span_json(one: Week, by: str) -> dict[str, Any]:
    return {by: one.week, "practices": one.practices, "minutes": one.minutes(), "total": one.total / 60}


def _tell_spans(desk: Desk, book: Book, arguments: Namespace) -> None:
    from planner.paper.season_view import season_table

    by_month = arguments.by == "month"
    spans = weeks(book.done, month_of) if by_month else weeks(book.done)
    rows = [
        (
            _MONTHS[int(one.week[5:]) - 1] if by_month else one.week,
            {
                key: spent
                for key, spent in one.minutes().items()
                if key not in BESIDES and arguments.principle in (None, key)
            },
            one.total / 60,
        )
        for one in spans
    ]
    from planner.desk.season import review_of

    needs = {
        one.principle: one.need_share
        for one in review_of(desk, book).principles
        if arguments.principle in (None, one.principle)
    }
    show(season_table(rows, needs, titles(desk), width(), plain_letters(), span=arguments.by))


def balance(arguments: Namespace) -> int:
    """Show share of the minutes beside share of the need over time."""
    desk = open_desk()
    book = asked(arguments, desk)
    found = minutes_desk.balance_of(desk, book, arguments.by == "month")
    if arguments.json:
        say_json({"by": arguments.by, "periods": [one.as_json() for one in found]})
        return 0
    if not found:
        say(NOTHING_LOGGED)
        return 1
    from planner.desk.season import review_of
    from planner.paper.season_view import balance_table, gap_line

    gaps = gap_line(review_of(desk, book), titles(desk))
    show(balance_table(found, titles(desk), gaps, width()))
    return 0


def target(arguments: Namespace) -> int:
    """Set a weekly target, or show all beside what was done."""
    desk = open_desk()
    if arguments.principle is not None:
        if arguments.minutes is None:
            raise Refusal(
                "A target needs its minutes a week; write it as 'stopsheet season target box-out 40'."
            )
        say(minutes_desk.set_target(desk, arguments.principle, arguments.minutes))
        say(UNDO_HINT)
        return 0
    rows = minutes_desk.targets_of(desk, asked(arguments, desk))
    if arguments.json:
        say_json({"targets": [one.as_json() for one in rows]})
        return 0
    if not rows:
        say("No targets are set; set one with: stopsheet season target PRINCIPLE MINUTES")
        return 1
    from planner.paper.season_view import targets_table

    show(targets_table(rows, titles(desk), width()))
    return 0


def progress(arguments: Namespace) -> int:
    """Show stages, scores and what is proposed; of one principle, its drills and history too."""
    desk = open_desk()
    if arguments.principle:
        check_principle(desk, arguments.principle)
    book = asked(arguments, desk)
    rule = rule_of(book.settings)
    rows = [one for one in progress_in(desk, book) if arguments.principle in (None, one.principle)]
    if arguments.json:
        say_json(
            {
                "level": rule.level,
                "half_life_days": rule.half_life,
                "prior": [1.0, 1.0],
                "principles": [one.as_json(rule) for one in rows],
                "history": _history(book, arguments.principle),
            }
        )
        return 0
    from planner.paper.season_work_view import drill_scores, progress_table

    quiet = not (arguments.all or arguments.principle)
    if arguments.principle:
        names = {one.id: one.title for one in desk.library.drills}
        show(drill_scores(rows[0], names, rule))
    show(progress_table(rows, titles(desk), rule, width(), quiet))
    if arguments.principle:
        _tell_history(book, rows[0])
    return 0


def _history(book: Book, principle: str | None) -> list[dict[str, Any]]:
    return [
        {
            "principle": one.principle,
            "stage": one.stage.value if one.stage else None,
            "date": one.date.isoformat(),
            "how": one.how,
        }
        for one in book.progress
        if principle in (None, one.principle)
    ]


def _tell_history(book: Book, row: PrincipleProgress) -> None:
    for one in _history(book, row.principle):
        say(clean_line(f"{one['date']}  {one['stage'] or 'none':10}{one['how']}"))


def accept(arguments: Namespace) -> int:
    """Take up a proposal."""
    say(accept_proposal(open_desk(), arguments.principle))
    say(UNDO_HINT)
    return 0


def compare(arguments: Namespace) -> int:
    """Show two periods side by side."""
    desk = open_desk()
    first, second = (_span(one, desk.today) for one in arguments.compare)
    found = minutes_desk.compare_periods(desk, first, second)
    if arguments.json:
        say_json(
            {
                "periods": [found.first.as_json(), found.second.as_json()],
                "principles": [one.as_json() for one in found.rows],
            }
        )
        return 0
    from planner.paper.season_view import compare_table

    show(compare_table((found.first, found.second), found.rows, titles(desk), width()))
    return 0


def _span(text: str, today: dt.date) -> tuple[dt.date, dt.date]:
    since, dots, until = text.partition("..")
    if not (since and dots and until):
        raise Refusal(f"'{clean_line(text, 40)}' is no period; write it as 2026-11-01..2026-11-30.")
    return parse_date(since, today), parse_date(until, today)
