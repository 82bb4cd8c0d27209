"""The team's own drills: files in the data folder, begun, copied, edited, put away and brought back."""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner import data
from planner.desk.desk import Desk
from planner.desk.drills import find_drill
from planner.desk.library import RULES, Text, court_of, origin_line, own_files, shown
from planner.drills.card import Drill
from planner.drills.library import ID, read_drill_and_rows
from planner.drills.vocabulary import Stage
from planner.problem import Problem, Refusal
from planner.text import clean_line

LONGEST_ID = 60

_RESERVED = re.compile(r"con|nul|aux|prn|com\d|lpt\d")
Run = Callable[[Sequence[str]], int]


@dataclass(frozen=True, slots=True)
class Edited:
    """What came of an edit: the file, what is wrong in it now, and whether anything was changed."""

    path: Path
    problems: tuple[Problem, ...]
    changed: bool
    copied: bool


def clean_id(raw: str) -> str:
    """Return a drill's id that can name a file on every system.

    Raises:
        Refusal: it cannot.

    """
    if len(raw) > LONGEST_ID or not ID.fullmatch(raw) or _RESERVED.fullmatch(raw):
        raise Refusal(
            f"'{clean_line(raw, 40)}' is no id for a drill; use lower-case words joined by hyphens,"
            f" at most {LONGEST_ID} letters, such as corner-closeouts."
        )
    return raw


def own_path(desk: Desk, drill: str) -> Path:
    """Return where the team's own drill of that id lies, or would."""
    return desk.home / "drills" / f"{clean_id(drill)}.toml"


def new_drill(desk: Desk, raw: str, title: str = "", principle: str = "", stage: Stage | None = None) -> Path:
    """Write a commented file to fill in; until it is complete it is left out of the library.

    Raises:
        Refusal: the id is none or taken, or the principle unknown.

    """
    from planner.desk.drill_template import template

    drill = clean_id(raw)
    if drill in desk.library.by_id:
        raise Refusal(f"There is a drill '{drill}' already; 'stopsheet drills edit {drill}' changes it.")
    known = desk.library.vocabulary.principle_by_id
    if principle and principle not in known:
        raise Refusal(f"'{clean_line(principle, 40)}' is no principle; they are: {', '.join(known)}.")
    text = template(drill, clean_line(title, 80), principle or next(iter(known)), stage or Stage.GUIDED)
    return _write_new(desk, drill, text)


def copy_drill(desk: Desk, raw: str, new: str = "") -> Path:
    """Copy a drill into the team's own; under its own id the copy replaces the shipped one for this team.

    Raises:
        Refusal: there is no such drill, or a file is there already.

    """
    found = find_drill(desk.library, raw)
    drill = clean_id(new) if new else found.id
    taken = drill in desk.library.own or (drill != found.id and drill in desk.library.by_id)
    if taken:
        raise Refusal(f"There is a drill '{drill}' already; 'stopsheet drills edit {drill}' changes it.")
    source = _source(desk, found)
    text = source.text
    if found.id not in desk.library.own:
        text = f"{origin_line(found.id, source)}\n{text}"
    if drill != found.id:
        text = _renamed(text, drill, found)
        made, _, problems = read_drill_and_rows(drill, text, desk.library.vocabulary)
        if made is None or problems or made.id != drill:
            raise Refusal(f"'{found.id}' cannot be copied under another id; its file is written unusually.")
    return _write_new(desk, drill, text)


def edit_drill(desk: Desk, raw: str, environ: Mapping[str, str], run: Run | None = None) -> Edited:
    """Open a drill in the coach's editor and read it again; a shipped drill is copied first.

    Raises:
        Refusal: there is no such drill, or no editor.

    """
    command = _editor(environ)
    path = own_path(desk, raw)
    copied = not path.is_file()
    if copied:
        path = copy_drill(desk, raw)
    before = path.read_bytes()
    try:
        (run or _run)([*command, str(path)])
    except OSError as fault:
        if copied:
            path.unlink(missing_ok=True)
        why = fault.strerror or "no reason given"
        raise Refusal(f"The editor '{clean_line(command[0], 60)}' did not start ({why}).") from None
    changed = path.is_file() and path.read_bytes() != before
    if not changed:
        if copied:
            path.unlink(missing_ok=True)
    elif not copied:
        _to_trash(desk, path, before)
    _forget(desk)
    return Edited(path, tuple(problems_in(desk, path)) if path.is_file() else (), changed, copied)


def remove_drill(desk: Desk, raw: str) -> str:
    """Move the team's own drill to the trash folder; a shipped drill of that id is in use again.

    Raises:
        Refusal: the team has no drill of that id.

    """
    path = own_path(desk, raw)
    if not path.is_file():
        known = raw in desk.library.by_id
        hint = "it came with stopsheet and stays" if known else "'stopsheet drills list --own' shows yours"
        raise Refusal(f"You have no drill of your own called '{clean_line(raw, 40)}'; {hint}.")
    kept = _to_trash(desk, path, path.read_bytes())
    path.unlink()
    _forget(desk)
    back = " The shipped one is used again." if path.stem in desk.library.by_id else ""
    return f"Moved to {shown(kept)}.{back}"


def restore_drill(desk: Desk, raw: str) -> str:
    """Bring back what the trash folder holds newest of a drill; what is there now goes there instead.

    Raises:
        Refusal: the trash folder holds nothing of it.

    """
    path = own_path(desk, raw)
    kept = sorted(_trash(desk).glob(f"{path.stem}.*.toml"))
    if not kept:
        raise Refusal(f"The trash folder holds nothing of '{path.stem}'.")
    data_back = kept[-1].read_bytes()
    if path.is_file():
        _to_trash(desk, path, path.read_bytes())
    _put(path, data_back)
    kept[-1].unlink()
    _forget(desk)
    return f"'{path.stem}' is back as it was: {shown(path)}."


def problems_in(desk: Desk, path: Path) -> list[Problem]:
    """Return what is wrong with one file of the team's own, its diagrams included."""
    from planner.drills.audit import diagram_faults

    texts, problems = own_files(path.parent)
    name = shown(path)
    mine = [one for one in texts if one.name == name]
    if not mine:
        return [one for one in problems if one.file == name]
    try:
        text = mine[0].text
    except UnicodeDecodeError:
        return [Problem(name, None, "cannot be read: not UTF-8 text")]
    drill, rows, found = read_drill_and_rows(name, text, desk.library.vocabulary)
    if drill and drill.id != path.stem:
        found.append(Problem(name, None, f"the id inside is '{drill.id}'; it must be the file's name"))
    if drill and rows:
        found += diagram_faults(drill, rows, text, [court_of(one) for one in RULES])
    return list(dict.fromkeys(found))


def _source(desk: Desk, drill: Drill) -> Text:
    own = drill.id in desk.library.own
    path = own_path(desk, drill.id) if own else data.drill_library() / "drills" / drill.file
    return Text(path.name, path.read_bytes())


def _renamed(text: str, drill: str, found: Drill) -> str:
    text = re.sub(r"(?m)^id\s*=.*$", f'id = "{drill}"', text, count=1)
    title = json.dumps(f"{found.title} (ours)", ensure_ascii=False)
    return re.sub(r"(?m)^title\s*=.*$", lambda _: f"title = {title}", text, count=1)


def _write_new(desk: Desk, drill: str, text: str) -> Path:
    path = own_path(desk, drill)
    if os.path.lexists(path):
        raise Refusal(f"'{path}' is there already; 'stopsheet drills edit {drill}' opens it.")
    _put(path, text.encode())
    _forget(desk)
    return path


def _put(path: Path, raw: bytes) -> None:
    from planner.paper.files import write_atomically

    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    write_atomically(path, raw, overwrite=True)


def _trash(desk: Desk) -> Path:
    return desk.home / "trash"


def _to_trash(desk: Desk, path: Path, raw: bytes) -> Path:
    stamp = desk.now().strftime("%Y%m%dT%H%M%S")
    number = 0
    while os.path.lexists(kept := _trash(desk) / f"{path.stem}.{stamp}-{number:03}.toml"):
        number += 1
    _put(kept, raw)
    return kept


def _forget(desk: Desk) -> None:
    desk.__dict__.pop("library", None)


def _editor(environ: Mapping[str, str]) -> list[str]:
    said = environ.get("VISUAL") or environ.get("EDITOR") or ""
    try:
        command = shlex.split(said, posix=os.name != "nt")
    except ValueError:
        command = []
    if not command:
        raise Refusal("No editor is known; set VISUAL or EDITOR, such as EDITOR=nano, and run it again.")
    return command


def _run(command: Sequence[str]) -> int:
    return subprocess.run(command, check=False).returncode  # noqa: S603  the coach's own editor
