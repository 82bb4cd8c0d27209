from __future__ import annotations

import json
import math
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.problem import Refusal
from planner.store import backup
from planner.store.engine import Store
from planner.store.plain import Plain, pack, unpack

HOSTILE = st.one_of(
    st.sampled_from(
        ["=1+1", "'=1", "+1", "-1", "@A1", "\t=1", "\r\n", '"', ",", "\x00", "\x1b[2J", "1e3", "007"]
    ),
    st.sampled_from(
        ["\u202eabc", "null", "NaN", "Infinity", "A" * 5000, "'; DROP TABLE team; --", "é", "🏀"]
    ),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
)
NUMBERS = st.one_of(st.integers(-(2**63), 2**63 - 1), st.floats(allow_nan=False))
VALUES: dict[str, st.SearchStrategy[Any]] = {
    "VARCHAR": HOSTILE,
    "INTEGER": st.integers(0, 2**63 - 1),
    "FLOAT": st.floats(allow_nan=False),
    "BOOLEAN": st.integers(0, 1),
    "DATE": st.dates().map(str),
    "DATETIME": st.datetimes().map(str),
    "JSON": st.recursive(
        st.none() | st.booleans() | NUMBERS | HOSTILE,
        lambda one: st.lists(one, max_size=3) | st.dictionaries(HOSTILE, one, max_size=3),
        max_leaves=5,
    ).map(lambda value: json.dumps(value, ensure_ascii=False)),
    "BLOB": st.binary(max_size=200),
}


def _lines(path: Path) -> list[str]:
    """Return the whole database as SQL, types and numbering included, in an order of its own."""
    with closing(sqlite3.connect(path)) as connection:
        found = {}
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        for name in names:
            columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{name}")')]
            typed = ", ".join(f'quote("{one}"), typeof("{one}")' for one in columns)
            found[name] = sorted(map(str, connection.execute(f'SELECT {typed} FROM "{name}"')))
    return [f"{name}: {row}" for name, rows in sorted(found.items()) for row in rows]


def _fill_at_random(path: Path, data: st.DataObject) -> None:
    """Put one or two rows of any values into every table whatever the table's rules."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for table in backup.tables_of(connection):
            if table == "alembic_version":
                continue
            columns = connection.execute(f'PRAGMA table_info("{table}")').fetchall()
            for _ in range(data.draw(st.integers(1, 2))):
                row = [data.draw(VALUES[one[2]] if one[3] else st.none() | VALUES[one[2]]) for one in columns]
                listed = ", ".join("?" * len(columns))
                connection.execute(f'INSERT OR IGNORE INTO "{table}" VALUES ({listed})', row)
        connection.commit()


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from planner.store.engine import open_store

    home = tmp_path_factory.mktemp("empty")
    open_store(home, create=True).close()
    with closing(sqlite3.connect(home / "stopsheet.db")) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    return home / "stopsheet.db"


@given(data=st.data())
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_rows_come_back_through_json(
    data: st.DataObject,
    empty: Path,
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Rows of any values in every table, hostile text among them, are the same after JSON, types and all."""
    folder = tmp_path_factory.mktemp("plain")
    path = folder / "before.db"
    path.write_bytes(empty.read_bytes())
    _fill_at_random(path, data)
    packed = pack(path)
    read = json.loads(json.dumps({"r": packed.revision, "t": packed.tables, "n": packed.numbers}))
    open_file = backup.open_file

    def without_rules(where: Path, mode: str = "ro") -> sqlite3.Connection:
        connection = open_file(where, mode)
        connection.execute("PRAGMA ignore_check_constraints = ON")
        return connection

    with monkeypatch.context() as patch:
        patch.setattr(backup, "open_file", without_rules)
        patch.setattr(backup, "verify", lambda where: backup.Checked(where, "0001", ()))
        unpack(Plain(read["r"], read["t"], read["n"]), folder / "after.db", "it")
    assert _lines(folder / "after.db") == _lines(path)


def test_a_full_store_comes_back_by_its_own_rules(full: Store, tmp_path: Path) -> None:
    """With every rule and foreign key in force a real store comes back, and its numbering goes on."""
    packed = pack(full.path)
    assert all(packed.tables.values())
    assert packed.numbers["game"] == 1
    unpack(packed, tmp_path / "after.db", "it")
    assert _lines(tmp_path / "after.db") == _lines(full.path)
    assert backup.verify(tmp_path / "after.db").ok


def test_an_infinite_number_keeps_its_name(full: Store, tmp_path: Path) -> None:
    """JSON has no word for it, so it is a text in a column of numbers."""
    with closing(sqlite3.connect(full.path)) as connection:
        connection.execute("UPDATE emphasis SET factor = ?", (math.inf,))
        connection.commit()
    packed = pack(full.path)
    assert packed.tables["emphasis"][0]["factor"] == "inf"
    unpack(packed, tmp_path / "after.db", "it")
    assert _lines(tmp_path / "after.db") == _lines(full.path)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda t: t.pop("game"), "lacks a table"),
        (lambda t: t.update(recipe=[]), "has a table that is not ours"),
        (lambda t: t["team"][0].pop("name"), "row 1 of team has other columns"),
        (lambda t: t["team"][0].update(shoe=1), "row 1 of team has other columns"),
        (lambda t: t["team"][0].update(name=["x"]), "holds what no column does"),
        (lambda t: t["film_note"][0].update(raw="***"), "holds what no column does"),
        (lambda t: t["game"][0].update(team_id=9), "belongs to a team that is not there"),
        (lambda t: t["game"][0].update(venue="moon"), "breaks a rule of the tables"),
        (lambda t: t["game"][0].update(possessions=2**70), "breaks a rule of the tables"),
        (lambda t: t["team"][0].update(name="\ud800"), "breaks a rule of the tables"),
    ],
)
def test_what_does_not_fit_is_refused(full: Store, tmp_path: Path, change: Any, said: str) -> None:
    """Rows that are not ours, or break a rule, never become a store."""
    packed = pack(full.path)
    tables = {table: [dict(row) for row in rows] for table, rows in packed.tables.items()}
    change(tables)
    with pytest.raises(Refusal, match=said):
        unpack(Plain(packed.revision, tables, packed.numbers), tmp_path / "after.db", "it")


def test_rows_of_a_newer_program_are_refused(full: Store, tmp_path: Path) -> None:
    """A revision that this program does not know is not guessed at."""
    packed = pack(full.path)
    with pytest.raises(Refusal, match="made by a newer stopsheet"):
        unpack(Plain("0099", packed.tables, packed.numbers), tmp_path / "after.db", "it")
