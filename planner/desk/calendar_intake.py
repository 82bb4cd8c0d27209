"""Taking a school's calendar in: games and closed gyms, once each however often the file is read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.desk.calendar import READ, SENT
from planner.desk.desk import Desk
from planner.desk.outside import bytes_of
from planner.desk.zone import team_zone
from planner.paper.calendar_event import Asked
from planner.paper.calendar_reader import (
    DAYS_AHEAD,
    MOST_BYTES,
    FoundCalendar,
    only_ahead,
    read_calendar,
)
from planner.store import queries
from planner.store.values import GameInfo, GymRule
from planner.text import clean_line, plural

if TYPE_CHECKING:
    from sqlmodel import Session

USUAL_GAME = 120
"""Minutes a game is taken to last where only its start is known."""

Table = dict[str, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What adding a calendar changed, in numbers, and what the coach should know."""

    games: int
    moved: int
    closings: int
    known: int
    notes: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """Return it in one line."""
        parts = [plural(self.games, "game"), plural(self.closings, "closed gym time")]
        if self.moved:
            parts.append(f"{self.moved} changed")
        return f"{', '.join(parts)}; {self.known} known already"


def read_file(desk: Desk, path: Path) -> FoundCalendar:
    """Return what a calendar file says for this team, from the season's first day; nothing is stored.

    Raises:
        Refusal: the file cannot be read, is no calendar, or is too large.

    """
    raw = bytes_of(path, MOST_BYTES, lambda: "no file; name a calendar file (.ics)")
    with desk.reading() as session:
        team = queries.team(session)
        zone = team_zone(queries.settings(session))
        sent = queries.setting(session, SENT)
    since = team.season_start if team and team.season_start else desk.today
    own = f"-{sent['key']}@stopsheet" if isinstance(sent, dict) and sent.get("key") else "\0"
    asked = Asked(
        team.name if team else "",
        zone,
        min(since, desk.today),
        desk.today + dt.timedelta(days=DAYS_AHEAD),
        own,
    )
    return only_ahead(read_calendar(path.name, raw, asked), desk.today)


@dataclass(slots=True)
class _Taking:
    """One file on its way in: the table by event, what stands in the store, what undo has to take back."""

    session: Session
    table: Table
    games: dict[int, GameInfo]
    rules: dict[int, GymRule]
    added_games: list[int] = field(default_factory=list)
    changed_games: list[dict[str, Any]] = field(default_factory=list)
    added_gym: list[int] = field(default_factory=list)
    removed_gym: list[dict[str, Any]] = field(default_factory=list)
    closings: int = 0
    known: int = 0
    notes: list[str] = field(default_factory=list)

    @property
    def changed(self) -> bool:
        return bool(self.added_games or self.changed_games or self.added_gym or self.removed_gym)

    def dated(self) -> dict[dt.date, dict[int, GymRule]]:
        """Return the rules that speak of one date, by date."""
        found: dict[dt.date, dict[int, GymRule]] = {}
        for number, rule in self.rules.items():
            if rule.date is not None:
                found.setdefault(rule.date, {})[number] = rule
        return found

    def add_rule(self, rule: GymRule) -> int:
        number = queries.add_gym_rule(self.session, rule)
        self.rules[number] = replace(rule, id=number)
        self.added_gym.append(number)
        return number

    def remove_rule(self, number: int) -> None:
        self.removed_gym.append(_plain(queries.remove_gym_rule(self.session, number)))
        del self.rules[number]


def add_file(desk: Desk, path: Path) -> TakenIn:
    """Add the games and closed gyms of a calendar file; what was added before is only brought up to date.

    The whole file is one step for undo.

    Raises:
        Refusal: the file cannot be read, is no calendar, or is too large.

    """
    found = read_file(desk, path)
    with desk.writing() as session:
        before = queries.setting(session, READ)
        taking = _Taking(
            session,
            {**before} if isinstance(before, dict) else {},
            {one.id: one for one in queries.games(session)},
            {one.id: one for one in queries.gym_rules(session) if one.id is not None},
        )
        _take_games(found, taking)
        _take_closings(found, taking)
        _take_cancelled(found, taking)
        if taking.changed or taking.table != (before or {}):
            queries.set_setting(session, READ, taking.table)
        if taking.changed:
            payload = {
                "games": taking.added_games,
                "changed": taking.changed_games,
                "gym": [_plain(taking.rules[number]) for number in taking.added_gym],
                "gym_before": taking.removed_gym,
                "before": before,
            }
            desk.note(session, "calendar", f"calendar {clean_line(path.name, 60)}", payload)
    return TakenIn(
        len(taking.added_games),
        len(taking.changed_games),
        taking.closings,
        taking.known,
        (*taking.notes, *(str(one) for one in found.problems)),
    )


def _take_games(found: FoundCalendar, taking: _Taking) -> None:
    alike = {_pair(one.date, one.opponent): one.id for one in taking.games.values() if not one.scouted}
    for one in found.games:
        row = taking.table.get(one.key, {})
        said = {"date": one.date.isoformat(), "opponent": one.opponent, "venue": one.venue}
        standing = taking.games.get(row.get("game", 0))
        number = standing.id if standing else alike.get(_pair(one.date, one.opponent))
        if number is None:
            number = queries.add_game(taking.session, one.date, one.opponent, venue=one.venue)
            alike[_pair(one.date, one.opponent)] = number
            taking.added_games.append(number)
        elif standing and {key: row.get(key) for key in said} != said:
            # Only what the file changed is changed: a coach's own correction of a game stays.
            now = replace(standing, date=one.date, opponent=one.opponent, venue=one.venue)
            taking.changed_games.append(_plain(queries.save_game(taking.session, now)))
        else:
            taking.known += 1
        taking.table[one.key] = {**said, "game": number, "start": one.start, "minutes": USUAL_GAME}


def _pair(day: dt.date, opponent: str) -> tuple[dt.date, str]:
    return day, opponent.casefold()


def _take_closings(found: FoundCalendar, taking: _Taking) -> None:
    dated = taking.dated()
    weekly = [one for one in taking.rules.values() if one.date is None]
    for one in found.closings:
        said = {"date": one.date.isoformat(), "from": one.start, "to": one.end}
        row = taking.table.get(one.key, {})
        standing = [number for number in row.get("gym", ()) if number in taking.rules]
        if standing and {key: row.get(key) for key in said} == said:
            taking.known += 1
            continue
        if standing:
            _open_again(row, taking)
            dated = taking.dated()
        here = dated.setdefault(one.date, {})
        same = [
            number
            for number, rule in here.items()
            if (rule.start, rule.end, rule.halves) == (one.start, one.end, 0)
        ]
        if same:
            taking.known += 1
        else:
            closed = GymRule(
                one.start, one.end, 0, date=one.date, note=clean_line(one.title, 80) or "gym closed"
            )
            # A rule for a date stands in for those of every week: they are said again beside the closing.
            beside = [] if here else [rule for rule in weekly if rule.holds_on(one.date)]
            copies = [
                replace(rule, id=None, weekday=None, rrule=None, first=None, date=one.date) for rule in beside
            ]
            same = [taking.add_rule(rule) for rule in (closed, *copies)]
            here.update((number, taking.rules[number]) for number in same)
            taking.closings += 1
        taking.table[one.key] = {**said, "gym": same}


def _open_again(row: Mapping[str, Any], taking: _Taking) -> None:
    """Take a closing back; the weekly hours said beside it stay while another rule for that date stands."""
    day, ours = dt.date.fromisoformat(row["date"]), set(row["gym"])
    others = any(number not in ours for number in taking.dated().get(day, {}))
    for number in row["gym"][:1] if others else row["gym"]:
        if number in taking.rules:
            taking.remove_rule(number)


def _take_cancelled(found: FoundCalendar, taking: _Taking) -> None:
    """Open the gym where the file calls a closing off; say so of games, which only the coach takes away."""
    for key in sorted(found.cancelled):
        row = taking.table.get(key, {})
        game = taking.games.get(row.get("game", 0))
        if game is not None:
            taking.notes.append(
                f"The file calls off game {game.id} ({game.date.isoformat()} v"
                f" {clean_line(game.opponent, 60)}); it still stands here."
            )
        if row.get("gym"):
            _open_again(row, taking)
            taking.notes.append(f"The gym is no longer closed on {row['date']}.")
            del taking.table[key]


def undo_file(session: Session, payload: Mapping[str, Any]) -> None:
    """Take a calendar back whole: games and closings as they stood before it was added."""
    for number in payload["games"]:
        queries.remove_game(session, number)
    for row in payload["changed"]:
        kept = {key: value for key, value in row.items() if key != "films"}
        queries.save_game(session, GameInfo(**{**kept, "date": dt.date.fromisoformat(row["date"])}))
    for row in payload["gym"]:
        _remove_rule(session, _rule(row))
    renamed = {row["id"]: queries.add_gym_rule(session, _rule(row)) for row in payload["gym_before"]}
    before = payload["before"]
    if before is None:
        queries.remove_setting(session, READ)
        return
    table = {
        key: {**row, "gym": [renamed.get(one, one) for one in row["gym"]]} if "gym" in row else row
        for key, row in before.items()
    }
    queries.set_setting(session, READ, table)


def _rule(row: Mapping[str, Any]) -> GymRule:
    dates = {key: dt.date.fromisoformat(row[key]) if row[key] else None for key in ("date", "first")}
    return GymRule(**{**row, **dates})


def _remove_rule(session: Session, rule: GymRule) -> None:
    """Take a rule away by its number, or one that says the same: what undo brings back has a new number."""
    alike = [one for one in queries.gym_rules(session) if replace(one, id=rule.id) == rule]
    alike.sort(key=lambda one: one.id != rule.id)
    if alike and alike[0].id is not None:
        queries.remove_gym_rule(session, alike[0].id)


def _plain(value: Any) -> dict[str, Any]:
    return {key: one.isoformat() if isinstance(one, dt.date) else one for key, one in asdict(value).items()}
