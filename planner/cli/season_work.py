"""``stopsheet season evidence``, ``learn``, ``load``, ``limits`` and ``scout``."""

from __future__ import annotations

from argparse import Namespace
from typing import Any

from planner.build.brief import Rules
from planner.cli.season_parts import NOTHING_LOGGED, asked, show
from planner.cli.show import say, say_json, width
from planner.clock import parse_date
from planner.desk import season_load as load_desk
from planner.desk.desk import UNDO_HINT, Desk, open_desk
from planner.desk.printing import titles
from planner.desk.season_book import Book
from planner.problem import Refusal
from planner.season.evidence import BY_ITSELF, NOT_CAUSE, Evidence
from planner.season.heat import CAUTIONS, parse_reading
from planner.season.load import CAUTIONS as LOAD_CAUTIONS
from planner.season.load import CONTACT
from planner.text import clean_line


def evidence(arguments: Namespace) -> int:
    """Show rates before and under each emphasis; of one principle, its run chart too."""
    from planner.desk.season_evidence import chart_of, evidence_in, evidence_since

    desk = open_desk()
    book = asked(arguments, desk)
    principle = arguments.principle
    chart = chart_of(desk, book, principle) if principle else None
    rows: tuple[Evidence, ...]
    if arguments.split:
        if principle is None:
            raise Refusal("Say which principle to split, as in 'stopsheet season evidence tag --split DATE'.")
        rows = (evidence_since(desk, book, principle, parse_date(arguments.split, desk.today)),)
    else:
        rows = tuple(one for one in evidence_in(desk, book) if principle in (None, one.spell.principle))
    if arguments.json:
        said: dict[str, Any] = {
            "evidence": [one.as_json() for one in rows],
            "cautions": [NOT_CAUSE, BY_ITSELF],
        }
        if chart is not None:
            days = [one.isoformat() for one in chart.days]
            said["run_chart"] = {"principle": principle, "dates": days, **chart.chart.as_json()}
        say_json(said)
        return 0
    from planner.paper.season_work_view import chart_view, evidence_view

    if rows:
        show(evidence_view(rows, titles(desk), width()))
    else:
        say("No emphasis began in that time: stopsheet team emphasis PRINCIPLE FACTOR, or --split DATE.")
    if chart is not None:
        show(chart_view(chart.days, chart.chart, titles(desk).get(principle, principle), width()))
    return 0 if rows or chart else 1


def learn(arguments: Namespace) -> int:
    """Show what the season says of r, tau and half-life; use it only when told to."""
    from planner.desk.season_evidence import learning_in, use_learning

    desk = open_desk()
    book = asked(arguments, desk)
    found = learning_in(desk, book)
    if arguments.use:
        said = use_learning(desk, found)
        if found.little:
            said += " Mind: the season told next to nothing about them."
    if arguments.json:
        say_json({**found.as_json(), "in_use": _in_use(book), "used": bool(arguments.use)})
        return 0
    if arguments.use:
        say(said)
        say(UNDO_HINT)
        return 0
    from planner.paper.season_work_view import learning_view

    show(learning_view(found, _in_use(book), width()))
    return 0


def _in_use(book: Book) -> dict[str, float]:
    plain = Rules()
    usual = {"r": plain.r, "tau": plain.tau, "half-life": 14.0}
    return {key: float(book.settings.get(key, value)) for key, value in usual.items()}


def load(arguments: Namespace) -> int:
    """Show loads and hours, or what heat asks for."""
    desk = open_desk()
    book = asked(arguments, desk)
    if arguments.heat is not None:
        return _heat(book, arguments)
    found = load_desk.loads_in(desk, book)
    cautions = [*LOAD_CAUTIONS, *([CONTACT] if found.contact else [])]
    if arguments.json:
        say_json(
            {
                "weeks": [one.as_json() for one in found.weeks],
                "hours": [one.as_json() for one in found.hours],
                "limits": found.limits.as_json() if found.limits else None,
                "cautions": cautions,
            }
        )
        return 0
    if not book.done:
        say(NOTHING_LOGGED)
        return 1
    from planner.paper.season_load_view import load_view

    limits = load_desk.limit_words(found.limits) if found.limits else ""
    most = None if arguments.all else 8
    show(load_view(found.weeks, found.hours, limits, found.contact, width(), most))
    return 0


def _heat(book: Book, arguments: Namespace) -> int:
    reading = parse_reading(arguments.heat)
    tables = load_desk.heat_for(book, arguments.region)
    if arguments.json:
        said = [one.as_json(reading) for one in tables]
        say_json({"wbgt_f": reading, "tables": said, "cautions": list(CAUTIONS)})
        return 0
    from planner.paper.season_load_view import heat_view

    show(heat_view(tables, reading, width()))
    return 0


def limits(arguments: Namespace) -> int:
    """Show or set the limits that hours are held against, and the heat table."""
    desk = open_desk()
    changes = {
        "week_hours": arguments.week,
        "day_hours": arguments.day,
        "session_hours": arguments.session,
        "days": arguments.days,
        "contest_hours": arguments.contest,
    }
    told = []
    if arguments.off:
        told.append(load_desk.clear_limits(desk))
    elif arguments.preset or any(one is not None for one in changes.values()):
        told.append(load_desk.set_limits(desk, arguments.preset, changes))
    if arguments.region:
        told.append(load_desk.set_region(desk, arguments.region))
    if told:
        for one in told:
            say(one)
        say(UNDO_HINT)
        return 0
    return _show_limits(desk, arguments)


def _show_limits(desk: Desk, arguments: Namespace) -> int:
    arguments.since = arguments.until = None
    book = asked(arguments, desk)
    now = load_desk.limits_in(book)
    known = load_desk.presets()
    if arguments.json:
        said = {"set": now.as_json() if now else None, "presets": [one.as_json() for one in known]}
        say_json({**said, "heat_tables": [one.id for one in load_desk.heat_tables()]})
        return 0
    from planner.paper.season_load_view import presets_view

    words = [load_desk.limit_words(one.limits) for one in known]
    show(presets_view(known, words, load_desk.limit_words(now) if now else "", width()))
    return 0


def scout(arguments: Namespace) -> int:
    """Show what film of an opponent suggests, or add a game that was only scouted."""
    from planner.desk.season_scout import add_scouted, scout_opponent

    desk = open_desk()
    if arguments.film:
        say(add_scouted(desk, arguments.opponent, parse_date(arguments.film, desk.today)))
        say(UNDO_HINT)
        return 0
    arguments.since = arguments.until = None
    found = scout_opponent(desk, asked(arguments, desk), arguments.opponent)
    game = found.game
    if arguments.json:
        ahead = {"game": game.id, "date": game.date.isoformat()} if game else None
        say_json({"opponent": found.opponent, "next_game": ahead, **found.report.as_json()})
        return 0
    from planner.paper.season_work_view import scout_view

    when = f"{game.date.isoformat()} v {clean_line(game.opponent, 60)}" if game else ""
    show(scout_view(found.opponent, found.report, titles(desk), width(), when))
    return 0
