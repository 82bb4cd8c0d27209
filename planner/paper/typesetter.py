"""The one door to the typesetter: a template and its data in, the bytes of a PDF or of a PNG out."""

from __future__ import annotations

import datetime as dt
import json
import struct
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from planner.paper.files import MADE_BY
from planner.problem import Refusal

_HERE = Path(__file__).resolve().parent
FONTS = _HERE / "fonts"
TEMPLATES = _HERE / "templates"

_SYSTEM = "Some letters are not in the bundled typeface; this computer's own typefaces were used for them."
_UNTAGGED = (
    "A letter is in no typeface of this computer, so the page is printed without the promise of "
    "accessible PDF (PDF/UA-1) and the letter may show as a box."
)


@dataclass(frozen=True, slots=True)
class Typeset:
    """A finished document, what its template reports about itself, and what had to give way."""

    data: bytes
    pages: int
    facts: Mapping[str, Any]
    notes: tuple[str, ...] = ()


def typeset(template: str, inputs: Mapping[str, Any], date: dt.date, ppi: int | None = None) -> Typeset:
    """Set ``templates/<template>`` with ``inputs`` as the JSON text ``sys.inputs.sheet``; a PDF (PDF/UA-1).

    With ``ppi`` it is a PNG of so many pixels an inch instead, and the document must be one page.

    ``date`` is the document's only moment in time, so equal inputs give equal bytes. Every template reports
    its facts as metadata labelled ``<printed>`` and its page count as ``<pages>``. Text reaches it as data
    only.

    Raises:
        Refusal: the typesetter is missing, cannot set the document in any way, or a picture would need
            more than one page.

    """
    spoken = {"sheet": json.dumps(inputs, ensure_ascii=False, sort_keys=True)}
    tries: tuple[tuple[bool, bool, tuple[str, ...]], ...] = (
        (False, True, ()),
        (True, True, (_SYSTEM,)),
        (True, False, (_UNTAGGED,)),
    )
    failure = ""
    for system_fonts, tagged, notes in tries:
        try:
            compiler = _compiler(template, spoken, system_fonts=system_fonts)
            data, pages, facts = _compiled(compiler, date, tagged=tagged, ppi=ppi)
        except RuntimeError as error:
            failure = str(error)
            if "could not be displayed" not in failure:
                break
        else:
            return Typeset(data, pages, facts, notes)
    raise Refusal(f"The page could not be set: {failure.splitlines()[0] if failure else 'no reason given'}.")


def _compiler(template: str, spoken: dict[str, str], *, system_fonts: bool) -> Any:
    try:
        import typst
    except ImportError:
        raise Refusal(
            "There is no typesetter for this computer (the typst package); print to .txt or .html instead."
        ) from None
    return typst.Compiler(
        str(TEMPLATES / template),
        root=str(TEMPLATES),
        font_paths=[str(FONTS)],
        ignore_system_fonts=not system_fonts,
        sys_inputs=spoken,
    )


def _compiled(
    compiler: Any, date: dt.date, *, tagged: bool, ppi: int | None
) -> tuple[bytes, int, dict[str, Any]]:
    midnight = dt.datetime.combine(date, dt.time(), dt.UTC).timestamp()
    moment = max(0, int(midnight))
    if ppi is None:
        data = compiler.compile(format="pdf", pdf_standards="ua-1" if tagged else None, timestamp=moment)
    else:
        data = compiler.compile(format="png", ppi=float(ppi), timestamp=moment)
    if isinstance(data, list):
        raise Refusal(f"That takes {len(data)} pages, and a .png holds one; print to .pdf instead.")
    if not isinstance(data, bytes):
        raise Refusal("The typesetter gave no document; print to .txt instead.")
    facts = json.loads(compiler.query("<printed>", field="value", one=True))
    pages = json.loads(compiler.query("<pages>", field="value", one=True))
    return data if ppi is None else _marked(data), int(pages), facts


def _marked(png: bytes) -> bytes:
    """Return a PNG with the program's mark as a text chunk before its end (PNG, section 11.3.3.2)."""
    body = b"tEXtSoftware\0" + MADE_BY.encode()
    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    end = png.rindex(b"IEND") - 4
    return png[:end] + chunk + png[end:]
