"""A real PostgreSQL, where there is one; STOPSHEET_POSTGRES=required insists on it."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

collect_ignore_glob = ["test_*.py"] if os.name == "nt" else []
if os.name != "nt":
    from tests.staff.cluster import Cluster, programs


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """Return a running server that is thrown away afterwards."""
    found = programs()
    if found is None:
        missing = "PostgreSQL is not installed (on Debian: apt-get install postgresql)"
        if os.environ.get("STOPSHEET_POSTGRES") == "required":
            pytest.fail(missing)
        pytest.skip(missing)
    pytest.importorskip("psycopg")
    made = Cluster(found)
    try:
        made.start()
        yield made
    finally:
        made.stop()


@pytest.fixture
def database(cluster: Cluster) -> str:
    """Return the address of an empty database of its own."""
    return cluster.database()
