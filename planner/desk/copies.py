"""Copies of everything a team has, each one zip file: the database and the team's own files."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.desk.own_data import LARGEST, is_own_name, own_data
from planner.paper.files import MADE_BY, write_atomically
from planner.problem import Refusal
from planner.store import backup

if TYPE_CHECKING:
    from planner.desk.desk import Desk

FORMAT = "stopsheet copy 1"
LIST, DATABASE, OWN = "stopsheet.json", "stopsheet.db", "own/"
"""Members of the zip: what is in it, the database, and the folder of the team's own files."""
DAILY, BEFORE_RESTORE = "daily", "before-restore"
_MOST_BYTES = 500_000_000
_MOST_FILES = 100_000


def save_copy(desk: Desk, folder: Path, stem: str) -> Path:
    """Write a copy of everything into ``folder`` as ``stem.zip``, numbered if taken, for its owner alone.

    Raises:
        Refusal: the database is not sound, something cannot be read, or the copy cannot be written.

    """
    # The files first: what is finished meanwhile is then there twice, never not at all.
    own = own_data(desk.home)
    database = backup.as_bytes(backup_path(desk))
    data = zipped({DATABASE: database, **{OWN + name: raw for name, raw in own.items()}}, FORMAT, desk.now())
    with backup.in_words_for(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return write_atomically(backup.free_name(folder, stem, ".zip"), data, overwrite=False)


def backup_path(desk: Desk) -> Path:
    """Return where the database of a desk lies."""
    from planner.store.engine import database_path

    return database_path(desk.database or desk.home)


def backups(desk: Desk) -> Path:
    """Return the folder of copies, beside the database."""
    return backup_path(desk).parent / "backups"


def stamped(kind: str, now: dt.datetime) -> str:
    """Return a copy's name with its moment in UTC."""
    return f"{kind}-{now.astimezone(dt.UTC):%Y%m%d-%H%M%S}"


def save_daily(desk: Desk) -> Path | None:
    """Save the state before the day's first change, and let the oldest such copies go.

    Returns None where today's is there already or the coach wants none.

    Raises:
        Refusal: as for ``save_copy``.

    """
    folder, stem = backups(desk), f"{DAILY}-{desk.today:%Y%m%d}"
    if (folder / f"{stem}.zip").exists():
        return None
    keep = backup.copies_kept(backup_path(desk))
    if keep == 0:
        return None
    saved = save_copy(desk, folder, stem)
    backup.rotate(folder, DAILY, keep)
    return saved


def zipped(members: Mapping[str, bytes], form: str, now: dt.datetime, **more: Any) -> bytes:
    """Return a zip of these members; its first lists them with their SHA-256, readable as it lies."""
    digests = {name: hashlib.sha256(data).hexdigest() for name, data in members.items()}
    listed = {"made": MADE_BY, "format": form, "saved": now.astimezone(dt.UTC).isoformat(timespec="seconds")}
    head = json.dumps({**listed, **more, "members": digests}, indent=1, ensure_ascii=False).encode()
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(_member(LIST, now, zipfile.ZIP_STORED), head)
        for name, data in members.items():
            archive.writestr(_member(name, now, zipfile.ZIP_DEFLATED), data)
    return out.getvalue()


def _member(name: str, now: dt.datetime, how: int) -> zipfile.ZipInfo:
    moment = max(now.astimezone(dt.UTC), dt.datetime(1980, 1, 1, tzinfo=dt.UTC))
    made = zipfile.ZipInfo(name, moment.timetuple()[:6])
    made.compress_type = how
    made.external_attr = 0o600 << 16
    return made


def unzipped(path: Path, shown: str) -> tuple[str, dict[str, bytes]]:
    """Return the format of a zip that ``zipped`` made, and its members, each checked against the list.

    Raises:
        Refusal: it is another zip, damaged, or far too large.

    """
    try:
        with zipfile.ZipFile(path) as archive:
            infos = {one.filename: one for one in archive.infolist()}
            why = _unlike(infos)
            if why is None:
                head = json.loads(_read(archive, infos[LIST]))
                form, digests = str(head["format"]), dict(head["members"])
                members = {name: _read(archive, infos[name]) for name in digests}
    except OSError as fault:
        raise Refusal(f"{shown} cannot be read: {fault.strerror or 'unreadable'}.") from None
    except Exception:  # zipfile raises a dozen kinds, down to struct.error, on what was tampered with
        raise Refusal(f"{shown} cannot be restored: it is damaged.") from None
    if why is not None:
        raise Refusal(f"{shown} cannot be restored: {why}.")
    for name, data in members.items():
        if hashlib.sha256(data).hexdigest() != digests[name]:
            raise Refusal(f"{shown} cannot be restored: '{name[:60]}' in it is damaged.")
    return form, members


def _unlike(infos: Mapping[str, zipfile.ZipInfo]) -> str | None:
    """Return why a zip cannot be one of ours, None where it may be."""
    if LIST not in infos:
        return "it is a zip file, but not of stopsheet"
    if sum(one.file_size for one in infos.values()) > _MOST_BYTES or len(infos) > _MOST_FILES:
        return "it unpacks to more than any season holds"
    return None


def _read(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    with archive.open(info) as file:
        data = file.read(info.file_size + 1)
    if len(data) != info.file_size:
        raise ValueError(info.filename)
    return data


def own_members(members: Mapping[str, bytes], shown: str) -> dict[str, bytes]:
    """Return the team's own files among the members of a copy or an export.

    Raises:
        Refusal: one has a name that no file of ours has, or is too large.

    """
    found = {name.removeprefix(OWN): data for name, data in members.items() if name.startswith(OWN)}
    for name, data in found.items():
        if not is_own_name(name) or len(data) > LARGEST:
            raise Refusal(f"{shown} cannot be restored: it holds a file '{name[:60]}' that is not ours.")
    return found
