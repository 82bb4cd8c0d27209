"""A real browser, driven over a pipe by the DevTools protocol: no port, no network, no driver."""

from __future__ import annotations

import base64
import fcntl
import json
import os
import select
import shutil
import signal
import time
from pathlib import Path
from typing import Any

PATIENCE = 30.0
"""Seconds after which an answer of the browser is given up."""

_NAMES = ("chromium", "chromium-browser", "google-chrome")
_FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-dev-shm-usage", "--disable-extensions", "--disable-default-apps", "--hide-scrollbars",
    "--no-default-browser-check", "--password-store=basic", "--use-mock-keychain",
    "--host-resolver-rules=MAP * ~NOTFOUND", "--remote-debugging-pipe",
)  # fmt: skip
_CLOCK = """(() => {
  const Real = Date, set = (date, tick) => Object.assign(window.testClock, { date, tick });
  window.testClock = { date: %d, tick: %d, set };
  window.Date = class extends Real {
    constructor(...said) { if (said.length) super(...said); else super(window.testClock.date); }
    static now() { return window.testClock.date; }
  };
  performance.now = () => window.testClock.tick;
})()"""


def chromium() -> str | None:
    """Return the path of a Chromium, or None where there is none."""
    return next((found for name in _NAMES if (found := shutil.which(name))), None)


class Browser:
    """A headless browser with a profile of its own, gone when it is closed."""

    def __init__(self, path: str, profile: Path) -> None:
        ours_in, theirs_out = _far_pipe()
        theirs_in, ours_out = _far_pipe()
        command = [path, *_FLAGS, f"--user-data-dir={profile}", "about:blank"]
        nowhere = str(profile / "said.txt")
        self._pid = os.posix_spawn(
            path,
            command,
            {**os.environ, "HOME": str(profile), "DBUS_SESSION_BUS_ADDRESS": "disabled:"},
            file_actions=[
                (os.POSIX_SPAWN_OPEN, 1, nowhere, os.O_WRONLY | os.O_CREAT, 0o600),
                (os.POSIX_SPAWN_DUP2, 1, 2),
                (os.POSIX_SPAWN_DUP2, theirs_in, 3),
                (os.POSIX_SPAWN_DUP2, theirs_out, 4),
            ],
            setpgroup=0,
        )
        os.close(theirs_in)
        os.close(theirs_out)
        self._read, self._write = ours_in, ours_out
        self._number = 0
        self._rest = b""
        self.events: list[dict[str, Any]] = []

    def call(self, method: str, session: str | None = None, **parameters: Any) -> Any:
        """Return the browser's answer to one command.

        Raises:
            RuntimeError: the browser refuses, or does not answer.

        """
        self._number += 1
        number = self._number
        said = {"id": number, "method": method, "params": parameters}
        if session:
            said["sessionId"] = session
        os.write(self._write, json.dumps(said).encode() + b"\0")
        while True:
            heard = self._hear()
            if heard.get("id") != number:
                self.events.append(heard)
                continue
            if "error" in heard:
                raise RuntimeError(f"{method}: {heard['error']}")
            return heard["result"]

    def wait_for(self, method: str, session: str) -> dict[str, Any]:
        """Return the first event of a kind that has not been taken yet."""
        while True:
            for number, one in enumerate(self.events):
                if one.get("method") == method and one.get("sessionId") == session:
                    return self.events.pop(number)
            self.events.append(self._hear())

    def _hear(self) -> dict[str, Any]:
        ends = time.monotonic() + PATIENCE
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._read], [], [], max(0.0, ends - time.monotonic()))
            part = os.read(self._read, 1 << 20) if ready else b""
            if not part:
                raise RuntimeError("the browser says nothing any more")
            self._rest += part
        one, _, self._rest = self._rest.partition(b"\0")
        found: dict[str, Any] = json.loads(one)
        return found

    def close(self) -> None:
        """End the browser and its helpers, all of them our own."""
        try:
            self.call("Browser.close")
        except (RuntimeError, OSError):
            os.killpg(self._pid, signal.SIGKILL)
        os.waitpid(self._pid, 0)
        os.close(self._read)
        os.close(self._write)


def _far_pipe() -> tuple[int, int]:
    """Return a pipe whose ends lie beyond the numbers that the browser wants for itself."""
    read, write = os.pipe()
    far = tuple(fcntl.fcntl(one, fcntl.F_DUPFD_CLOEXEC, 20) for one in (read, write))
    os.close(read)
    os.close(write)
    return far[0], far[1]


class Phone:
    """One tab the size of a phone. Its clocks stand still until they are set, and its zone is given."""

    def __init__(self, browser: Browser, *, zone: str = "America/Chicago", dark: bool = False) -> None:
        self.browser = browser
        self._context = browser.call("Target.createBrowserContext")["browserContextId"]
        target = browser.call("Target.createTarget", url="about:blank", browserContextId=self._context)
        self._target = target["targetId"]
        attached = browser.call("Target.attachToTarget", targetId=self._target, flatten=True)
        self.session: str = attached["sessionId"]
        self._script: str | None = None
        self.date = self.tick = 0
        for domain in ("Page", "Runtime", "Network", "Log", "Accessibility"):
            self.call(f"{domain}.enable")
        self.call("Emulation.setTimezoneOverride", timezoneId=zone)
        self.size(390, 844)
        self.scheme(dark=dark)

    def call(self, method: str, **parameters: Any) -> Any:
        """Return the answer of this tab."""
        return self.browser.call(method, self.session, **parameters)

    def size(self, width: int, height: int) -> None:
        """Turn the phone, or take another."""
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=2, mobile=True
        )

    def scheme(self, *, dark: bool) -> None:
        """Let the phone be set to dark or light."""
        wanted = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
        self.call("Emulation.setEmulatedMedia", features=wanted)

    def clock(self, date: int, tick: int, *, open_page: bool = True) -> None:
        """Set the date (ms since 1970) and the monotonic clock (ms) for what is opened next, and now."""
        self.date, self.tick = date, tick
        if self._script:
            self.call("Page.removeScriptToEvaluateOnNewDocument", identifier=self._script)
        made = self.call("Page.addScriptToEvaluateOnNewDocument", source=_CLOCK % (date, tick))
        self._script = made["identifier"]
        if open_page:
            self.js(f"window.testClock && testClock.set({date}, {tick})")

    def later(self, seconds: float) -> None:
        """Let both clocks go on, as they do; the page has noticed when this returns."""
        self.clock(self.date + round(seconds * 1000), self.tick + round(seconds * 1000))
        self.settle()

    def settle(self) -> None:
        """Wait until the page has run its own turn once more."""
        self.js("new Promise((done) => setTimeout(done, 260))")

    def open(self, path: Path) -> None:
        """Open a file as a coach would, by its place on the phone."""
        self.call("Page.navigate", url=path.as_uri())
        self.browser.wait_for("Page.loadEventFired", self.session)

    def reload(self) -> None:
        """Load the page again."""
        self.call("Page.reload")
        self.browser.wait_for("Page.loadEventFired", self.session)

    def js(self, expression: str) -> Any:
        """Return the value of an expression in the page, awaited.

        Raises:
            RuntimeError: it throws.

        """
        found = self.call("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in found:
            raise RuntimeError(found["exceptionDetails"])
        return found["result"].get("value")

    def text(self, selector: str) -> str:
        """Return the text that is seen of an element, empty where none is."""
        one = f"document.querySelector({json.dumps(selector)})"
        return str(self.js(f"{one}?.checkVisibility() ? {one}.innerText : ''")).strip()

    def tap(self, selector: str) -> None:
        """Touch the middle of an element, as a finger would: what lies over it gets the touch."""
        box = self.js(
            f"(() => {{ const one = document.querySelector({json.dumps(selector)});"
            "one.scrollIntoView({ block: 'center' }); const box = one.getBoundingClientRect();"
            "return [box.x + box.width / 2, box.y + box.height / 2]; })()"
        )
        for kind in ("mousePressed", "mouseReleased"):
            at = {"x": box[0], "y": box[1], "button": "left", "clickCount": 1}
            self.call("Input.dispatchMouseEvent", type=kind, **at)

    def key(self, key: str, code: int, text: str = "", modifiers: int = 0) -> None:
        """Press a key."""
        said = {"key": key, "code": key, "windowsVirtualKeyCode": code, "modifiers": modifiers}
        self.call("Input.dispatchKeyEvent", type="keyDown", text=text, **said)
        self.call("Input.dispatchKeyEvent", type="keyUp", **said)

    def picture(self, path: Path, *, whole: bool = False) -> None:
        """Save what the screen shows, or the whole page."""
        data = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"]
        path.write_bytes(base64.b64decode(data))

    def heard(self, *methods: str) -> list[dict[str, Any]]:
        """Return the events of these kinds that this tab has sent so far."""
        self.js("1")
        return [
            one["params"]
            for one in self.browser.events
            if one.get("method") in methods and one.get("sessionId") == self.session
        ]

    def complaints(self) -> list[str]:
        """Return every error and warning of the console and of the page's policy."""
        logged = [one["entry"]["text"] for one in self.heard("Log.entryAdded")]
        thrown = [one["exceptionDetails"]["text"] for one in self.heard("Runtime.exceptionThrown")]
        return logged + thrown + [str(one["args"]) for one in self.heard("Runtime.consoleAPICalled")]

    def requests(self) -> list[str]:
        """Return the addresses that the page asked for."""
        return [one["request"]["url"] for one in self.heard("Network.requestWillBeSent")]

    def close(self) -> None:
        """Close the tab and forget what it kept."""
        self.browser.call("Target.disposeBrowserContext", browserContextId=self._context)
        self.browser.events.clear()
