"""``python -m planner`` is the same program as ``stopsheet``."""

from planner.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
