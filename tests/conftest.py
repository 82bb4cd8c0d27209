"""The invented demo season, planted once and copied for each test that writes; the command line, as run."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.desk.demo import run_demo
from planner.desk.desk import Desk
from planner.desk.house import remove_fixed
from planner.desk.practice import Wishes, build_plan
from planner.desk.team import add_gym_rule, set_setting
from planner.store import queries
from planner.store.values import GymRule
from tests.running import NOW, PRACTICE_DAY, TODAY, Planted, Stopsheet, Watch


@pytest.fixture(scope="session")
def planted(tmp_path_factory: pytest.TempPathFactory) -> Planted:
    """Return the demo season of an evening in January, with tomorrow's practice planned and printed."""
    folder = tmp_path_factory.mktemp("season")
    demo = run_demo(Desk(folder / "base", TODAY, lambda: NOW), folder / "demo")
    demo.desk.close()
    return Planted(folder / "demo", demo.built.plan, demo.built.brief, demo.printed.path, demo.text)


@pytest.fixture
def season_home(planted: Planted, tmp_path: Path) -> Path:
    """Return a copy of the demo season's folder that the test may change."""
    return Path(shutil.copytree(planted.home, tmp_path / "season"))


@pytest.fixture
def desk(season_home: Path) -> Iterator[Desk]:
    """Return a desk at a copy of the demo season."""
    made = Desk(season_home, TODAY, lambda: NOW)
    yield made
    made.close()


@pytest.fixture
def quick_desk(desk: Desk) -> Desk:
    """Return a desk whose practices are built in a moment: 40 minutes each, without fixed blocks.

    Thursday is planned, on Friday the gym is open too, on Saturday there is a game.
    """
    with desk.reading() as session:
        fixed = queries.fixed_rules(session)
    for one in fixed:
        assert one.id is not None
        remove_fixed(desk, one.id)
    set_setting(desk, "minutes", 40)
    add_gym_rule(desk, GymRule(17 * 60, 19 * 60, 2, date=PRACTICE_DAY + dt.timedelta(days=1)))
    build_plan(desk, Wishes(PRACTICE_DAY))
    return desk


@pytest.fixture
def watch() -> Watch:
    """Return a clock at the hour of the demo's practice."""
    return Watch()


@pytest.fixture
def gym(season_home: Path, watch: Watch) -> Iterator[Desk]:
    """Return a desk at a copy of the demo season on the day of the planned practice, in a zone of its own."""
    made = Desk(season_home, PRACTICE_DAY, watch)
    set_setting(made, "timezone", "UTC")
    yield made
    made.close()


@pytest.fixture
def two_baskets(quick_desk: Desk, watch: Watch) -> Iterator[Desk]:
    """Return a desk on the day of a short practice in which two groups work at two baskets and swap."""
    add_gym_rule(quick_desk, GymRule(18 * 60 + 15, 20 * 60, 2, date=PRACTICE_DAY))
    build_plan(quick_desk, Wishes(PRACTICE_DAY, stations=True))
    made = Desk(quick_desk.home, PRACTICE_DAY, watch)
    set_setting(made, "timezone", "UTC")
    yield made
    made.close()


@pytest.fixture
def no_home(tmp_path: Path) -> Path:
    """Return a data folder that is not there yet."""
    return tmp_path / "nobody"


@pytest.fixture
def stopsheet(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], no_home: Path
) -> Stopsheet:
    """Return the command line: it starts without a team, on the demo's evening."""
    for name in ("STOPSHEET_DB", "STOPSHEET_DEBUG", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    made = Stopsheet(no_home, monkeypatch, capsys)
    made.on(TODAY)
    return made
