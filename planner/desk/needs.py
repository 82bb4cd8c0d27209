"""What costs us most, from all film that is in."""

from __future__ import annotations

import datetime as dt

from planner.desk.desk import Desk
from planner.need.estimate import Needs
from planner.season.minutes import minutes_by_practice
from planner.store import queries


def assess_needs(desk: Desk, as_of: dt.date | None = None) -> Needs:
    """Return the needs as of a day (today): film, emphasis, what is taught, and minutes carried over."""
    from planner.need.carry import carry_over
    from planner.need.needs import assess
    from planner.need.settings import NeedSettings

    day = as_of or desk.today
    with desk.reading() as session:
        games = queries.watched_games(session, day)
        settings = queries.settings(session)
        emphasis = queries.emphasis_on(session, day)
        off = queries.switched_off(session)
        done = queries.done_practices(session, dt.date.min, day)
        unknown = queries.unknown_exposure(session, day)
    carried = carry_over(minutes_by_practice(done), day, half_life_days=float(settings.get("half-life", 14)))
    plain = NeedSettings()
    found = assess(
        games,
        desk.library.vocabulary,
        day,
        NeedSettings(
            half_life_games=float(settings.get("film-half-life", plain.half_life_games)),
            emphasis=emphasis,
            off=off,
            carried=carried,
        ),
    )
    if not unknown:
        return found
    from dataclasses import replace

    names = ", ".join(one.file for one in unknown)
    note = f"Left out, because nobody says how many possessions were watched: {names}."
    return replace(found, notes=(*found.notes, note))
