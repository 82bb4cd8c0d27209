"""What was set up, section by section: a row for each thing, and the words that change it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from planner.build.brief import GymWindow
from planner.clock import clock_text, parse_clock, parse_date
from planner.desk.team import SETTINGS, TEXT_SETTINGS
from planner.drills.vocabulary import Vocabulary
from planner.need.coverage import Coverage
from planner.problem import Refusal
from planner.store.values import FixedRule, GameInfo, GymRule, PlayerInfo, TeamInfo
from planner.text import clean_line, plural

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_LONG = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
ROOM = ("closed", "half the gym", "whole gym")
VENUES = ("home", "away", "neutral")

SECTIONS: Mapping[str, str] = {
    "roster": "Roster",
    "teach": "What we teach",
    "play": "What we play",
    "gym": "Gym",
    "fixed": "Fixed blocks",
    "games": "Games",
    "settings": "Settings",
    "team": "Team",
    "data": "Data",
}

DATA: Mapping[str, tuple[str, str]] = {
    "backup": ("Save a copy now", "Copies all data into the folder 'backups'; nothing has to be closed."),
    "restore": ("Bring a copy back", "Replaces the data by a copy; what stands now is kept as a copy first."),
    "export": ("Write everything as JSON", "For other programs, and for the day you want to leave."),
    "check": ("Check data and library", "Looks whether database and drill library are sound."),
    "calendar-out": ("Calendar file to give away", "Practices and games as .ics; it names no player."),
    "calendar-in": (
        "Read a school's calendar",
        "Games and closed gyms from an .ics file; shown before added.",
    ),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what it is known by (empty: a heading), its text, and what is said below of it."""

    id: str
    text: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Known:
    """Everything that was set up, as the place shows it."""

    team: TeamInfo
    players: tuple[PlayerInfo, ...]
    games: tuple[GameInfo, ...]
    gym: tuple[GymRule, ...]
    ahead: tuple[tuple[dt.date, tuple[GymWindow, ...]], ...]
    fixed: tuple[FixedRule, ...]
    off: frozenset[str]
    played: frozenset[str]
    left_out: Mapping[str, tuple[str, str]]
    exposure: Mapping[str, Mapping[str, float]]
    settings: Mapping[str, Any]
    usual: Mapping[str, float | str | None]
    vocabulary: Vocabulary
    coverages: tuple[Coverage, ...]
    home: str
    today: dt.date
    copies: tuple[str, ...] = field(default=())


def section_line(section: str, known: Known) -> str:
    """Return a section's title with how much is in it."""
    taught = len(known.vocabulary.breakdowns) - len(known.off | known.left_out.keys())
    counts = {
        "roster": len(known.players),
        "teach": taught,
        "play": len(known.played),
        "gym": len(known.gym),
        "fixed": len(known.fixed),
        "games": len(known.games),
        "settings": sum(key in known.settings for key in (*SETTINGS, *TEXT_SETTINGS)),
    }
    count = counts.get(section)
    return f"{SECTIONS[section]:<15}{'' if count is None else f'{count:>3}'}"


def rows_of(section: str, known: Known) -> list[Row]:
    """Return a section's rows."""
    return {
        "roster": _roster,
        "teach": _teach,
        "play": _play,
        "gym": _gym,
        "fixed": _fixed,
        "games": _games,
        "settings": _settings,
        "team": _team,
        "data": _data,
    }[section](known)


def said_of(section: str, known: Known) -> str:
    """Return what the section is for and what its keys do."""
    if section == "gym":
        return _ahead(known)
    return {
        "roster": "A jersey is enough. a adds, e changes position or name, x removes.",
        "teach": "Space or Enter: count it or leave it out. Left out, it costs nothing and asks no minutes.",
        "play": "Space or Enter: what this team plays. It decides what can go wrong at all.",
        "fixed": "Blocks in every practice, or on one weekday. a adds, x removes.",
        "games": "a adds, e changes, x removes, o says how much more the next opponent goes at something.",
        "settings": "e changes, x puts it back to what is usual.",
        "team": "e changes it.",
        "data": f"All data is in {known.home}",
    }[section]


def _roster(known: Known) -> list[Row]:
    return [
        Row(one.jersey, f"{one.jersey:>3}  {one.position:<10} {one.name}".rstrip(), f"Player {one.jersey}")
        for one in known.players
    ]


def _teach(known: Known) -> list[Row]:
    rows = []
    for principle in known.vocabulary.principles:
        rows.append(Row("", principle.title))
        for one in known.vocabulary.breakdowns:
            if one.principle != principle.id:
                continue
            covered = known.left_out.get(one.id)
            mark = "[ ]" if one.id in known.off else "[-]" if covered else "[x]"
            why = f"Left out by what you play ({covered[0]}): {covered[1]}. " if covered else ""
            rows.append(Row(one.id, f"{mark} {one.title}", f"{why}Seen as: {one.seen_as}"))
    return rows


def _play(known: Known) -> list[Row]:
    rows, about = [], ""
    for one in known.coverages:
        if one.about != about:
            about = one.about
            rows.append(Row("", about))
        without = "; ".join(f"without {name}: {why}" for name, why in one.off.items())
        mark = "[x]" if one.id in known.played else "[ ]"
        says = one.says.rstrip(".") + "."
        rows.append(Row(one.id, f"{mark} {one.title}", f"{says} {without.rstrip('.')}".strip()))
    return rows


def _gym(known: Known) -> list[Row]:
    return [
        Row(
            str(one.id),
            f"{gym_day(one):<12} {clock_text(one.start)}–{clock_text(one.end)}  {ROOM[one.halves]}"
            f"  {one.note}".rstrip(),
            one.rrule or "",
        )
        for one in known.gym
    ]


def gym_day(one: GymRule) -> str:
    """Return when a gym rule holds, in a word."""
    if one.weekday is not None:
        return f"every {DAYS[one.weekday]}"
    return one.date.isoformat() if one.date else "by a rule"


def _ahead(known: Known) -> str:
    parts = []
    for day, windows in known.ahead[:7]:
        hours = ", ".join(
            f"{clock_text(one.start)}–{clock_text(one.end)}{' half' if one.halves == 1 else ''}"
            for one in windows
        )
        parts.append(f"{DAYS[day.weekday()]} {day.day}: {hours or '–'}")
    return "a adds, x removes. " + "   ".join(parts)


def _fixed(known: Known) -> list[Row]:
    rows = []
    for one in known.fixed:
        place = one.at if isinstance(one.at, str) else f"{one.at} min after the start"
        day = f", {DAYS[one.weekday]} only" if one.weekday is not None else ""
        text = f"{one.title}, {one.minutes} min, {place}{day}"
        rows.append(Row(str(one.id), text, f"Effort {one.effort}/10, {plural(one.halves, 'half', 'halves')}"))
    return rows


def _games(known: Known) -> list[Row]:
    ahead = [one for one in known.games if one.date >= known.today]
    past = [one for one in known.games if one.date < known.today]
    rows = [Row("", "To come")] if ahead else []
    rows += [_game(one, known) for one in ahead]
    rows += [Row("", "Played or watched")] if past else []
    return rows + [_game(one, known) for one in reversed(past)]


def _game(one: GameInfo, known: Known) -> Row:
    scouted = "scouted " if one.scouted else ""
    film = f"  {plural(one.films, 'film note')}" if one.films else ""
    factors = known.exposure.get(str(one.id), {})
    more = ", ".join(f"{name} x{factor:g}" for name, factor in factors.items())
    text = f"{one.date.isoformat()}  {scouted}v {one.opponent} {one.venue}".rstrip() + film
    return Row(str(one.id), text, f"Game {one.id}{f': they go more at {more}' if more else ''}")


def _settings(known: Known) -> list[Row]:
    rows = []
    for key, (low, high, meaning) in SETTINGS.items():
        value = known.settings.get(key, known.usual.get(key))
        mark = "*" if key in known.settings else " "
        bounds = f"{setting_words(key, low)} to {setting_words(key, high)}"
        rows.append(
            Row(
                key,
                f"{mark} {key:<16} {setting_words(key, value)}",
                f"{meaning[:1].upper()}{meaning[1:]}; {bounds}. * changed by you.",
            )
        )
    for key, (words, meaning) in TEXT_SETTINGS.items():
        value = known.settings.get(key, known.usual.get(key))
        mark = "*" if key in known.settings else " "
        choice = f"; {', '.join(words)}" if words else ""
        rows.append(Row(key, f"{mark} {key:<16} {setting_words(key, value)}", f"{meaning}{choice}."))
    return rows


def setting_words(key: str, value: Any) -> str:
    """Return a setting's value as it is typed."""
    if value is None:
        return "(this machine's)"
    if key == "start" and isinstance(value, int | float):
        return clock_text(int(value))
    return f"{value:g}" if isinstance(value, int | float) else clean_line(str(value), 40)


def _team(known: Known) -> list[Row]:
    one = known.team
    return [
        Row("name", f"Name          {one.name}"),
        Row("level", f"Level         {one.level or '–'}", "Free text, such as under 16."),
        Row("start", f"Season from   {one.season_start or '–'}", "Season and load are counted from here on."),
        Row("end", f"Season to     {one.season_end or '–'}"),
    ]


def _data(known: Known) -> list[Row]:
    copies = f" {plural(len(known.copies), 'copy', 'copies')} are kept." if known.copies else ""
    return [
        Row(key, title, words + (copies if key == "restore" else "")) for key, (title, words) in DATA.items()
    ]


# ---- what is typed ---------------------------------------------------------------------------------------


def player_from(text: str) -> PlayerInfo:
    """Return a player from ``12 guard Name``; position and name are optional.

    Raises:
        Refusal: nothing was typed.

    """
    parts = clean_line(text, 120).split(maxsplit=2)
    if not parts:
        raise Refusal("A player needs a jersey, such as 12.")
    return PlayerInfo(parts[0], parts[2] if len(parts) > 2 else "", parts[1] if len(parts) > 1 else "")


def gym_from(text: str, today: dt.date) -> GymRule:
    """Return a gym time from ``tue 16:30 18:00 half north gym``.

    The day is a weekday, a date, or a rule such as FREQ=WEEKLY;BYDAY=TU. Then come from, to, and if wanted
    half, whole or closed, and a note.

    Raises:
        Refusal: it is not written so.

    """
    parts = clean_line(text, 200).split()
    if len(parts) < 3:
        raise Refusal("A gym time needs a day, from and to, such as: tue 16:30 18:00 half")
    start, end = parse_clock(parts[1]), parse_clock(parts[2])
    rest = parts[3:]
    words = {"closed": 0, "half": 1, "whole": 2}
    halves = words.get(rest[0].lower(), -1) if rest else 2
    note = " ".join(rest[1:] if halves >= 0 else rest)
    halves = halves if halves >= 0 else 2
    day = weekday(parts[0])
    if day is not None:
        return GymRule(start, end, halves, weekday=day, note=note)
    if "=" in parts[0]:
        return GymRule(start, end, halves, rrule=parts[0], first=today, note=note)
    return GymRule(start, end, halves, date=parse_date(parts[0], today), note=note)


def weekday(text: str) -> int | None:
    """Return 0 for Monday to 6 for Sunday, None where the text names no weekday."""
    low = text.lower()
    return next((n for n, day in enumerate(_LONG) if len(low) >= 3 and day.startswith(low)), None)


def fixed_from(text: str) -> FixedRule:
    """Return a fixed block from ``Team stretch 10 last tue``: title, minutes, where, and if wanted the day.

    Raises:
        Refusal: it is not written so.

    """
    parts = clean_line(text, 200).split()
    day = weekday(parts[-1]) if len(parts) > 3 else None
    if day is not None:
        parts = parts[:-1]
    if len(parts) < 3 or not parts[-2].isdigit() or len(parts[-2]) > 3:
        raise Refusal("A block needs title, minutes and where, such as: Team stretch 10 last")
    at: int | str = parts[-1].lower()
    if at not in {"first", "last"}:
        if not (isinstance(at, str) and at.isdigit() and len(at) <= 3):
            raise Refusal(
                f"'{parts[-1]}' is no place for a block; say first, last or minutes after the start."
            )
        at = int(at)
    return FixedRule(" ".join(parts[:-2]), int(parts[-2]), at, weekday=day)


def game_from(text: str, today: dt.date) -> tuple[dt.date, str, str]:
    """Return day, opponent and venue from ``2026-12-04 Harbour Point away``.

    Raises:
        Refusal: day or opponent is missing.

    """
    day, _, rest = clean_line(text, 200).partition(" ")
    if not rest.strip():
        raise Refusal("A game needs day and opponent, such as: 2026-12-04 Harbour Point away")
    words = rest.split()
    venue = words[-1].lower() if len(words) > 1 and words[-1].lower() in VENUES else ""
    return parse_date(day, today), " ".join(words[:-1] if venue else words), venue


def setting_from(key: str, text: str) -> float | str:
    """Return a setting's value as typed: a time of day, a word or a number.

    Raises:
        Refusal: it is none.

    """
    said = clean_line(text, 60)
    if key in TEXT_SETTINGS:
        return said if key == "timezone" else said.lower()
    if key == "start":
        return parse_clock(said)
    try:
        return float(said.replace(",", "."))
    except ValueError:
        raise Refusal(f"'{said}' is no number.") from None


def plain(section: str, rows: Sequence[Row]) -> str:
    """Return a section as plain text."""
    return "\n".join([SECTIONS[section], *(one.text if one.id else f"\n{one.text}" for one in rows)])
