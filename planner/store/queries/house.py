"""The gym, fixed blocks, settings, breakdowns switched off, and the journal of undo."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from typing import Any

from sqlmodel import Session, col, func, select

from planner.build.brief import FixedBlock, GymWindow
from planner.problem import Refusal
from planner.store import models
from planner.store.queries.rows import TEAM, must_get, number_of, stored
from planner.store.values import FixedRule, GymRule, JournalEntry

_REPEATS = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY")


def add_gym_rule(session: Session, rule: GymRule, *, number: int | None = None, team: int = TEAM) -> int:
    """Store when the team has the gym, and return the rule's number (``number`` where it had one before).

    Raises:
        Refusal: the recurrence cannot be read, or repeats within a day.

    """
    if rule.rrule is not None:
        _check_rule(rule.rrule, rule.first)
    row = models.GymWindow(
        id=number,
        team_id=team,
        weekday=rule.weekday,
        date=rule.date,
        rrule=rule.rrule,
        first=rule.first,
        start=rule.start,
        end=rule.end,
        halves=rule.halves,
        note=rule.note,
    )
    return stored(session, row)


def remove_gym_rule(session: Session, rule_id: int) -> GymRule:
    """Take a gym rule away, and return it.

    Raises:
        Refusal: there is no such rule.

    """
    row = must_get(session, models.GymWindow, rule_id, "gym time")
    before = _gym_rule(row)
    session.delete(row)
    session.flush()
    return before


def gym_rules(session: Session, *, team: int = TEAM) -> tuple[GymRule, ...]:
    """Return all gym rules in the order they were given."""
    asked = (
        select(models.GymWindow).where(models.GymWindow.team_id == team).order_by(col(models.GymWindow.id))
    )
    return tuple(_gym_rule(row) for row in session.exec(asked))


def gym_on(session: Session, date: dt.date, *, team: int = TEAM) -> tuple[GymWindow, ...]:
    """Return the gym's windows of a day by start; rules for that very date replace the recurring ones."""
    holding = [one for one in gym_rules(session, team=team) if one.holds_on(date)]
    own = [one for one in holding if one.date is not None]
    return tuple(sorted((one.window for one in own or holding), key=lambda one: (one.start, one.end)))


def add_fixed_rule(session: Session, rule: FixedRule, *, number: int | None = None, team: int = TEAM) -> int:
    """Store a block that practices hold, and return its number (``number`` where it had one before)."""
    row = models.FixedBlock(
        id=number,
        team_id=team,
        title=rule.title,
        minutes=rule.minutes,
        at_word=rule.at if isinstance(rule.at, str) else None,
        at_minute=rule.at if isinstance(rule.at, int) else None,
        effort=rule.effort,
        halves=rule.halves,
        shares=dict(rule.shares),
        weekday=rule.weekday,
    )
    return stored(session, row)


def remove_fixed_rule(session: Session, rule_id: int) -> FixedRule:
    """Take a fixed block away, and return it.

    Raises:
        Refusal: there is no such block.

    """
    row = must_get(session, models.FixedBlock, rule_id, "fixed block")
    before = _fixed_rule(row)
    session.delete(row)
    session.flush()
    return before


def fixed_rules(session: Session, *, team: int = TEAM) -> tuple[FixedRule, ...]:
    """Return all fixed blocks in the order they were given."""
    asked = (
        select(models.FixedBlock).where(models.FixedBlock.team_id == team).order_by(col(models.FixedBlock.id))
    )
    return tuple(_fixed_rule(row) for row in session.exec(asked))


def fixed_on(session: Session, date: dt.date, *, team: int = TEAM) -> tuple[FixedBlock, ...]:
    """Return the fixed blocks of a practice on a date."""
    return tuple(one.block for one in fixed_rules(session, team=team) if one.holds_on(date))


def setting(session: Session, key: str, default: Any = None, *, team: int = TEAM) -> Any:
    """Return what was set under ``key``, or ``default``."""
    row = session.get(models.Setting, (team, key))
    return default if row is None else row.value


def set_setting(session: Session, key: str, value: Any, *, team: int = TEAM) -> Any:
    """Set ``key`` to something JSON can hold, and return what stood before (None if nothing did)."""
    row = session.get(models.Setting, (team, key))
    before = None if row is None else row.value
    row = row or models.Setting(team_id=team, key=key)
    row.value = value
    session.add(row)
    session.flush()
    return before


def remove_setting(session: Session, key: str, *, team: int = TEAM) -> Any:
    """Forget what was set under ``key``, and return it."""
    row = session.get(models.Setting, (team, key))
    if row is None:
        return None
    before = row.value
    session.delete(row)
    session.flush()
    return before


def settings(session: Session, *, team: int = TEAM) -> dict[str, Any]:
    """Return everything that was set, by key."""
    asked = select(models.Setting).where(models.Setting.team_id == team).order_by(col(models.Setting.key))
    return {row.key: row.value for row in session.exec(asked)}


def switched_off(session: Session, *, team: int = TEAM) -> frozenset[str]:
    """Return the breakdowns this team does not count."""
    return frozenset(
        session.exec(select(models.SwitchedOff.breakdown).where(models.SwitchedOff.team_id == team))
    )


def switch_off(session: Session, breakdown: str, *, team: int = TEAM) -> bool:
    """Stop counting a breakdown; return whether that changed anything."""
    if session.get(models.SwitchedOff, (team, breakdown)) is not None:
        return False
    session.add(models.SwitchedOff(team_id=team, breakdown=breakdown))
    session.flush()
    return True


def switch_on(session: Session, breakdown: str, *, team: int = TEAM) -> bool:
    """Count a breakdown again; return whether that changed anything."""
    row = session.get(models.SwitchedOff, (team, breakdown))
    if row is None:
        return False
    session.delete(row)
    session.flush()
    return True


def append_journal(
    session: Session,
    stamp: dt.datetime,
    verb: str,
    words: str,
    payload: Mapping[str, Any],
    *,
    coach: str = "",
    team: int = TEAM,
) -> int:
    """Note something done that can be undone, and return the entry's number. ``stamp`` knows its zone."""
    row = models.Journal(
        team_id=team, stamp=stamp, verb=verb, words=words, payload=dict(payload), coach=coach or None
    )
    return stored(session, row)


def last_journal(session: Session, *, team: int = TEAM) -> JournalEntry | None:
    """Return the newest entry that is not undone, or None."""
    asked = (
        select(models.Journal)
        .where(models.Journal.team_id == team, col(models.Journal.undone).is_(False))
        .order_by(col(models.Journal.id).desc())
    )
    row = session.exec(asked).first()
    return None if row is None else _entry(row)


def mark_undone(session: Session, journal_id: int) -> None:
    """Note that an entry was undone.

    Raises:
        Refusal: there is no such entry, or it was undone before.

    """
    row = must_get(session, models.Journal, journal_id, "journal entry")
    if row.undone:
        raise Refusal(f"'{row.words or row.verb}' was undone before; nothing changed.")
    row.undone = True
    stored(session, row)


def journal(session: Session, limit: int = 20, *, team: int = TEAM) -> tuple[JournalEntry, ...]:
    """Return the newest entries, undone ones included, newest first."""
    asked = select(models.Journal).where(models.Journal.team_id == team)
    return tuple(
        _entry(row) for row in session.exec(asked.order_by(col(models.Journal.id).desc()).limit(limit))
    )


def last_done(session: Session, verbs: Collection[str], *, team: int = TEAM) -> dt.datetime | None:
    """Return when one of these verbs was done last and not undone, or None."""
    asked = select(models.Journal.stamp).where(
        models.Journal.team_id == team,
        col(models.Journal.undone).is_(False),
        col(models.Journal.verb).in_(list(verbs)),
    )
    return session.exec(asked.order_by(col(models.Journal.stamp).desc()).limit(1)).first()


def plan_built(session: Session, practice: int, *, team: int = TEAM) -> dt.datetime | None:
    """Return when the plan of a practice was built last (changes by hand left out), or None."""
    entry = models.Journal
    asked = select(entry.stamp).where(
        entry.team_id == team,
        entry.verb == "plan",
        col(entry.undone).is_(False),
        col(entry.words).not_like("by hand:%"),
        col(entry.payload)["practice"].as_integer() == practice,
    )
    return session.exec(asked.order_by(col(entry.stamp).desc()).limit(1)).first()


def journal_mark(session: Session, without: Collection[str] = (), *, team: int = TEAM) -> tuple[int, int]:
    """Return what is another pair as soon as anything but these verbs is done or undone."""
    entry = models.Journal
    asked = select(func.count(), func.count().filter(col(entry.undone).is_(True))).where(
        entry.team_id == team, col(entry.verb).not_in(list(without))
    )
    done, undone = session.exec(asked).one()
    return done, undone


def _check_rule(text: str, first: dt.date | None) -> None:
    from dateutil.rrule import rrulestr

    said = text.upper()
    parts = dict(part.partition("=")[::2] for part in said.removeprefix("RRULE:").split(";"))
    interval = parts.get("INTERVAL", "1")
    if "\n" in text or parts.get("FREQ") not in _REPEATS or not interval.isdecimal() or int(interval) < 1:
        raise Refusal(f"'{text}' is not a rule for gym days; write it like FREQ=WEEKLY;BYDAY=TU,TH.")
    if first is None and (int(interval) > 1 or "COUNT" in parts):
        raise Refusal(f"'{text}' counts from a first day; say which.")
    try:
        rrulestr(text, dtstart=dt.datetime(2000, 1, 1), ignoretz=True)  # noqa: DTZ001
    except (ValueError, TypeError, KeyError, AttributeError, IndexError):
        raise Refusal(
            f"'{text}' is not a rule for gym days; write it like FREQ=WEEKLY;BYDAY=TU,TH."
        ) from None


def _gym_rule(row: models.GymWindow) -> GymRule:
    return GymRule(
        start=row.start,
        end=row.end,
        halves=row.halves,
        weekday=row.weekday,
        date=row.date,
        rrule=row.rrule,
        first=row.first,
        note=row.note,
        id=row.id,
    )


def _fixed_rule(row: models.FixedBlock) -> FixedRule:
    at = row.at_word if row.at_word is not None else row.at_minute
    assert at is not None
    return FixedRule(
        row.title, row.minutes, at, row.effort, row.halves, dict(row.shares), row.weekday, row.id
    )


def _entry(row: models.Journal) -> JournalEntry:
    return JournalEntry(
        number_of(row), row.stamp, row.verb, row.words, dict(row.payload), row.undone, row.coach or ""
    )
