.PHONY: check format lint types contracts test wheel

PYTHON ?= python
# Further interpreters that the wheel is tried on, such as the oldest and the newest.
PYTHONS ?=

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
	$(PYTHON) tools/try_wheel.py $(PYTHONS)
