"""The calendar both ways: practices and games for other calendars, a school's games and closings for ours."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.clock import clock_text
from planner.desk.desk import Desk
from planner.desk.printing import PrintedFile, make_folder
from planner.desk.zone import team_zone
from planner.paper.calendar import Entry, calendar_file
from planner.problem import Refusal
from planner.store import queries
from planner.text import clean_line

if TYPE_CHECKING:
    from sqlmodel import Session

    from planner.build.plan import Plan
    from planner.season.record import DonePractice
    from planner.store.values import GameInfo

SENT = "calendar-sent"
"""Setting: what other calendars were given, so that they change an entry instead of adding it again."""

READ = "calendar-read"
"""Setting: what was taken in from calendar files, by event."""

_KEPT_CANCELLED = 30
"""Days after which an entry that is no longer there is no longer called off."""
_KINDS = {"warm-up": "Warm-up", "water": "Water", "set-up": "Set-up"}


def export_calendar(
    desk: Desk,
    to: Path | None = None,
    *,
    since: dt.date | None = None,
    until: dt.date | None = None,
    overwrite: bool = False,
) -> PrintedFile:
    """Write practices (planned and done) and games as an iCalendar file in the team's time zone.

    Entries keep their UIDs from file to file; one that changed counts up its SEQUENCE, one that was given
    away and is gone is called off. Nothing names or numbers a player.

    Raises:
        Refusal: there is nothing to write, the file does not end in .ics, or it cannot be written.

    """
    from planner.paper.files import write_atomically

    target = to or desk.home / "prints" / "practices.ics"
    if target.suffix.lower() != ".ics":
        raise Refusal(f"'{clean_line(target.name, 60)}' does not end in .ics.")
    low, high = since or dt.date.min, until or dt.date.max
    if low > high:
        raise Refusal(f"The period would end on {high.isoformat()} before it starts on {low.isoformat()}.")
    with desk.writing() as session:
        team = queries.team(session)
        name = team.name if team else "Practice"
        zone = team_zone(queries.settings(session))
        known = queries.setting(session, SENT)
        key = _key(desk, known, name)
        rows, entries = _stamped(desk, known, _gathered(session, name, key))
        if known != (now := {"key": key, "events": rows}):
            queries.set_setting(session, SENT, now)
    chosen = [one for one in entries if low <= one.day <= high]
    if not chosen:
        raise Refusal("There is no practice and no game in that time; build a plan or add a game first.")
    if to is None:
        make_folder(target.parent)
    where = write_atomically(target, calendar_file(chosen, zone, name), overwrite)
    off = sum(one.cancelled for one in chosen)
    notes = [f"{len(chosen) - off} entries, time zone {zone}."]
    if off:
        notes.append(f"{off} that were given away before and are gone are called off.")
    return PrintedFile(where, tuple(notes))


def _gathered(session: Session, name: str, key: str) -> list[Entry]:
    entries = []
    for one in queries.practices(session):
        plan, done = queries.plan_of(session, one.id), queries.done_of(session, one.id)
        start = done.start if done else one.start
        minutes = round(done.seconds / 60) if done else one.minutes
        entries.append(
            Entry(
                uid=f"practice-{one.id}-{key}@stopsheet",
                start=_at(one.date, start),
                summary=f"{name}: practice",
                minutes=max(1, minutes),
                description=_run(done) if done else _timetable(plan),
                category="Practice",
            )
        )
    hours = {
        row["game"]: (row["start"], row["minutes"])
        for row in _table(session, READ).values()
        if row.get("game") is not None and row.get("start") is not None
    }
    entries += [
        _game_entry(one, name, f"game-{one.id}-{key}@stopsheet", hours.get(one.id))
        for one in queries.games(session, scouted=False)
    ]
    return entries


def _at(day: dt.date, minute: int) -> dt.datetime:
    return dt.datetime.combine(day, dt.time()) + dt.timedelta(minutes=minute)


def _timetable(plan: Plan | None) -> str:
    """Return the plan's hours; without names, since calendars are passed on."""
    if plan is None:
        return ""
    return "\n".join(
        f"{clock_text(one.start)}  {_KINDS.get(one.kind, '') or one.title}, {one.minutes} min"
        for one in plan.segments
    )


def _run(done: DonePractice) -> str:
    lines = [f"{_KINDS.get(one.kind, '') or one.title}, {one.seconds / 60:.0f} min" for one in done.segments]
    return "\n".join(["As it was run:", *lines])


def _game_entry(one: GameInfo, name: str, uid: str, hours: tuple[int, int] | None) -> Entry:
    between = "at" if one.venue == "away" else "v"
    place = " (neutral)" if one.venue == "neutral" else ""
    start = _at(one.date, hours[0]) if hours else one.date
    return Entry(
        uid, start, f"{name} {between} {one.opponent}{place}", hours[1] if hours else 0, category="Game"
    )


def _key(desk: Desk, known: Any, name: str) -> str:
    """Return what sets this team's UIDs apart from any other's; chosen once, kept for good."""
    if isinstance(known, dict):
        return str(known["key"])
    return sha256(f"{name}/{desk.now().isoformat()}".encode()).hexdigest()[:16]


def _stamped(desk: Desk, known: Any, entries: Sequence[Entry]) -> tuple[dict[str, Any], list[Entry]]:
    """Return the entries with stamp and SEQUENCE, those that are gone called off, and what to remember."""
    rows: dict[str, Any] = dict(known["events"]) if isinstance(known, dict) else {}
    now = desk.now().astimezone(dt.UTC).replace(microsecond=0)
    out, after = [], {}
    for one in [*entries, *_gone(rows, {one.uid for one in entries}, desk.today)]:
        row = rows.get(one.uid)
        if row and row["digest"] == one.digest:
            sequence, changed = int(row["sequence"]), dt.datetime.fromisoformat(row["changed"])
        else:
            sequence, changed = (int(row["sequence"]) + 1 if row else 0), now
        out.append(replace(one, sequence=sequence, changed=changed))
        after[one.uid] = {
            "digest": one.digest,
            "sequence": sequence,
            "changed": changed.isoformat(),
            "start": one.start.isoformat(),
            "minutes": one.minutes,
            "summary": one.summary,
            "category": one.category,
        }
    return after, out


def _gone(rows: Mapping[str, Any], there: set[str], today: dt.date) -> list[Entry]:
    found = []
    for uid, row in rows.items():
        text = str(row["start"])
        start = dt.datetime.fromisoformat(text) if "T" in text else dt.date.fromisoformat(text)
        one = Entry(uid, start, row["summary"], row["minutes"], category=row["category"], cancelled=True)
        if uid not in there and one.day >= today - dt.timedelta(days=_KEPT_CANCELLED):
            found.append(one)
    return found


def _table(session: Session, key: str) -> dict[str, dict[str, Any]]:
    found = queries.setting(session, key)
    return dict(found) if isinstance(found, dict) else {}


# ---- what lies ahead -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Ahead:
    """One line of the team's calendar; ``start`` and ``end`` are minutes of the day, None for all of it."""

    date: dt.date
    kind: str
    words: str
    start: int | None = None
    end: int | None = None

    def as_json(self) -> dict[str, Any]:
        """Return the line as plain values."""
        hours = [None if one is None else clock_text(one) for one in (self.start, self.end)]
        return {
            "date": self.date.isoformat(),
            "kind": self.kind,
            "what": self.words,
            "start": hours[0],
            "end": hours[1],
        }


def ahead(desk: Desk, until: dt.date | None = None) -> list[Ahead]:
    """Return practices, games and closed gyms from today on, in order."""
    last = until or dt.date.max
    with desk.reading() as session:
        rows = _table(session, READ)
        practices = queries.practices(session, since=desk.today, until=last, state="planned")
        games = queries.games(session, since=desk.today, until=last, scouted=False)
        closed = [
            one
            for one in queries.gym_rules(session)
            if one.date is not None and not one.halves and desk.today <= one.date <= last
        ]
    hours = {row.get("game"): row for row in rows.values() if row.get("start") is not None}
    found = [Ahead(one.date, "practice", "practice", one.start, one.start + one.minutes) for one in practices]
    for one in games:
        row = hours.get(one.id)
        where = f", {one.venue}" if one.venue else ""
        begin = row["start"] if row else None
        end = row["start"] + row["minutes"] if row else None
        found.append(Ahead(one.date, "game", f"game {one.id} v {one.opponent}{where}", begin, end))
    found += [
        Ahead(one.date, "closed", f"closed: {one.note}" if one.note else "gym closed", one.start, one.end)
        for one in closed
        if one.date
    ]
    return sorted(found, key=lambda one: (one.date, one.start or 0, one.words))
