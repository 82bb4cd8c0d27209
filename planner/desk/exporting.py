"""Everything as plain files: JSON that loses nothing and can be restored, tables and film notes to read.

``data.json`` and the folder ``own`` are what a restore reads. ``tables`` holds the same rows for a
spreadsheet, guarded against being run as formulas and therefore not read back; ``film`` holds the film notes
as they were read in.
"""

from __future__ import annotations

import base64
import csv
import io
import json
import os
import shutil
import zipfile
import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.desk import copies
from planner.desk.own_data import is_own_name, own_data
from planner.paper.files import MADE_BY, write_atomically
from planner.problem import Refusal
from planner.store import backup
from planner.store.plain import Plain, pack, unpack
from planner.text import clean_line

if TYPE_CHECKING:
    from planner.desk.desk import Desk

FORMAT = "stopsheet export 1"
DATA, READ_ME = "data.json", "READ-ME.txt"
_MOST_BYTES = 2_000_000_000
# The list of the OWASP page "CSV Injection" (from memory), and a line feed and the wide forms besides.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_WORDS = """\
Everything that stopsheet knows, as plain files.

data.json   every row of every table; with the folder 'own' it is what 'stopsheet restore' reads
own         the team's own drills, and what is being entered or run
film        the film notes, as they were read in
tables      the same rows for a spreadsheet; a text that it would run as a formula has a ' before it

These files name players and opponents. Keep them where only you can read them.
"""


@dataclass(frozen=True, slots=True)
class Everything:
    """All data at one moment; ``own`` is None where the team's own files are left out."""

    plain: Plain
    own: Mapping[str, bytes] | None
    anonymous: bool = False

    def as_json(self, *, alone: bool) -> dict[str, Any]:
        """Return the data as JSON can hold them; ``alone`` puts the team's own files in as well."""
        made: dict[str, Any] = {
            "made": MADE_BY,
            "format": FORMAT,
            "anonymous": self.anonymous,
            "revision": self.plain.revision,
            "numbers": dict(self.plain.numbers),
            "tables": {table: list(rows) for table, rows in self.plain.tables.items()},
        }
        if alone:
            made["own"] = None if self.own is None else _as_texts(self.own)
        return made


def _as_texts(own: Mapping[str, bytes]) -> dict[str, str]:
    return {name: base64.b64encode(raw).decode("ascii") for name, raw in own.items()}


def everything(desk: Desk) -> Everything:
    """Return all data of a desk; the app may be open and writing.

    Raises:
        Refusal: something cannot be read.

    """
    own = own_data(desk.home)
    if desk.store.shared:
        from planner.store.server_rows import pack_server

        return Everything(pack_server(desk.store), own)
    return Everything(pack(copies.backup_path(desk)), own)


def write(desk: Desk, everything: Everything, to: Path) -> Path:
    """Write the data to a ``.json`` or ``.zip`` file or into a new folder, for their owner alone.

    Raises:
        Refusal: it cannot be written there.

    """
    ending = to.suffix.lower()
    if ending == ".json":
        return write_atomically(to, _json(everything.as_json(alone=True)), overwrite=False)
    members = _members(everything)
    if ending == ".zip":
        return write_atomically(to, copies.zipped(members, FORMAT, desk.now()), overwrite=False)
    return _write_folder(to, members)


def _members(found: Everything) -> dict[str, bytes]:
    members = {READ_ME: _WORDS.encode(), DATA: _json(found.as_json(alone=False))}
    members |= {copies.OWN + name: raw for name, raw in (found.own or {}).items()}
    for table, rows in found.plain.tables.items():
        members[f"tables/{table}.csv"] = _csv(rows)
    if not found.anonymous:
        members |= _film(found.plain.tables.get("film_note", ()))
    return members


def _json(value: Any) -> bytes:
    return f"{json.dumps(value, indent=1, ensure_ascii=False)}\n".encode()


def _csv(rows: Iterable[Mapping[str, Any]]) -> bytes:
    """Return rows as CSV (RFC 4180) that a spreadsheet opens as UTF-8 and does not run."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    listed = list(rows)
    if listed:
        writer.writerow([one for one in listed[0] if one != "raw"])
    for row in listed:
        writer.writerow([_cell(value) for key, value in row.items() if key != "raw"])
    return out.getvalue().encode("utf-8-sig")


def _cell(value: Any) -> Any:
    if isinstance(value, str) and value.startswith(_FORMULA):
        return f"'{value}"
    return value


def _film(notes: Iterable[Mapping[str, Any]]) -> dict[str, bytes]:
    found = {}
    for note in notes:
        raw = base64.b64decode(note["raw"])
        try:
            raw = zlib.decompressobj().decompress(raw, note["size"] + 1) if note["packed"] else raw
        except zlib.error:
            continue  # 'check' tells of it; data.json holds the bytes as they are
        letters = [one if one.isalnum() or one in "-._ " else "_" for one in clean_line(note["name"], 80)]
        found[f"film/{note['id']}-{''.join(letters).strip(' .') or 'note'}"] = raw
    return found


def _write_folder(to: Path, members: Mapping[str, bytes]) -> Path:
    """Write the members into a folder that appears whole or not at all."""
    shown = clean_line(str(to), 300)
    with backup.in_words_for(to):
        if to.is_file() or (to.is_dir() and any(to.iterdir())):
            raise Refusal(
                f"'{shown}' is there already; name a new folder, or a file ending in .zip or .json."
            )
        if not to.absolute().parent.is_dir():
            raise Refusal(
                f"There is no folder '{clean_line(str(to.absolute().parent), 300)}'; make it first."
            )
        passing = to.absolute().with_name(f".{to.name}.part")
        shutil.rmtree(passing, ignore_errors=True)
    try:
        with backup.in_words_for(to):
            passing.mkdir(mode=0o700)
        for name, data in members.items():
            with backup.in_words_for(to):
                (passing / name).parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            write_atomically(passing / name, data, overwrite=True)
        with backup.in_words_for(to):
            if to.is_dir():
                to.rmdir()
            passing.replace(to)
    finally:
        shutil.rmtree(passing, ignore_errors=True)
    return Path(os.path.realpath(to))


def is_export(source: Path) -> bool:
    """Return whether a restore would have to read ``source`` as an export rather than as a copy."""
    try:
        if source.is_dir():
            return (source / DATA).is_file()
        with source.open("rb") as file:
            head = file.read(64)
        if head.startswith(b"PK"):
            with zipfile.ZipFile(source) as archive:
                return DATA in archive.namelist()
    except (OSError, zipfile.BadZipFile, ValueError):
        return False
    return head.lstrip().startswith(b"{")


def read_into(source: Path, target: Path, shown: str) -> dict[str, bytes] | None:
    """Make a new database at ``target`` from an export, and return the team's own files; None for none told.

    Raises:
        Refusal: it is damaged, not ours, of a newer program, or breaks a rule of the tables.

    """
    own: dict[str, bytes] | None
    if source.is_dir():
        raw, own = _file(source / DATA, shown), own_folder(source / copies.OWN, shown)
    elif _file(source, shown, 2) == b"PK":
        form, members = copies.unzipped(source, shown)
        raw, own = members[DATA] if form == FORMAT else b"{}", copies.own_members(members, shown)
    else:
        raw, own = _file(source, shown), None
    try:
        table = json.loads(raw)
        if table["format"] != FORMAT:
            raise Refusal(f"{shown} cannot be restored: it is no export, or one of a newer stopsheet.")
        if not source.is_dir() and "own" in table:
            own = _own(table["own"], shown)
        if table["anonymous"]:
            own = None
        plain = Plain(str(table["revision"]), _tables(table["tables"]), dict(table["numbers"]))
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError):
        raise Refusal(f"{shown} cannot be restored: it is no export of stopsheet, or damaged.") from None
    unpack(plain, target, shown)
    return own


def _tables(value: Any) -> Mapping[str, Sequence[Mapping[str, Any]]]:
    if not all(
        isinstance(rows, list) and all(isinstance(row, dict) for row in rows) for rows in value.values()
    ):
        raise TypeError(value)
    return dict(value)


def _own(packed: Any, shown: str) -> dict[str, bytes] | None:
    if packed is None:
        return None
    members = {copies.OWN + name: base64.b64decode(raw, validate=True) for name, raw in packed.items()}
    return copies.own_members(members, shown)


def own_folder(folder: Path, shown: str) -> dict[str, bytes]:
    """Return the team's own files of an exported folder.

    Raises:
        Refusal: one cannot be read, or is not such a file.

    """
    with backup.in_words_for(folder):
        found = {one.relative_to(folder).as_posix(): one for one in folder.rglob("*") if one.is_file()}
        ours = {
            copies.OWN + name: one.read_bytes() for name, one in sorted(found.items()) if is_own_name(name)
        }
    return copies.own_members(ours, shown)


def _file(path: Path, shown: str, size: int | None = None) -> bytes:
    with backup.in_words_for(path), path.open("rb") as file:
        if path.stat().st_size > _MOST_BYTES:
            raise Refusal(f"{shown} cannot be restored: it is larger than any season.")
        return file.read() if size is None else file.read(size)
