"""One database for a whole staff: PostgreSQL, reached over a socket; needs the extra ``staff``."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from planner.problem import Refusal
from planner.text import clean_line

if TYPE_CHECKING:
    from sqlalchemy import URL, Connection, Engine

LINE = 0x53746F70
"""The advisory lock that writers hold: whoever means to write waits in line at the start."""

IDLE_SECONDS = 60
"""A program that holds the line and says nothing for so long is cut off; nothing of its work is stored."""

CONNECT_SECONDS = 10
_SCHEMES = ("postgresql", "postgresql+psycopg")
_NO_DRIVER = "A staff database needs its driver: python -m pip install 'stopsheet[staff]'."
_SHAPE = "write STOPSHEET_DB as postgresql+psycopg://NAME@HOST/DATABASE."


def on_server(where: object) -> bool:
    """Return whether ``where`` names a database server."""
    return str(where).partition("://")[0] in _SCHEMES and "://" in str(where)


def server_url(where: object) -> URL:
    """Return the address of a database server; what is said of it never holds its password.

    Raises:
        Refusal: it cannot be read, or names no database.

    """
    from sqlalchemy import make_url
    from sqlalchemy.exc import ArgumentError

    try:
        url = make_url(str(where)).set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError):
        raise Refusal(f"The address of the staff database cannot be read; {_SHAPE}") from None
    if not url.database:
        raise Refusal(f"The address of the staff database names no database; {_SHAPE}")
    return url


def place_of(url: URL) -> str:
    """Return how a server's database is called before a coach: never with name or password."""
    host = url.host or url.query.get("host") or "this machine"
    return clean_line(f"the staff database '{url.database}' on {host}", 160)


def make_server_engine(url: URL, *, wait: float, begin_option: str) -> Engine:
    """Return an engine on which writers stand in line and readers see one unchanging state.

    A statement that waits longer than ``wait`` seconds for a lock is given up.

    Raises:
        Refusal: the driver is not installed.

    """
    from sqlalchemy import create_engine, event

    from planner.store.engine import compact_json

    settings = {
        "lock_timeout": f"{int(wait * 1000)}",
        "idle_in_transaction_session_timeout": f"{IDLE_SECONDS * 1000}",
        "tcp_keepalives_idle": "30",
        "tcp_keepalives_interval": "10",
        "tcp_keepalives_count": "3",
    }
    try:
        engine = create_engine(
            url,
            pool_pre_ping=True,
            json_serializer=compact_json,
            connect_args={
                "connect_timeout": CONNECT_SECONDS,
                "options": " ".join(f"-c {key}={value}" for key, value in settings.items()),
            },
        )
    except ImportError:
        raise Refusal(_NO_DRIVER) from None

    def begin(connection: Connection) -> None:
        if connection.get_execution_options().get(begin_option, "IMMEDIATE") == "IMMEDIATE":
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({LINE})")

    event.listen(engine, "begin", begin)
    return engine


def has_tables(where: object) -> bool:
    """Return whether a stopsheet store was made in a server's database.

    Raises:
        Refusal: the server cannot be reached, or the driver is not installed.

    """
    try:
        import psycopg
    except ImportError:
        raise Refusal(_NO_DRIVER) from None
    from planner.store.refusals import in_words

    url = server_url(where)
    try:
        with psycopg.connect(
            url.set(drivername="postgresql").render_as_string(hide_password=False),
            connect_timeout=CONNECT_SECONDS,
        ) as connection:
            found = connection.execute(
                "SELECT count(*) FROM pg_tables WHERE schemaname = current_schema()"
                " AND tablename IN ('alembic_version', 'team')"
            ).fetchone()
    except psycopg.Error as error:
        raise in_words(error, place_of(url)) from None
    return found is not None and found[0] == 2


AGAIN = frozenset({"40001", "40P01"})
"""SQLSTATEs after which the same work may be tried again: a serialisation failure, a deadlock."""


def sqlstate(error: BaseException) -> str:
    """Return the five letters PostgreSQL gave an error, "" where there are none."""
    return str(getattr(getattr(error, "orig", None) or error, "sqlstate", None) or "")


SAID: dict[str, Callable[[str], str]] = {
    "55P03": lambda place: f"{place} is in use by another stopsheet; try again when it has finished.",
    "40001": lambda place: f"Others kept changing {place}; nothing was stored, try again.",
    "40P01": lambda place: f"Others kept changing {place}; nothing was stored, try again.",
    "22003": lambda _: "Nothing was stored: a number is too large to keep.",
    "53100": lambda place: f"The disk of {place} is full; nothing was stored.",
    "53300": lambda place: f"{place} has no room for one more; try again later.",
    "28P01": lambda place: f"{place} does not know that name and password.",
    "28000": lambda place: f"{place} does not let that name in.",
    "3D000": lambda place: f"{place} is not there; make it with 'createdb'.",
    "42501": lambda place: f"{place} does not let that name do this; ask who looks after it.",
    "25P03": lambda place: f"{place} was waited on too long; nothing was stored, try again.",
}


def sentence(error: Any, place: str) -> str:
    """Return what a coach is told of an error of the server that breaks none of the tables' rules."""
    said = SAID.get(sqlstate(error))
    if said is not None:
        words = said(place)
        return words[0].upper() + words[1:]
    lowered = str(error).lower()
    if "authentication failed" in lowered or "no password supplied" in lowered:
        return f"{place[0].upper()}{place[1:]} does not know that name and password."
    if "does not exist" in lowered and "role" in lowered:
        return f"{place[0].upper()}{place[1:]} does not let that name in."
    if "does not exist" in lowered and "database" in lowered:
        return f"{place[0].upper()}{place[1:]} is not there; make it with 'createdb'."
    return f"{place[0].upper()}{place[1:]} cannot be reached or broke off; nothing was stored."
