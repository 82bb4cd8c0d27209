"""Charts drawn by hand as SVG: only path, circle and rect, black on white, sizes in millimetres.

They hold no letters: names and numbers stand beside them as text, where they can be read and searched.
"""

from __future__ import annotations

from collections.abc import Sequence

DARKEST = 0.42
"""How dark a cell of the heat table may be, so that black numerals stay readable on it."""

_HAIR, _LINE = 0.1, 0.25


def darkness(value: float, top: float) -> float:
    """Return how dark a heat cell is, 0 (white) to ``DARKEST``, by the value's part of the largest."""
    if top <= 0 or value <= 0:
        return 0.0
    return round(DARKEST * min(value / top, 1.0), 3)


def contrast(dark: float) -> float:
    """Return the contrast of black text on a grey of that darkness (WCAG 2.2, relative luminance)."""
    grey = 1.0 - dark
    light = grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4
    return (light + 0.05) / 0.05


def ticks(top: float, most: int = 5) -> tuple[float, ...]:
    """Return round numbers from 0 to not above ``top``, at most ``most`` steps of 1, 2 or 5 times ten."""
    if top <= 0:
        return (0.0,)
    step = 1e-6
    while top / step > most:
        for factor in (2.0, 2.5, 2.0):
            step *= factor
            if top / step <= most:
                break
    return tuple(round(step * n, 9) for n in range(int(top / step + 1e-9) + 1))


def interval(
    low: float, middle: float, high: float, top: float, size: tuple[float, float], at: Sequence[float] = ()
) -> str:
    """Return one row of an interval chart: a line from ``low`` to ``high`` with ends, a disc at ``middle``.

    ``top`` is the value at the right edge; ``at`` are the values with a thin upright line.
    """
    wide, high_mm = size
    middle_y = high_mm / 2
    end = high_mm * 0.22

    def x(value: float) -> float:
        return _along(value, top, wide)

    parts = [_rule(x(one), high_mm) for one in at]
    left, right = x(low), x(high)
    parts.append(_path(f"M{_n(left)} {_n(middle_y)}H{_n(right)}", _LINE))
    parts.append(_path(f"M{_n(left)} {_n(middle_y - end)}v{_n(2 * end)}", _LINE))
    parts.append(_path(f"M{_n(right)} {_n(middle_y - end)}v{_n(2 * end)}", _LINE))
    parts.append(f'<circle cx="{_n(x(middle))}" cy="{_n(middle_y)}" r="{_n(high_mm * 0.21)}" fill="#000"/>')
    return _document(size, parts)


def pair_of_bars(
    first: float, second: float, top: float, size: tuple[float, float], at: Sequence[float] = ()
) -> str:
    """Return two bars from the left edge, the first black above, the second white with a black edge below."""
    wide, high = size
    thick = high * 0.36
    parts = [_rule(_along(one, top, wide), high) for one in at]
    upper, lower = _along(first, top, wide), _along(second, top, wide)
    if upper > 0:
        parts.append(
            f'<rect x="0" y="{_n(high * 0.1)}" width="{_n(upper)}" height="{_n(thick)}" fill="#000"/>'
        )
    if lower > 0:
        inner = max(lower - _LINE, 0.02)
        parts.append(
            f'<rect x="{_n(_LINE / 2)}" y="{_n(high * 0.54)}" width="{_n(inner)}" height="{_n(thick)}"'
            f' fill="#fff" stroke="#000" stroke-width="{_LINE}"/>'
        )
    return _document(size, parts)


def columns(
    values: Sequence[float | None],
    top: float,
    size: tuple[float, float],
    at: Sequence[float] = (),
    open_ones: Sequence[bool] = (),
) -> str:
    """Return upright columns over equal stretches of the width; a value of None leaves its place empty.

    ``open_ones`` says which columns are white with a black edge (not all of it was measured). ``at`` are the
    values with a thin level line.
    """
    wide, high = size
    stretch = wide / max(len(values), 1)
    thick = min(stretch * 0.66, 7.0)
    parts = [_path(f"M0 {_n(high - _along(one, top, high))}H{_n(wide)}", _HAIR) for one in at]
    for number, value in enumerate(values):
        if not value:
            continue
        tall = _along(value, top, high)
        left = stretch * number + (stretch - thick) / 2
        hollow = number < len(open_ones) and open_ones[number]
        fill = f'fill="#fff" stroke="#000" stroke-width="{_LINE}"' if hollow else 'fill="#000"'
        parts.append(
            f'<rect x="{_n(left)}" y="{_n(high - tall)}" width="{_n(thick)}" height="{_n(tall)}" {fill}/>'
        )
    parts.append(_path(f"M0 {_n(high)}H{_n(wide)}", _LINE))
    return _document(size, parts)


def _along(value: float, top: float, length: float) -> float:
    """Return how far along a scale a value lies, kept on the scale."""
    return 0.0 if top <= 0 else min(max(value / top, 0.0), 1.0) * length


def _rule(x: float, high: float) -> str:
    return _path(f"M{_n(x)} 0V{_n(high)}", _HAIR)


def _path(data: str, width: float) -> str:
    return f'<path d="{data}" fill="none" stroke="#000" stroke-width="{width}"/>'


def _document(size: tuple[float, float], parts: Sequence[str]) -> str:
    wide, high = size
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(wide)}mm" height="{_n(high)}mm"'
        f' viewBox="0 0 {_n(wide)} {_n(high)}">{"".join(parts)}</svg>'
    )


def _n(value: float) -> str:
    """Return a number as short as SVG takes it, never ``-0``."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
