"""Seeded damage to samples: bytes, lines, words and, inside archives, the parts."""

from __future__ import annotations

import io
import random
import warnings
import zipfile
from collections.abc import Callable, Sequence

MOST_BYTES = 5_000_000

ODD = (
    *(
        "\x00",
        "\x1b[31m",
        "\x1b]0;title\x07",
        "\u202e",
        "\u200b",
        "\ufeff",
        "\ud800".encode("utf-8", "surrogatepass"),
    ),
    *(
        "=1+1",
        "@SUM(A1)",
        "<script>",
        "<!DOCTYPE a [<!ENTITY x 'y'>]>",
        "../../etc/passwd",
        '#read("/etc/passwd")',
    ),
    *(
        "9" * 400,
        "-1",
        "0",
        "1e309",
        "NaN",
        "\u0661\u0662",
        "\u00bd",
        "12:75",
        "99:99:99",
        "Q99",
        "x" * 5_000,
    ),
    *('"', "'", ",", ";", "\t", "\r", "\n\n", "[", "]]", "{", "}", "\\", "%s", "{0}", "\u2028", "é" * 50),
    *("00:00:00.000 --> 99:99:99.999", "BEGIN:VEVENT", "RRULE:FREQ=SECONDLY", "DTSTART:00000000T999999Z"),
    *("[[diagram]]", "true", "1979-05-27T07:32:00Z", "x" + " a" * 2_000, "((((((((((" * 20, "á́́́́" * 300),
)
_ODD = tuple(one if isinstance(one, bytes) else one.encode() for one in ODD)

Damage = Callable[[random.Random, bytes, Sequence[bytes]], bytes]


def mutated(chance: random.Random, raw: bytes, others: Sequence[bytes]) -> bytes:
    """Return ``raw`` damaged one to six times; ``others`` are samples to splice from."""
    if raw.startswith(b"PK") and chance.random() < 0.8:
        return _archive(chance, raw, others)[:MOST_BYTES]
    for _ in range(chance.choice((1, 1, 2, 3, 6))):
        raw = chance.choice(_DAMAGES)(chance, raw, others)
    if chance.random() < 0.002 and raw:
        raw *= min(400, MOST_BYTES // len(raw)) or 1
    return raw[:MOST_BYTES]


def _spot(chance: random.Random, raw: bytes) -> int:
    return chance.randrange(len(raw) + 1)


def _flip(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    if not raw:
        return b"\x80"
    at = chance.randrange(len(raw))
    return raw[:at] + bytes([raw[at] ^ (1 << chance.randrange(8))]) + raw[at + 1 :]


def _insert(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    at = _spot(chance, raw)
    return raw[:at] + chance.choice(_ODD) + raw[at:]


def _cut(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    at, to = sorted((_spot(chance, raw), _spot(chance, raw)))
    return raw[:at] + raw[to:] if to - at < len(raw) // 2 else raw[:to]


def _again(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    at, to = sorted((_spot(chance, raw), _spot(chance, raw)))
    return raw[:to] + raw[at : min(to, at + 2_000)] * chance.randrange(1, 9) + raw[to:]


def _splice(chance: random.Random, raw: bytes, others: Sequence[bytes]) -> bytes:
    other = chance.choice(others)
    return raw[: _spot(chance, raw)] + other[_spot(chance, other) :]


def _lines(chance: random.Random, raw: bytes, others: Sequence[bytes]) -> bytes:
    rows = raw.split(b"\n")
    new = chance.choice(others).split(b"\n")
    at = chance.randrange(len(rows))
    rows[at : at + chance.randrange(3)] = [chance.choice(new) for _ in range(chance.randrange(4))]
    return b"\n".join(rows)


def _word(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    words = raw.split(b" ")
    words[chance.randrange(len(words))] = chance.choice((chance.choice(_ODD), chance.choice(words), b""))
    return b" ".join(words)


def _number(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    digits = [at for at, one in enumerate(raw) if 48 <= one <= 57]
    if not digits:
        return raw
    at = chance.choice(digits)
    return raw[:at] + str(chance.choice((0, -1, 99, 10**6, 2**63, 10**30))).encode() + raw[at + 1 :]


def _recode(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    return raw.decode("utf-8", "replace").encode(
        chance.choice(("utf-16", "utf-16-le", "utf-32", "cp1252")), "replace"
    )


def _ends(chance: random.Random, raw: bytes, _: Sequence[bytes]) -> bytes:
    return raw.replace(b"\n", chance.choice((b"\r", b"\r\n", b"\n\n", b"", b"\x0b", b"\xe2\x80\xa8")))


_DAMAGES: tuple[Damage, ...] = (
    *(_flip, _insert, _insert, _cut, _again, _splice, _lines, _lines, _word, _word, _number, _number),
    *(_recode, _ends),
)


def _archive(chance: random.Random, raw: bytes, others: Sequence[bytes]) -> bytes:
    """Damage the parts of an archive rather than its bytes, so that the reader inside is reached."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            parts = [(one.filename, packed.read(one)) for one in packed.infolist()]
    except (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError, ValueError, KeyError):
        return _flip(chance, raw, others)
    if not parts:
        return _flip(chance, raw, others)
    for _ in range(chance.choice((1, 1, 2, 3))):
        at = chance.randrange(len(parts))
        name, part = parts[at]
        what = chance.random()
        if what < 0.05:
            del parts[at]
            if not parts:
                return raw
        elif what < 0.1:
            parts.append((chance.choice(("../out", "/etc/x", name, "a" * 300, "x\\..\\y")), part))
        elif what < 0.13:
            parts[at] = (name, part + b" " * chance.choice((1_000, 5_000_000, 14_000_000)))
        else:
            texts = [one for _, one in parts] or [b""]
            parts[at] = (name, chance.choice(_DAMAGES)(chance, part, texts))
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as packed, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of names that come twice, which is meant
        for name, part in parts:
            info = zipfile.ZipInfo(name or "x", (2027, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(info, part)
    return kept.getvalue()
