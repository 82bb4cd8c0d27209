"""A throw-away PostgreSQL: its own folder, its own user, a Unix socket and nothing else."""

from __future__ import annotations

import itertools
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote

_PLACES = ("/usr/lib/postgresql", "/opt/homebrew/opt", "/usr/local/opt", "/usr/local/pgsql")
_SETTINGS: Mapping[str, str] = {
    "listen_addresses": "''",
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
    """A running server; ``database()`` gives the address of a new, empty database in it."""

    def __init__(self, programs: Path) -> None:
        self.programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))
        self.user = _other_user()
        self.numbers = itertools.count(1)
        if self.user:
            shutil.chown(self.folder, self.user)
        data = self.folder / "data"
        self._run("initdb", "-D", str(data), "-U", "coach", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
        settings = " ".join(f"-c {key}={value}" for key, value in _SETTINGS.items())
        options = f"-k {self.folder} {settings}"
        self._run("pg_ctl", "-D", str(data), "-o", options, "-l", str(self.folder / "log"), "-w", "start")

    def database(self) -> str:
        """Make a database and return its address."""
        name = f"otters{next(self.numbers)}"
        self.say(f"CREATE DATABASE {name}", "postgres")
        return self.address(name)

    def address(self, name: str, user: str = "coach") -> str:
        """Return the address of a database by name."""
        return f"postgresql+psycopg://{user}@/{name}?host={quote(str(self.folder))}"

    def say(self, order: str, database: str) -> None:
        """Have an order carried out, as whoever looks after the server would."""
        import psycopg

        with psycopg.connect(
            f"host={self.folder} dbname={database} user=coach", autocommit=True
        ) as connection:
            connection.execute(order)

    def stop(self) -> None:
        """Stop the server and remove its folder."""
        try:
            self._run("pg_ctl", "-D", str(self.folder / "data"), "-m", "immediate", "-w", "stop")
        finally:
            shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program: str, *arguments: str) -> None:
        order = [str(self.programs / program), *arguments]
        if self.user:
            order = ["runuser", "-u", self.user, "--", *order]
        with (self.folder.parent / f"{self.folder.name}.out").open("w+b") as said:
            done = subprocess.run(order, stdout=said, stderr=said, cwd="/", timeout=60, check=False)
            said.seek(0)
            words = said.read().decode("utf-8", "replace")
        (self.folder.parent / f"{self.folder.name}.out").unlink()
        if done.returncode:
            raise RuntimeError(f"{program} ended with {done.returncode}: {words}")


def _other_user() -> str:
    """Return whom the server runs as: root may not."""
    if os.getuid() != 0:
        return ""
    known = {one.pw_name for one in pwd.getpwall()}
    return next(name for name in ("postgres", "nobody") if name in known)
