"""What the tests of printed pages share: the structure of a tagged PDF, and pages as pictures."""

from __future__ import annotations

import io
import os
import re
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

KEPT = Path(__file__).parent / "data" / "pictures"
PPI = 36


@dataclass(frozen=True)
class Element:
    """One element of the structure tree: its role, its words for those who cannot see it, its depth."""

    role: str
    alt: str
    depth: int


def text_of(data: bytes) -> str:
    """Return the words of all pages in reading order, blanks evened out."""
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    return re.sub(r"\s+", " ", text.replace("\u200b", ""))


def elements(data: bytes) -> list[Element]:
    """Return the structure tree in reading order (PDF 32000-1, 14.7), roles mapped to standard ones."""
    root = PdfReader(io.BytesIO(data)).trailer["/Root"]
    tree = root["/StructTreeRoot"]
    roles = tree.get("/RoleMap", {})
    return list(_walk(tree.get("/K"), roles, 0))


def _walk(node: Any, roles: Any, depth: int) -> Iterator[Element]:
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for one in node:
            yield from _walk(one, roles, depth)
    elif isinstance(node, dict) and "/S" in node:
        role = str(node["/S"])
        yield Element(str(roles.get(role, role)), str(node.get("/Alt", "")), depth)
        yield from _walk(node.get("/K", []), roles, depth + 1)


def assert_accessible(data: bytes) -> list[Element]:
    """Assert what a screen reader needs (PDF/UA-1, ISO 14289-1, clauses from memory) and return the tree.

    Tagged, marked, with language and shown title; the document says it conforms; headings begin at level 1
    and skip none; every figure has words; every table has header cells and rows of equal length.
    """
    reader = PdfReader(io.BytesIO(data))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value is True
    assert str(root["/Lang"]) == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title
    assert "made by stopsheet" in str(reader.metadata.get("/Keywords", ""))
    assert b"pdfuaid:part>1<" in root["/Metadata"].get_object().get_data()
    found = elements(data)
    levels = [int(one.role[2:]) for one in found if re.fullmatch("/H[1-6]", one.role)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert all(one.alt.strip() for one in found if one.role == "/Figure")
    _assert_tables(found)
    for page in reader.pages:
        assert page.get("/Tabs") == "/S" or "/Annots" not in page
    return found


def _assert_tables(found: list[Element]) -> None:
    for at, table in enumerate(found):
        if table.role != "/Table":
            continue
        rows: list[list[str]] = []
        for one in found[at + 1 :]:
            if one.depth <= table.depth:
                break
            if one.role == "/TR":
                rows.append([])
            elif one.role in {"/TH", "/TD"}:
                rows[-1].append(one.role)
        assert "/TH" in rows[0]
        assert len({len(row) for row in rows}) == 1, rows


def pixels(png: bytes) -> tuple[int, int, bytes]:
    """Return width, height and the grey levels of an 8-bit RGB(A) PNG (W3C PNG, filters of section 9)."""
    at, parts, head = 8, [], (0, 0, 0, 0)
    while at < len(png):
        (size,) = struct.unpack(">I", png[at : at + 4])
        kind, body = png[at + 4 : at + 8], png[at + 8 : at + 8 + size]
        if kind == b"IHDR":
            head = struct.unpack(">IIBB", body[:10])
        elif kind == b"IDAT":
            parts.append(body)
        at += 12 + size
    wide, high, depth, colour = head
    assert depth == 8
    step = {0: 1, 2: 3, 6: 4}[colour]
    raw, line = zlib.decompress(b"".join(parts)), wide * step
    before, out = bytes(line), bytearray()
    for row in range(high):
        start = row * (line + 1)
        before = _unfiltered(raw[start], raw[start + 1 : start + 1 + line], before, step)
        out += before[::step]
    return wide, high, bytes(out)


def _unfiltered(kind: int, line: bytes, up: bytes, step: int) -> bytes:
    out = bytearray(line)
    for n in range(len(line)):
        left = out[n - step] if n >= step else 0
        corner = up[n - step] if n >= step else 0
        if kind == 1:
            out[n] = (out[n] + left) & 255
        elif kind == 2:
            out[n] = (out[n] + up[n]) & 255
        elif kind == 3:
            out[n] = (out[n] + (left + up[n]) // 2) & 255
        elif kind == 4:
            guess = left + up[n] - corner
            near = min((abs(guess - one), rank, one) for rank, one in enumerate((left, up[n], corner)))
            out[n] = (out[n] + near[2]) & 255
    return bytes(out)


def pictures_of(monkeypatch: pytest.MonkeyPatch, module: Any, make: Any) -> list[bytes]:
    """Return the pages that ``make`` sets through a module's ``typeset``, as small PNGs of the typesetter."""
    from planner.paper import typesetter

    asked: list[tuple[str, dict[str, str]]] = []
    real = module.typeset

    def noted(template: str, inputs: Any, *rest: Any) -> Any:
        import json

        asked.append((template, {"sheet": json.dumps(inputs, ensure_ascii=False, sort_keys=True)}))
        return real(template, inputs, *rest)

    monkeypatch.setattr(module, "typeset", noted)
    make()
    compiler = typesetter._compiler(*asked[-1], system_fonts=False)
    found = compiler.compile(format="png", ppi=float(PPI), timestamp=0)
    return found if isinstance(found, list) else [found]


def assert_looks_like(name: str, png: bytes) -> None:
    """Assert that a page looks like the one kept, within a little: how edges are smoothed may change.

    With ``KEEP_PICTURES`` set the kept picture is written anew, to be looked at before it is committed.
    """
    path = KEPT / f"{name}.png"
    if os.environ.get("KEEP_PICTURES"):
        path.write_bytes(png)
    wide, high, now = pixels(png)
    assert (wide, high) == pixels(path.read_bytes())[:2]
    then = pixels(path.read_bytes())[2]
    apart = [abs(a - b) for a, b in zip(now, then, strict=True)]
    assert sum(apart) / len(apart) <= 0.3, f"{name}: mean difference {sum(apart) / len(apart):.2f} of 255"
    far = sum(one > 48 for one in apart)
    assert far <= len(apart) * 0.0005, f"{name}: {far} of {len(apart)} pixels differ much"
