"""A throw-away PostgreSQL: its own folder, its own user, a Unix socket and nothing else."""

from __future__ import annotations

import itertools
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import quote

_PLACES = ("/usr/lib/postgresql", "/opt/homebrew/opt", "/usr/local/opt", "/usr/local/pgsql")
_SETTINGS: Mapping[str, str] = {
    "listen_addresses": "",
    "fsync": "off",
    "synchronous_commit": "off",
    "max_connections": "120",
    "deadlock_timeout": "100ms",
}


def programs() -> Path | None:
    """Return the folder of ``initdb`` and ``pg_ctl``, the newest one, or None."""
    on_path = shutil.which("initdb")
    found = [Path(on_path).resolve().parent] if on_path else []
    for place in _PLACES:
        found += [one.parent for one in Path(place).glob("*/bin/initdb")]
    return max(
        found, key=lambda one: [int(n) for n in one.parent.name.split(".") if n.isdigit()], default=None
    )


class Cluster:
    """A server; ``database()`` gives the address of a new, empty place in it."""

    def __init__(self, programs: Path) -> None:
        self.programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))
        self.user = _other_user()
        self.numbers = itertools.count(1)
        self.server: subprocess.Popen[bytes] | None = None
        if self.user:
            shutil.chown(self.folder, self.user)

    def start(self) -> None:
        """Make the server's own tables and start it; returns when it answers."""
        data = str(self.folder / "data")
        self._run("initdb", "-D", data, "-U", "coach", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
        settings = [part for key, value in _SETTINGS.items() for part in ("-c", f"{key}={value}")]
        order = [str(self.programs / "postgres"), "-D", data, "-k", str(self.folder), *settings]
        with (self.folder / "log").open("wb") as log:
            self.server = subprocess.Popen(order, stdout=log, stderr=log, cwd="/", **self._as())
        self._await()

    def database(self) -> str:
        """Return the address of an empty place of its own: a name whose tables nobody else sees.

        A whole database each would be a thousand files each.
        """
        name = f"coach{next(self.numbers)}"
        for order in (
            f"CREATE ROLE {name} LOGIN",
            f"CREATE SCHEMA {name} AUTHORIZATION {name}",
            f"ALTER ROLE {name} SET search_path = {name}",
        ):
            self.say(order)
        return self.address("postgres", name)

    def address(self, database: str, user: str = "coach") -> str:
        """Return the address of a database for a user."""
        return f"postgresql+psycopg://{user}@/{database}?host={quote(str(self.folder))}"

    def say(self, order: str, user: str = "coach") -> None:
        """Have an order carried out, as whoever looks after the server would."""
        import psycopg

        with psycopg.connect(
            f"host={self.folder} dbname=postgres user={user}", autocommit=True
        ) as connection:
            connection.execute(order)

    def stop(self) -> None:
        """Stop the server and remove its folder."""
        if self.server is not None and self.server.poll() is None:
            self.server.send_signal(signal.SIGQUIT)
            self.server.wait(20)
        shutil.rmtree(self.folder, ignore_errors=True)

    def _await(self) -> None:
        import psycopg

        assert self.server is not None
        last = time.monotonic() + 30
        while True:
            try:
                self.say("SELECT 1")
            except psycopg.OperationalError:
                if self.server.poll() is not None or time.monotonic() > last:
                    raise RuntimeError((self.folder / "log").read_text("utf-8", "replace")) from None
                time.sleep(0.05)
            else:
                return

    def _as(self) -> dict[str, Any]:
        if not self.user:
            return {}
        return {"user": self.user, "group": pwd.getpwnam(self.user).pw_gid, "extra_groups": []}

    def _run(self, program: str, *arguments: str) -> None:
        done = subprocess.run(
            [str(self.programs / program), *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd="/",
            timeout=60,
            check=False,
            **self._as(),
        )
        if done.returncode:
            said = done.stdout.decode("utf-8", "replace")
            raise RuntimeError(f"{program} ended with {done.returncode}: {said}")


def _other_user() -> str:
    """Return whom the server runs as: root may not."""
    if os.getuid() != 0:
        return ""
    known = {one.pw_name for one in pwd.getpwall()}
    return "postgres" if "postgres" in known else "nobody"
