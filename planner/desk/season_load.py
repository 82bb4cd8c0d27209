"""Load, hours and heat: figures and cautions for a coach; nothing here decides."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from planner import data
from planner.desk.desk import Desk
from planner.desk.season_book import LIMITS, REGION, Book
from planner.problem import Refusal
from planner.season import heat, limits
from planner.season.heat import HeatTable
from planner.season.limits import HoursWeek, Limits, Preset, hours_weeks, limits_from
from planner.season.load import LoadWeek, has_contact, load_weeks
from planner.season.minutes import iso_week
from planner.store import queries
from planner.text import clean_line


@dataclass(frozen=True, slots=True)
class Loads:
    """The period's loads and hours by week, the limits held against, and whether there was contact."""

    weeks: tuple[LoadWeek, ...]
    hours: tuple[HoursWeek, ...]
    limits: Limits | None
    contact: bool

    def hours_of(self, week: str) -> HoursWeek | None:
        """Return the hours of a week, if it had any."""
        return next((one for one in self.hours if one.week == week), None)


def loads_in(desk: Desk, book: Book) -> Loads:
    """Return loads and hours; the plans of this week and later that wait are in the hours."""
    chosen = limits_in(book)
    with desk.reading() as session:
        current = book.until >= desk.today
        end = book.until + dt.timedelta(days=6 - book.until.weekday()) if current else book.until
        played = queries.game_days(session, book.since, end)
        planned = queries.planned_practices(session, desk.today, end) if current else ()
    logged = {one.practice for one in book.done}
    waiting = [one for one in planned if one.practice not in logged]
    hours = hours_weeks(book.done, waiting, played, chosen or Limits())
    return Loads(load_weeks(book.done, played, desk.today), hours, chosen, has_contact(book.done))


def limits_in(book: Book) -> Limits | None:
    """Return the limits that are set, or None."""
    found = book.settings.get(LIMITS)
    return limits_from(found) if isinstance(found, dict) else None


def this_week(desk: Desk, found: Loads) -> tuple[LoadWeek | None, HoursWeek | None]:
    """Return load and hours of the running week."""
    label = iso_week(desk.today)
    return next((one for one in found.weeks if one.week == label), None), found.hours_of(label)


def presets() -> tuple[Preset, ...]:
    """Return the limits that ship with the library."""
    return limits.read_presets((data.drill_library() / limits.FILE).read_text("utf-8"))[0]


def heat_tables() -> tuple[HeatTable, ...]:
    """Return the heat tables that ship with the library."""
    return heat.read_tables((data.drill_library() / heat.FILE).read_text("utf-8"))[0]


def heat_for(book: Book, region: str | None) -> tuple[HeatTable, ...]:
    """Return the region's table (as asked or as set); all of them where none was chosen.

    Raises:
        Refusal: there is no such table.

    """
    tables = heat_tables()
    name = region or book.settings.get(REGION)
    return (heat.find_table(tables, str(name)),) if name else tables


def set_region(desk: Desk, region: str) -> str:
    """Choose the heat table to go by.

    Raises:
        Refusal: there is no such table.

    """
    table = heat.find_table(heat_tables(), region)
    with desk.writing() as session:
        before = queries.set_setting(session, REGION, table.id)
        desk.note(session, "setting", f"heat table {table.id}", {"key": REGION, "before": before})
    return f"Heat is read by '{table.title}' ({table.source}; {table.year})."


def find_preset(name: str) -> Preset:
    """Return the preset of that id.

    Raises:
        Refusal: there is none.

    """
    known = presets()
    for one in known:
        if one.id == name:
            return one
    names = ", ".join(one.id for one in known)
    raise Refusal(f"'{clean_line(name, 40)}' is no preset; they are: {names}.")


def set_limits(desk: Desk, preset: str | None, changes: dict[str, float | None]) -> str:
    """Set the limits: a preset's, or those that stood, with the changes.

    Raises:
        Refusal: there is no such preset, or a limit is out of range.

    """
    known = find_preset(preset) if preset else None
    for key, value in changes.items():
        if value is not None and not 0 < value <= limits.MOST[key]:
            said = key.replace("_", " ")
            raise Refusal(
                f"{value:g} for {said} is out of range; give more than 0, at most {limits.MOST[key]:g}."
            )
    with desk.writing() as session:
        stood = queries.setting(session, LIMITS)
        base = known.limits if known else limits_from(stood if isinstance(stood, dict) else {})
        said_now = {key: value for key, value in changes.items() if value is not None}
        if "days" in said_now:
            said_now["days"] = int(said_now["days"])
        made = limits_from({**base.as_json(), **said_now})
        if said_now:
            source = f"{known.limits.source}, changed by the coach" if known else "the coach"
            made = replace(made, source=source, year=made.year if known else "")
        before = queries.set_setting(session, LIMITS, made.as_json())
        desk.note(session, "setting", "limits on hours", {"key": LIMITS, "before": before})
    return f"Hours are held against: {limit_words(made)}."


def clear_limits(desk: Desk) -> str:
    """Hold the hours against nothing."""
    with desk.writing() as session:
        before = queries.remove_setting(session, LIMITS)
        if before is None:
            return "No limits were set."
        desk.note(session, "setting", "limits on hours off", {"key": LIMITS, "before": before})
    return "Hours are held against nothing any more."


def limit_words(one: Limits) -> str:
    """Return limits as one line."""
    parts = [
        f"{value:g} h a {name}"
        for name, value in (("week", one.week_hours), ("day", one.day_hours), ("session", one.session_hours))
        if value is not None
    ]
    parts += [f"{one.days} days a week"] if one.days is not None else []
    parts += [f"a game day counts {one.contest_hours:g} h"] if one.contest_hours else []
    parts += ["no practice after a game"] if one.none_after_contest else []
    said = ", ".join(parts) or "nothing"
    source = f"{one.source}; {one.year}" if one.year else one.source
    return f"{said} ({source})"
