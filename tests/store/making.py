"""Small invented film notes, plans and practices for the tests of the store."""

from __future__ import annotations

import datetime as dt
import hashlib
from typing import Any

from planner.build.plan import LeftOut, Plan, Segment, Station
from planner.drills.vocabulary import Stage
from planner.film.intake import Heading, Intake, Possession, Proposal, Sighting, Unclear
from planner.season.record import DonePractice, DoneSegment
from planner.store import queries
from planner.store.values import FixedRule, GymRule, PlayerInfo, TeamInfo

STAMP = dt.datetime(2027, 1, 12, 20, 15, 30, tzinfo=dt.UTC)
DAY = dt.date(2027, 1, 13)


def an_intake(raw: bytes = b"p1 2 nt 8", **changes: Any) -> Intake:
    """Return a reading of three possessions: two breakdowns, none, and one seen twice."""
    said: dict[str, Any] = {
        "file": "quarter.txt",
        "kind": "sheet",
        "digest": hashlib.sha256(raw).hexdigest(),
        "possessions": 3,
        "trips": (
            Possession(1, "1", "08:42", 2, 3),
            Possession(2, "1", "08:10", 0, 4),
            Possession(3, "1", None, None, 5),
        ),
        "sightings": (
            Sighting("no-tag", 3, players=("8", "00"), points=2, text="8 and 00 nt", possession=1),
            Sighting("late-closeout", 3, sure=0.75, text="late", possession=1),
            Sighting("no-box-out", 5, "00:01:02.000", "00:01:04.000", ("0",), 3, 2, 1.0, "nbo x2", 3),
        ),
        "unclear": (Unclear("?? 14 zzz", "no breakdown is written like this", 6),),
        "problems": ("quarter.txt:9: a line is not text",),
        "heading": Heading("2027-01-12", "Marlow Lane", "home"),
    }
    return Intake(**{**said, **changes})


def a_talk(raw: bytes = b"WEBVTT", **changes: Any) -> Intake:
    """Return a reading of narration that proposes three breakdowns and is unsure of one."""
    said: dict[str, Any] = {
        "file": "talk.vtt",
        "kind": "captions",
        "digest": hashlib.sha256(raw).hexdigest(),
        "possessions": 20,
        "trips": (),
        "sightings": (
            Proposal(
                "no-tag",
                3,
                "00:00:01.000",
                "00:00:02.500",
                ("4",),
                sure=0.97,
                text="four never tags",
                wording="# never tag",
            ),
            Proposal(
                "no-box-out", 7, "00:01:01.000", "00:01:02.500", sure=0.8, text="98 no box", asks=("98",)
            ),
            Proposal("no-tag", 9, "00:02:01.000", "00:02:02.500", sure=0.6, text="no tag", wording="no tag"),
        ),
        "unclear": (Unclear("great tag", "no-tag? may be praise", 12, "00:03:00.000"),),
        "problems": (),
        "heading": Heading(),
    }
    return Intake(**{**said, **changes})


def a_plan(date: dt.date = DAY, start: int = 16 * 60 + 10, **changes: Any) -> Plan:
    """Return a plan of half an hour with two stations, water and a fixed block."""
    stations = (
        Station("shell-four", "Red", ("0", "00", "4"), "A"),
        Station("tag-and-out", "Blue", ("7", "12"), "B"),
    )
    said: dict[str, Any] = {
        "date": date,
        "start": start,
        "minutes": 30,
        "objective": 1.234567890123,
        "bound": 1.3,
        "proven": False,
        "seconds": 4.25,
        "segments": (
            Segment(start, 8, "warm-up", "Loosen up", effort=3),
            Segment(start + 8, 12, "drill", "Two ends", stations, {"tag": 9, "talk": 3}, "0.9 per 100", 6),
            Segment(start + 20, 2, "water", "Water", why="every 25 minutes"),
            Segment(start + 22, 8, "fixed", "Sideline — plays", shares={"vision": 1}, effort=4),
        ),
        "left_out": (LeftOut("box-circle", "ran in the last two practices"),),
        "warnings": ("One coach for two ends.",),
    }
    return Plan(**{**said, **changes})


def a_practice(date: dt.date = DAY, start: int = 16 * 60 + 10, **changes: Any) -> DonePractice:
    """Return a practice as it was run: a drill scored, a drill cut, water."""
    said: dict[str, Any] = {
        "practice": "1",
        "date": date,
        "start": start,
        "segments": (
            DoneSegment("warm-up", "Loosen up", 430),
            DoneSegment("drill", "Two ends", 695, "shell-four", "contested", {"tag": 9}, 6, 7, 10),
            DoneSegment("drill", "Left out", 0, "tag-and-out", "guided"),
            DoneSegment("drill", "Open count", 300, "close-hard", "live", {"closeout": 20}, 8, 5, None),
            DoneSegment("water", "Water", 125),
        ),
        "absent": ("12", "00"),
        "rating": 6,
    }
    return DonePractice(**{**said, **changes})


def fill(session: Any) -> None:
    """Put rows into every table."""
    queries.save_team(session, TeamInfo("Herons", dt.date(2026, 10, 1), dt.date(2027, 3, 31), "under 18"))
    for jersey in ("0", "00", "4"):
        queries.save_player(session, PlayerInfo(jersey))
    game = queries.add_game(session, dt.date(2027, 1, 12), "Marlow Lane", venue="home", chances={"no-tag": 9})
    raw = b"p1 2 nt 8\n" * 40
    queries.add_intake(session, game, an_intake(raw), raw, STAMP)
    line = queries.unclear(session)[0]
    queries.sort_unclear(session, line.id, "no-talk", players=["14"])
    queries.add_intake(session, game, a_talk(), b"WEBVTT", STAMP)
    queries.answer_proposal(session, queries.proposals(session)[0].id, "no-talk", ["4"])
    number = queries.save_plan(session, a_plan(), {"minutes": 30})
    queries.log_done(session, number, a_practice())
    queries.add_gym_rule(session, GymRule(960, 1080, 2, weekday=2))
    queries.add_fixed_rule(session, FixedRule("Sideline plays", 8, "last", shares={"vision": 1}))
    queries.add_emphasis(session, "tag", 1.5, DAY)
    queries.add_progress(session, "tag", Stage.GUIDED, DAY, "7 of 10 twice")
    queries.set_setting(session, "practice.minutes", 95)
    queries.switch_off(session, "hands-down")
    queries.append_journal(session, STAMP, "team", "Set up Herons", {"before": None})
    queries.keep_plan(session, a_plan(), {"minutes": 30}, STAMP, "Ada")
