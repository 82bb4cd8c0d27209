from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path

import pytest

from planner.store import queries


def test_every_name_leads_to_a_function_of_that_name() -> None:
    """No query is hidden by a module of the same name, whichever is asked for first."""
    for name, home in queries._HOME.items():
        found = getattr(queries, name)
        assert callable(found)
        assert found is getattr(import_module(f"planner.store.queries.{home}"), name)
    assert set(queries._HOME) <= set(dir(queries))


def test_every_public_query_is_handed_out() -> None:
    """What a module of queries defines can be reached from the package, and type checkers see the same."""
    folder = Path(queries.__file__).parent
    told = {
        alias.name
        for node in ast.walk(ast.parse((folder / "__init__.py").read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
        if node.module and node.module.startswith("planner.store.queries.")
    }
    assert told == set(queries._HOME)
    helpers = {"rows", "segments", "heard"}
    defined = {
        node.name
        for path in folder.glob("*.py")
        if path.stem not in helpers | {"__init__"}
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    }
    assert defined - {"add_sightings", "with_players"} == set(queries._HOME)


def test_an_unknown_name_is_no_attribute() -> None:
    """A misspelt query fails like any misspelt name."""
    with pytest.raises(AttributeError, match="add_intakes"):
        _ = queries.add_intakes
