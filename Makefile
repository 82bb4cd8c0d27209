.PHONY: check format lint types contracts test wheel

PYTHON ?= python

check: format lint types contracts test wheel

format:
	$(PYTHON) -m ruff format --check .

lint:
	$(PYTHON) -m ruff check .

types:
	$(PYTHON) -m mypy

contracts:
	lint-imports --no-cache

test:
	$(PYTHON) -m pytest -q -n auto

wheel:
	$(PYTHON) tools/try_wheel.py
