"""Needs as bars with their interval, narrow enough for a side of the screen."""

from __future__ import annotations

from collections.abc import Mapping

from rich.text import Text

from planner.need.estimate import Needs, PrincipleNeed

SOLID, HALF, LIGHT = "█", "▓", "░"


def needs_bars(needs: Needs, titles: Mapping[str, str], width: int, *, tight: bool = False) -> Text:
    """Return title, bar and figures per principle; solid to the low end, light to the high end.

    ``tight`` leaves out the empty lines between them.
    """
    most = max((one.high for one in needs.principles), default=0.0) or 1.0
    out = Text(no_wrap=True, overflow="ellipsis")
    seen = f"{needs.possessions} poss., {needs.games} games" if needs.games else "no film: usual figures"
    out.append(f"Points lost per 100\n{seen[: width + 2]}\n", style="dim")
    for one in needs.principles:
        title = titles.get(one.principle, one.principle)
        out.append(f"{'' if tight else chr(10)}{title[:width]}\n", style="bold")
        bar = _bar(one, most, width - 6)
        out.append(f"{bar:<{width - 5}}{one.points_per_100:4.1f}\n")
    return out


def _bar(one: PrincipleNeed, most: float, width: int) -> str:
    def cells(value: float) -> int:
        return round(max(0.0, value) / most * width)

    low, mid, high = cells(one.low), cells(one.points_per_100), cells(one.high)
    return SOLID * low + HALF * (mid - low) + LIGHT * (high - mid)
