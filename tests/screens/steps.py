"""What tests of the app do again and again: wait, press, go to a place, read what a part of it shows."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from typing import NamedTuple, TypeVar

from textual.app import ScreenStackError
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static

from planner.desk.desk import Desk
from planner.screens.app import StopsheetApp
from planner.screens.place import Place

Which = TypeVar("Which", bound=Place)

SIZES = ((60, 20), (80, 24), (120, 40))
"""Terminals that every place has to do with."""


class Opened(NamedTuple):
    """The app on screen, and the hand on its keys."""

    app: StopsheetApp
    pilot: Pilot[None]


@asynccontextmanager
async def opened(
    desk: Desk,
    size: tuple[int, int] = (80, 24),
    *,
    keys: Mapping[str, str] | None = None,
    light: bool = False,
) -> AsyncIterator[Opened]:
    """Open the app at a desk and wait until the first place shows what it has to show."""
    app = StopsheetApp(desk, keys, light)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        yield Opened(app, pilot)


async def settle(pilot: Pilot[None]) -> None:
    """Wait until everything asked for has been shown; the first run waits for a person, so not for it."""
    for _ in range(3):
        await _pause(pilot)
        busy = [one for one in pilot.app.workers if one.name != "first-run" and not one.is_finished]
        if busy:
            await pilot.app.workers.wait_for_complete(busy)
    await _pause(pilot)


async def _pause(pilot: Pilot[None]) -> None:
    """Let the app go on; between two places it has no screen for a moment."""
    for _ in range(500):
        try:
            await pilot.pause()
        except ScreenStackError:
            await asyncio.sleep(0.01)
        else:
            return


async def until(pilot: Pilot[None], seen: Callable[[], bool]) -> None:
    """Wait until something is so that work in the background, which does not end by itself, brings about."""
    for _ in range(2000):
        if seen():
            return
        await pilot.pause(0.01)
    raise AssertionError("it did not come about")


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys, waiting after each until it has had its effect."""
    for one in keys:
        await pilot.press(one)
        await settle(pilot)


async def go(pilot: Pilot[None], digit: str, which: type[Which]) -> Which:
    """Go to a place by its digit."""
    await settle(pilot)
    await press(pilot, digit)
    assert isinstance(pilot.app.screen, which)
    return pilot.app.screen


async def answer(pilot: Pilot[None], text: str) -> None:
    """Type a line into the dialog that asks for one."""
    pilot.app.screen.query_one(Input).value = text
    await press(pilot, "enter")


def shown(app: StopsheetApp, where: str) -> str:
    """Return what a text of the screen shows."""
    return str(app.screen.query_one(where, Static).content)


def options(app: StopsheetApp, where: str = "OptionList") -> list[str]:
    """Return the rows of a list."""
    listed = app.screen.query_one(where, OptionList)
    return [str(listed.get_option_at_index(n).prompt) for n in range(listed.option_count)]


def toasts(app: StopsheetApp) -> str:
    """Return what the app has said in passing."""
    return "\n".join(one.message for one in app._notifications)


def said(app: StopsheetApp) -> str:
    """Return every text on screen, dialogs included."""
    return "\n".join(str(one.content) for one in app.screen.query(Static))
