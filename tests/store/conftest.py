from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.store import queries
from planner.store.engine import Store, open_store
from planner.store.values import TeamInfo
from tests.store.making import fill


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def store(home: Path) -> Iterator[Store]:
    """Return a new store that holds a team and nothing else."""
    with open_store(home, create=True, wait=0.05) as opened:
        with opened.session() as session:
            queries.save_team(session, TeamInfo("Herons"))
        yield opened


@pytest.fixture
def full(home: Path) -> Iterator[Store]:
    """Return a store with rows in every table."""
    with open_store(home, create=True, wait=0.05) as opened:
        with opened.session() as session:
            fill(session)
        yield opened
