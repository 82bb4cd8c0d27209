"""A real pseudo-terminal with a screen that can be read: what a coach types and what a coach sees."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import pexpect
import pyte

KEYS = {
    "enter": "\r",
    "escape": "\x1b",
    "down": "\x1b[B",
    "up": "\x1b[A",
    "right": "\x1b[C",
    "left": "\x1b[D",
}
PATIENCE = 30.0
"""Seconds to wait for something to be shown; the machine may be busy."""
_STEP = 0.05


class Terminal:
    """The app in a pseudo-terminal of its own."""

    def __init__(self, home: Path, columns: int = 80, rows: int = 24, *argv: str) -> None:
        environ = {
            **os.environ,
            "STOPSHEET_HOME": str(home),
            "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
        }
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self._child = pexpect.spawn(
            sys.executable,
            ["-m", "planner", *argv],
            env=environ,
            dimensions=(rows, columns),
            timeout=PATIENCE,
        )
        self._child.delaybeforesend = None

    @property
    def text(self) -> str:
        """Return what is on the screen now."""
        self._read()
        return "\n".join(line.rstrip() for line in self._screen.display)

    def press(self, *keys: str) -> None:
        """Press keys: a name of ``KEYS``, or a letter."""
        for one in keys:
            self._child.send(KEYS.get(one, one))

    def type(self, text: str) -> None:
        """Type a line and press Enter."""
        self._child.send(text)
        self._child.send("\r")

    def see(self, *wanted: str, patience: float = PATIENCE) -> str:
        """Wait until all of these stand on the screen, and return the screen."""
        until = time.monotonic() + patience
        while True:
            shown = self.text
            if all(one in shown for one in wanted):
                return shown
            if time.monotonic() > until or not self._child.isalive():
                missing = [one for one in wanted if one not in shown]
                raise AssertionError(f"not seen: {missing}\n{shown}")

    def see_no_more(self, gone: str, patience: float = PATIENCE) -> str:
        """Wait until this stands on the screen no longer."""
        until = time.monotonic() + patience
        while gone in (shown := self.text):
            if time.monotonic() > until:
                raise AssertionError(f"still there: {gone}\n{shown}")
        return shown

    def see_change(self, patience: float = PATIENCE) -> str:
        """Wait until the screen changes by itself, as a running clock makes it."""
        before, until = self.text, time.monotonic() + patience
        while (shown := self.text) == before:
            if time.monotonic() > until:
                raise AssertionError(f"nothing moves\n{shown}")
        return shown

    def quiet(self, still: float = 0.4, patience: float = PATIENCE) -> None:
        """Wait until nothing has come for a while."""
        until, last = time.monotonic() + patience, time.monotonic()
        while time.monotonic() - last < still and time.monotonic() < until:
            if self._read():
                last = time.monotonic()

    def answer(self, typed: str, patience: float = 0.5) -> float | None:
        """Type something into a quiet screen and return the seconds until it changes (None: it does not)."""
        began = time.perf_counter()
        self._child.send(typed)
        while time.perf_counter() - began < patience:
            if self._read():
                taken = time.perf_counter() - began
                self.quiet(0.15)
                return taken
        return None

    def leave(self) -> int:
        """Press q and return the exit code."""
        self._child.send("q")
        until = time.monotonic() + PATIENCE
        while self._child.isalive():
            shown = self.text
            if time.monotonic() > until:
                raise AssertionError(f"still open\n{shown}")
        self._child.close()
        return int(self._child.exitstatus or 0)

    def kill(self) -> None:
        """End it as a flat battery does."""
        self._child.kill(9)
        self._child.wait()
        self._child.close()

    def _read(self) -> bool:
        """Take in what there is; return whether there was anything."""
        try:
            self._stream.feed(self._child.read_nonblocking(65536, timeout=_STEP))
        except (pexpect.TIMEOUT, pexpect.EOF):
            return False
        return True
