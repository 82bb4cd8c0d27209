"""From key to paint in every place, ten seasons loaded: ``python -m tests.bench.keys [HOME]``.

Once inside the program, from the key's arrival to the compositor's output, and once from outside, through a
pseudo-terminal from the byte written to the first byte that comes back. It prints figures and judges nothing.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from textual import events
from textual.keys import _get_key_aliases
from textual.pilot import Pilot

from planner.desk.desk import Desk
from planner.screens.app import StopsheetApp
from planner.screens.pauses import put_off
from tests.bench.seasons import plant_ten
from tests.bench.starts import demo_home
from tests.screens.steps import settle

TARGET = 0.050
"""Seconds within which 95 of 100 keys should be painted."""
ROUNDS = 4
PATIENCE = 0.5
"""Seconds after which a key counts as one that paints nothing."""

PLACES: dict[str, tuple[str, tuple[str, ...]]] = {
    "Tomorrow": ("1", ("down", "down", "up", "right", "left", "tab", "h", "h")),
    "Film": ("2", ("down", "down", "up", "right", "left", "tab")),
    "Drills": ("3", ("down", "down", "up", "tab", "slash", "b", "o", "x", "backspace", "escape")),
    "Season": ("4", ("down", "down", "up", "right", "left", "tab")),
    "Floor": ("5", ("s", "m", "backspace", "p", "p", "s", "n", "b")),
    "Team": ("6", ("down", "right", "down", "up", "left", "up", "tab")),
}
"""Each place: its digit, and what is pressed there round after round."""
BEGIN = {"Floor": ("w", "y", "n")}
"""What is pressed first, unmeasured."""
TYPED = {
    "down": "\x1b[B",
    "up": "\x1b[A",
    "right": "\x1b[C",
    "left": "\x1b[D",
    "tab": "\t",
    "escape": "\x1b",
    "backspace": "\x7f",
    "slash": "/",
}
"""What a terminal sends for a key that is no letter."""


@dataclass(frozen=True)
class Taken:
    """Seconds of the keys of one place."""

    where: str
    seconds: tuple[float, ...]
    busy: tuple[float, ...] = ()
    """Seconds of processor time of the app's own thread, where they are known."""

    def part(self, share: float) -> float:
        """Return the seconds within which that share of the keys was painted."""
        ordered = sorted(self.seconds)
        return ordered[min(len(ordered) - 1, int(share * len(ordered)))]

    def row(self) -> str:
        """Return the figures in milliseconds, and the 95th percentile as a part of the target."""
        if not self.seconds:
            return f"{self.where:30}    nothing was painted"
        half, most, worst = self.part(0.5), self.part(0.95), max(self.seconds)
        figures = "".join(f"{one * 1000:8.1f}" for one in (half, most, worst))
        busy = f"{Taken('', self.busy).part(0.95) * 1000:9.1f}" if self.busy else f"{'':9}"
        return f"{self.where:30}{len(self.seconds):6}{figures}{most / TARGET:9.2f}{busy}"


def _seconds(one: Taken) -> tuple[float, ...]:
    return one.seconds


def _busy(one: Taken) -> tuple[float, ...]:
    return one.busy


def _taken(where: str, found: Sequence[tuple[float, float] | None]) -> Taken:
    painted = [one for one in found if one is not None]
    return Taken(where, tuple(one for one, _ in painted), tuple(one for _, one in painted))


def table(title: str, found: Sequence[Taken]) -> str:
    """Return the figures of all places as text."""
    head = f"{title:30}{'keys':>6}{'p50 ms':>8}{'p95 ms':>8}{'max ms':>8}{'p95/50ms':>9}{'p95 cpu':>9}"
    whole = Taken("all", *(tuple(x for one in found for x in part(one)) for part in (_seconds, _busy)))
    return "\n".join([head, *(one.row() for one in (*found, whole))])


# ---- inside ----------------------------------------------------------------------------------------------


class Watch:
    """Hears when the app paints."""

    def __init__(self, app: StopsheetApp) -> None:
        self.painted = asyncio.Event()
        display = app._display

        def heard(screen: Any, renderable: Any) -> None:
            display(screen, renderable)
            if renderable is not None:
                self.painted.set()

        app._display = heard  # type: ignore[method-assign]


async def inside(home: Path, today: dt.date, size: tuple[int, int] = (120, 40)) -> list[Taken]:
    """Return the seconds from a key's arrival to its paint, by place, and those of going to a place."""
    with put_off():
        app = StopsheetApp(Desk(home, today))
        watch = Watch(app)
        found: list[Taken] = []
        first: list[tuple[float, float] | None] = []
        going: list[tuple[float, float] | None] = []
        async with app.run_test(size=size) as pilot:
            await settle(pilot)
            for name, (digit, keys) in PLACES.items():
                first.append(await _key(watch, pilot, digit))
                for one in BEGIN.get(name, ()):
                    await pilot.press(one)
                    await settle(pilot)
                found.append(_taken(name, [await _key(watch, pilot, one) for one in keys * ROUNDS]))
            for _ in range(ROUNDS):
                for digit, _ in PLACES.values():
                    going.append(await _key(watch, pilot, digit))
    app.desk.close()
    return [*found, _taken("to a place, first time", first), _taken("to a place again", going)]


async def _key(watch: Watch, pilot: Pilot[None], key: str) -> tuple[float, float] | None:
    """Press a key in a quiet app; return the seconds to the next paint, and those the app's thread was busy.

    None where nothing is painted.
    """
    driver = pilot.app._driver
    assert driver is not None
    watch.painted.clear()
    began, busy = time.perf_counter(), time.thread_time()
    driver.send_message(events.Key(_get_key_aliases(key)[0], key if len(key) == 1 else None))
    try:
        await asyncio.wait_for(watch.painted.wait(), PATIENCE)
        taken = time.perf_counter() - began, time.thread_time() - busy
    except TimeoutError:
        taken = None  # type: ignore[assignment]
    await settle(pilot)
    return taken


# ---- outside ---------------------------------------------------------------------------------------------


def outside(home: Path, size: tuple[int, int] = (120, 40)) -> list[Taken]:
    """Return the seconds from a byte written to a pseudo-terminal to the first byte back, by place."""
    from tests.evening.terminal import Terminal

    coach = Terminal(home, *size)
    coach.see("F1 help", "18:15")
    coach.quiet()
    found = []
    for name, (digit, keys) in PLACES.items():
        coach.press(digit)
        coach.quiet(1.5)
        for one in BEGIN.get(name, ()):
            coach.press(one)
            coach.quiet()
        taken = []
        for one in keys * ROUNDS:
            if one == "escape":  # a terminal waits whether more follows it
                coach.press(one)
                coach.quiet()
            else:
                taken.append(coach.answer(TYPED.get(one, one)))
        found.append(Taken(name, tuple(one for one in taken if one is not None)))
    coach.leave()
    return found


def main() -> int:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        today = dt.datetime.now(dt.UTC).astimezone().date()
        home = Path(sys.argv[1]) if len(sys.argv) > 1 else demo_home(Path(folder), today)
        rows = plant_ten(home) if len(sys.argv) < 2 else {}
        sys.stdout.write("".join(f"{count} {name} rows  " for name, count in rows.items()) + "\n\n")
        sys.stdout.write(table("inside: key to paint", asyncio.run(inside(home, today))) + "\n\n")
        sys.stdout.flush()
        sys.stdout.write(table("outside: byte to byte", outside(home)) + "\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
