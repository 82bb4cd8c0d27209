"""Make the pictures of the README and the coach's guide from the app itself: ``python tools/pictures.py``.

The invented season on a fixed evening, so that the same program gives the same pictures. The typeface is left
to whoever looks: a picture asks nobody for anything.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import re
import tempfile
from pathlib import Path

from planner.desk.demo import run_demo
from planner.desk.desk import Desk
from planner.screens.app import StopsheetApp

PLACE = Path(__file__).resolve().parent.parent / "planner" / "guide" / "pictures"
TODAY = dt.date(2027, 1, 13)
NOW = dt.datetime(2027, 1, 13, 20, 15, tzinfo=dt.UTC)
SIZE = (110, 32)
SHOTS = {
    "tomorrow": (("down", "down", "down", "down"), False),
    "film": (("2", "down", "enter", "b", "2", "1", "full_stop", "2", "space", "w"), False),
    "drills": (("3", "slash", "t", "a", "g", "enter"), True),
    "season": (("4",), True),
}
"""Picture -> the keys that lead there, and whether by daylight."""


async def shot(desk: Desk, keys: tuple[str, ...], light: bool) -> str:
    """Return the screen after the keys as SVG."""
    app = StopsheetApp(desk, light=light)
    async with app.run_test(size=SIZE) as pilot:
        for one in ("", *keys):
            if one:
                await pilot.press(one)
            for _ in range(3):
                await pilot.pause()
                await app.workers.wait_for_complete()
        await pilot.pause()
        return at_home(app.export_screenshot(title="stopsheet"))


def at_home(svg: str) -> str:
    """Return a picture that asks nobody for a typeface, with names that do not change from run to run."""
    svg = re.sub(r"<!--.*?-->\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    svg = svg.replace("Fira Code", "DejaVu Sans Mono")
    for number, name in enumerate(dict.fromkeys(re.findall(r"terminal-\d+", svg))):
        svg = svg.replace(name, f"screen{number}")
    return "\n".join(line.rstrip() for line in svg.splitlines()) + "\n"


def main() -> None:
    """Make every picture anew."""
    PLACE.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        demo = run_demo(Desk(Path(folder) / "base", TODAY, lambda: NOW), Path(folder) / "demo")
        for name, (keys, light) in SHOTS.items():
            (PLACE / f"{name}.svg").write_text(asyncio.run(shot(demo.desk, keys, light)), "utf-8")
        demo.desk.close()


if __name__ == "__main__":
    main()
