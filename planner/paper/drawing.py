"""A diagram fit to stand inside a page: made anew from its plain shapes, nothing else of it kept."""

from __future__ import annotations

import html
import re

_LARGEST = 400_000
_VIEW = re.compile(r'<svg\b[^>]*\bviewBox="((?:-?[\d.]{1,9} ){3}-?[\d.]{1,9})"')
_SHAPE = re.compile(r"<(path|circle|rect)\b([^<>]*)/>")
_PART = re.compile(
    r"\b(d|cx|cy|r|x|y|width|height|fill|stroke|stroke-width|stroke-linecap|stroke-linejoin)"
    r'="([#\w ,.+-]{0,40000})"'
)


def inline_drawing(svg: str, words: str) -> str:
    """Return SVG markup for an HTML page, named by ``words``; empty where there is nothing to draw.

    Only paths, circles and rectangles with plain attributes pass, so no text of the source can act on the
    page.
    """
    view = _VIEW.search(svg[:2_000])
    if view is None or len(svg) > _LARGEST:
        return ""
    shapes = [_shape(name, parts) for name, parts in _SHAPE.findall(svg)]
    if not shapes:
        return ""
    label = html.escape(words)
    return f'<svg viewBox="{view[1]}" role="img" aria-label="{label}">{"".join(shapes)}</svg>'


def _shape(name: str, parts: str) -> str:
    kept = "".join(f' {key}="{value}"' for key, value in _PART.findall(parts))
    return f"<{name}{kept}/>"
