"""Files made to do harm, given to ``film add``: read with a warning or refused in one sentence, and soon."""

from __future__ import annotations

import io
import os
import time
import zipfile
from pathlib import Path

import pytest

from tests.running import Stopsheet, assert_refused, everything, is_clean

HEAD = "Clock,Pts,Mistake,Player\n"
ROW = "8:42,2,no box out,21\n8:20,0,,\n"
CUE = "00:0{0}.000 --> 00:0{1}.000\ntwenty one never boxed out he just watched the shot go up\n\n"


def archive(*parts: tuple[str, bytes]) -> bytes:
    """Return a packed archive."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in parts:
            packed.writestr(name, text)
    return made.getvalue()


REFUSED: dict[str, bytes] = {
    "empty.txt": b"",
    "empty.vtt": b"",
    "empty.xlsx": b"",
    "blank.csv": b",,,\n,,,\n",
    "binary.txt": bytes(range(256)) * 40,
    "binary.vtt": bytes(range(256)) * 40,
    "nul.txt": b"\0" * 5_000,
    "line.txt": b"x" * 5_000_000,
    "line.csv": b"no box out," * 450_000,
    "large.vtt": b"WEBVTT\n\n" + b"x" * 5_000_000,
    "columns.csv": (",".join(["Mistake", *(f"c{n}" for n in range(10_000))]) + "\nno box out\n").encode(),
    "page.xlsx": b"<html><body><table><tr><td>Mistake</td></tr></table></body></html>",
    "page.txt": b"<!DOCTYPE html><html><body>no box out 21</body></html>",
    "bomb.xlsx": archive(("[Content_Types].xml", b"<Types/>"), ("xl/a.xml", b"0" * 40_000_000)),
    "entities.xlsx": archive(("[Content_Types].xml", b'<!DOCTYPE a [<!ENTITY b "b">]><Types>&b;</Types>')),
    "archive.xlsx": archive(("notes.txt", b"no box out 21")),
    "cut.xlsx": archive(("[Content_Types].xml", b"<Types/>"))[:60],
    "many.vtt": b"WEBVTT\n\n" + b"0:1-->0:2\n" * 50_001,
}
READ: dict[str, bytes] = {
    "nul.csv": (HEAD + ROW).replace("no box", "no\0 box").encode(),
    "wide.csv": (HEAD + ROW).encode("utf-16"),
    "bare16.csv": (HEAD + ROW).encode("utf-16-le"),
    "half.csv": (HEAD + ROW).encode() + b"8:00,0,clean \xff\xfe\x81 \xc3\xa9,\n",
    "formulas.csv": (HEAD + ROW + "8:00,2,=cmd|' /C calc'!A0,21\n7:50,2,@SUM(1+1),21\n").encode(),
    "escapes.csv": (HEAD + ROW + "8:00,2,\x1b[2J\x1b]0;x\x07wipe \u202eedoc,21\n").encode(),
    "markup.csv": (HEAD + ROW + "8:00,2,<b>zonk</b> [bold]zonk[/],21\n").encode(),
    "dates.csv": b"Date,2026-02-31\n" + (HEAD + ROW).encode(),
    "negative.csv": (HEAD + ROW + "8:00,-2,no box out,21\n7:50,1e9,no box out,21\n").encode(),
    "backwards.vtt": ("WEBVTT\n\n" + CUE.format(9, 8) + CUE.format(5, 6)).encode(),
    "untimed.vtt": b"WEBVTT\n\nlater --> 00:02.000\nno talk\n\n" + CUE.format(1, 5).encode(),
    "line.vtt": ("WEBVTT\n\n" + CUE.format(1, 5)).encode() + b"00:30.000 --> 00:40.000\n" + b"x" * 4_000_000,
    "escapes.vtt": ("WEBVTT\n\n" + CUE.format(1, 5).replace("never", "\x1b[31mnever")).encode(),
}

PLAIN = frozenset({"nul.csv", "wide.csv", "bare16.csv", "half.csv", "escapes.vtt"})
"""Those that are read whole, so that there is nothing to warn of."""


@pytest.fixture
def film(stopsheet: Stopsheet) -> Stopsheet:
    """Return the command line of a team with one game."""
    stopsheet("team", "new", "Herons")
    stopsheet("team", "player", "21")
    stopsheet("team", "game", "2027-01-08", "Marlow Lane")
    return stopsheet


def add(film: Stopsheet, path: Path, words: str = "") -> float:
    """Add a file that is refused, in a sentence with the words and leaving every row as it was."""
    before = everything(film.home)
    begun = time.process_time()
    assert_refused(film("film", "add", str(path), "--game", "1"), words)
    took = time.process_time() - begun
    assert everything(film.home) == before
    return took


@pytest.mark.parametrize("name", REFUSED)
def test_refused_in_a_sentence(film: Stopsheet, tmp_path: Path, name: str) -> None:
    """What is no film note, or too much of one, is named and refused within two seconds; nothing is kept."""
    path = tmp_path / name
    path.write_bytes(REFUSED[name])
    assert add(film, path, name if name != "many.vtt" else "50,000") < 2


@pytest.mark.parametrize("name", READ)
def test_read_with_a_warning(film: Stopsheet, tmp_path: Path, name: str) -> None:
    """What can be read is read within two seconds, the good lines counted or proposed, all of it clean."""
    path = tmp_path / name
    path.write_bytes(READ[name])
    begun = time.process_time()
    ran = film("film", "add", str(path), "--game", "1", "--json")
    assert time.process_time() - begun < 2
    assert (ran.code, ran.err) == (0, "")
    (told,) = ran.json
    assert "no-box-out" in {one["breakdown"] for one in told["sightings"]}
    assert told["problems"] or told["unclear"] or name in PLAIN
    kept = [value for rows in everything(film.home).values() for row in rows for value in row.values()]
    assert all(is_clean(value) for value in kept if isinstance(value, str))
    assert all(one["points"] is None or 0 <= one["points"] <= 5 for one in told["sightings"])


def test_what_is_no_file(film: Stopsheet, tmp_path: Path) -> None:
    """A folder without notes, a link to itself, a pipe, a name of escapes are refused like the rest."""
    (tmp_path / "none").mkdir()
    add(film, tmp_path / "none", "holds no film note")
    (tmp_path / "round.txt").symlink_to(tmp_path / "round.txt")
    add(film, tmp_path / "round.txt", "a link to nothing")
    add(film, tmp_path / "\x1b[31mgone.txt", "not there")
    add(film, tmp_path / ("x" * 300), "cannot be read")
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.txt")
        add(film, tmp_path / "pipe.txt", "no file that can be read")
