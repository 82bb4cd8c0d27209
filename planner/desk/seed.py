"""The invented demo season: read from its files, moved so that it ends today, put into a store."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from planner.build.brief import Pin
from planner.clock import parse_clock
from planner.desk.desk import Desk
from planner.desk.film import lexicon
from planner.desk.practice import Wishes
from planner.drills.library import Library
from planner.drills.vocabulary import Stage
from planner.problem import Refusal
from planner.season.record import DonePractice, DoneSegment
from planner.store import queries
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo

_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Seed:
    """The season file and the practices, with the days by which everything moves."""

    folder: Path
    season: Mapping[str, Any]
    practices: tuple[Mapping[str, Any], ...]
    moved: dt.timedelta

    def day(self, date: dt.date) -> dt.date:
        """Return a date of the files as a date of the demo."""
        return date + self.moved

    def weekday(self, name: str) -> int:
        """Return a weekday of the files as a weekday of the demo (0 is Monday)."""
        return (_DAYS.index(name) + self.moved.days) % 7


def read_seed(folder: Path, today: dt.date) -> Seed:
    """Return the seed, moved so that its anchor falls on ``today``."""
    season = tomllib.loads((folder / "season.toml").read_text("utf-8"))
    practices = tomllib.loads((folder / "practices.toml").read_text("utf-8"))["practice"]
    return Seed(folder, season, tuple(practices), today - season["anchor"])


def plant(desk: Desk, seed: Seed) -> None:
    """Put team, calendar, film and practices into an empty store, all or nothing.

    Raises:
        Refusal: there is a team already.

    """
    if desk.has_team():
        raise Refusal(f"'{desk.home}' already holds a team; the demo wants a folder of its own.")
    with desk.store.session() as session:
        _plant_team(session, seed)
        _plant_calendar(session, seed)
        _plant_teaching(session, seed)
        _plant_games(session, seed, desk)
        for one in seed.practices:
            queries.log_done(session, None, done_practice(seed, one, desk.library))


def _plant_team(session: Any, seed: Seed) -> None:
    team = seed.season["team"]
    info = TeamInfo(
        name=team["name"],
        level=team.get("level", ""),
        season_start=seed.day(team["season_start"]),
        season_end=seed.day(team["season_end"]),
    )
    queries.save_team(session, info)
    for one in seed.season["player"]:
        queries.save_player(session, PlayerInfo(one["jersey"], one.get("name", ""), one.get("position", "")))
    for key, value in seed.season.get("settings", {}).items():
        queries.set_setting(session, key, value)


def _plant_calendar(session: Any, seed: Seed) -> None:
    for one in seed.season["gym"]:
        queries.add_gym_rule(
            session,
            GymRule(
                start=parse_clock(one["start"]),
                end=parse_clock(one["end"]),
                halves=one["halves"],
                weekday=seed.weekday(one["weekday"]),
                note=one.get("note", ""),
            ),
        )
    for one in seed.season.get("fixed", []):
        queries.add_fixed_rule(
            session,
            FixedRule(
                title=one["title"],
                minutes=one["minutes"],
                at=one["at"],
                effort=one.get("effort", 3),
                halves=one.get("halves", 1),
                shares=one.get("shares", {}),
                weekday=seed.weekday(one["weekday"]) if "weekday" in one else None,
            ),
        )


def _plant_teaching(session: Any, seed: Seed) -> None:
    for one in seed.season.get("emphasis", []):
        queries.add_emphasis(session, one["principle"], one["factor"], seed.day(one["since"]))
    for one in seed.season.get("passed", []):
        queries.add_progress(
            session, one["principle"], Stage(one["stage"]), seed.day(one["date"]), one.get("how", "coach")
        )
    for one in seed.season.get("off", []):
        queries.switch_off(session, one["breakdown"])


def _plant_games(session: Any, seed: Seed, desk: Desk) -> None:
    from planner.film.read import read_note

    words = lexicon(desk)
    roster = frozenset(one["jersey"] for one in seed.season["player"])
    for one in seed.season["game"]:
        number = queries.add_game(session, seed.day(one["date"]), one["opponent"], venue=one.get("venue", ""))
        if "film" in one:
            path = seed.folder / one["film"]
            raw = path.read_bytes()
            queries.add_intake(session, number, read_note(path.name, raw, words, roster), raw, desk.now())


def done_practice(seed: Seed, row: Mapping[str, Any], library: Library) -> DonePractice:
    """Return one logged practice of the seed."""
    return DonePractice(
        practice="",
        date=seed.day(row["date"]),
        start=parse_clock(row["start"]),
        segments=tuple(_done_segment(one, library) for one in row["segments"]),
        absent=tuple(row.get("absent", ())),
        rating=row.get("rating"),
    )


def _done_segment(row: list[Any], library: Library) -> DoneSegment:
    kind, name, minutes = row[:3]
    card = library.by_id.get(name)
    stops, tries = row[3:5] if len(row) >= 5 else (None, None)
    plain = {"water": "Water", "set-up": "Set-up"}
    return DoneSegment(
        kind=kind,
        title=card.title if card else name or plain.get(kind, kind),
        seconds=round(minutes * 60),
        drill=card.id if card else None,
        stage=card.stage.value if card and card.stage else None,
        shares=dict(card.shares) if card else {},
        effort=card.effort if card else 0,
        stops=stops,
        tries=tries,
    )


def tomorrow(seed: Seed, today: dt.date) -> Wishes:
    """Return the wishes for the practice after the demo's last evening."""
    row = seed.season.get("tomorrow", {})
    return Wishes(
        date=today + dt.timedelta(days=1),
        minutes=row.get("minutes"),
        start=parse_clock(row["start"]) if "start" in row else None,
        away=tuple(row.get("away", ())),
        pins=tuple(Pin(one) for one in row.get("pins", ())),
        keep_out=tuple(row.get("keep_out", ())),
    )
