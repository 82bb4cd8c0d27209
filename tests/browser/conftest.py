"""A real browser for the court-side page, where there is one; STOPSHEET_BROWSER=required insists on it."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

collect_ignore_glob = ["test_*.py"] if os.name == "nt" else []
if os.name != "nt":
    from tests.browser.chromium import Browser, Phone, chromium
    from tests.browser.kit import PLAN, ZONE, write_page


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Return a headless Chromium."""
    found = chromium()
    if found is None:
        missing = "Chromium is not installed (on Debian: apt-get install chromium)"
        if os.environ.get("STOPSHEET_BROWSER") == "required":
            pytest.fail(missing)
        pytest.skip(missing)
    made = Browser(found, tmp_path_factory.mktemp("profile"))
    yield made
    made.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[Phone]:
    """Return a phone in the gym's zone; its clocks stand still until they are set."""
    made = Phone(browser, zone=ZONE)
    yield made
    made.close()


@pytest.fixture(scope="session")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the page of an invented practice."""
    return write_page(tmp_path_factory.mktemp("page") / "practice.html")


@pytest.fixture
def at() -> Callable[..., int]:
    """Return a function from a clock time of the practice's day to milliseconds since 1970."""

    def moment(clock: str, zone: str = ZONE, day: dt.date = PLAN.date) -> int:
        time = dt.time.fromisoformat(clock)
        return round(dt.datetime.combine(day, time, ZoneInfo(zone)).timestamp() * 1000)

    return moment
