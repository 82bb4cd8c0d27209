"""A whole evening in one program that is watched for every try to reach a network.

Run as ``python -m tests.unconnected FOLDER [--leak]``; prints JSON: what each command ended with, and
the tries seen. ``--leak`` tries once, to show that it would be seen.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import os
import socket
import sys
from pathlib import Path
from typing import Any

WATCHED = (
    "socket.",
    "urllib.",
    "http.client.",
    "ftplib.",
    "smtplib.",
    "poplib.",
    "imaplib.",
    "nntplib.",
    "telnetlib.",
)
STARTED = ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.startfile")
_HARMLESS = frozenset({"socket.__new__", "socket.gethostname"})


class Watch:
    """Notes every call of the interpreter that could reach a network, or start a program that could."""

    def __init__(self) -> None:
        self.tries: list[str] = []
        sys.addaudithook(self._see)

    def _see(self, event: str, arguments: tuple[Any, ...]) -> None:
        told = [one for one in arguments if not isinstance(one, socket.socket)]
        made = event == "socket.__new__" and arguments[1] != getattr(socket, "AF_UNIX", None)
        if made or (event.startswith((*WATCHED, *STARTED)) and event not in _HARMLESS):
            self.tries.append(f"{event} {told!r:.100}")


def unrouted() -> int | None:
    """Return how often this network namespace had no way to send (RFC 4293, ipSystemStatsOutNoRoutes)."""
    path = Path("/proc/self/net/snmp")
    if not path.is_file():
        return None
    head, row = (line.split() for line in path.read_text("ascii").splitlines() if line.startswith("Ip:"))
    return int(row[head.index("OutNoRoutes")])


def commands(folder: Path, today: dt.date) -> list[tuple[str, ...]]:
    """Return an evening as it is typed, from a new team to the copy of all data."""
    note = folder / "harbour.txt"
    note.write_text(
        f"Opponent: Harbour Point\nDate: {today - dt.timedelta(days=1)}\n"
        "Q1 8:42 2 no box out 21, ball watching 4\nQ1 8:20 stop\n"
        "Q1 8:01 2 zzz qqq wobble\nQ1 7:55 +3 late closeout #12\n",
        "utf-8",
    )
    day = today.isoformat()
    endings = (".pdf", ".html", ".png", ".ics", ".txt", ".json")
    printed = [("print", "plan", "--to", str(folder / f"plan{ending}")) for ending in endings]
    return [
        ("team", "new", "Marrowby Otters", "--from", (today - dt.timedelta(days=60)).isoformat()),
        *(("team", "player", str(number)) for number in range(4, 12)),
        ("film", "read", str(note)),
        ("film", "add", str(note)),
        ("film", "unclear"),
        ("film", "sort", "1", "nothing"),
        ("film", "sort", "2", "no-talk", "4"),
        ("needs",),
        ("plan", "--on", day, "--minutes", "40", "--start", "16:00"),
        *printed,
        ("print", "plan", "--for", "assistant", "--to", str(folder / "assistant.pdf")),
        ("print", "plan", "--for", "players", "--to", str(folder / "players.pdf")),
        ("print", "drill", "weak-side-crash", "--to", str(folder / "card.pdf")),
        ("log", day, "--rating", "5"),
        ("season",),
        ("print", "season", "--to", str(folder / "season.pdf")),
        ("print", "season", "--to", str(folder / "season.csv")),
        ("calendar", "export", "--to", str(folder / "all.ics")),
        ("drills", "list"),
        ("check",),
        ("export", "--to", str(folder / "export.zip")),
        ("backup",),
        ("undo",),
    ]


def main(folder: Path, leak: bool) -> dict[str, Any]:
    """Run the evening and return how it went."""
    os.environ["STOPSHEET_HOME"] = str(folder / "home")
    before, watch = unrouted(), Watch()
    from planner.cli import main as stopsheet

    ended: dict[str, str] = {}
    for order in commands(folder, dt.datetime.now().astimezone().date()):
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                code: Any = stopsheet(list(order))
            except SystemExit as stop:
                code = stop.code
        ended[" ".join(order)] = f"{code} {err.getvalue()}".strip()
    if leak:
        with contextlib.suppress(OSError):
            socket.create_connection(("192.0.2.1", 80), 0.2)
    after = unrouted()
    sent = None if before is None or after is None else after - before
    return {"ended": ended, "tries": watch.tries, "unrouted": sent}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(Path(sys.argv[1]), "--leak" in sys.argv)))
