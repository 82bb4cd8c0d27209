"""``stopsheet app``: the terminal app."""

from __future__ import annotations

from argparse import Namespace

from planner.desk.desk import Desk, open_desk


def app(arguments: Namespace) -> int:
    """Open the app."""
    return open_at(open_desk(), light=arguments.light, mouse=not arguments.no_mouse)


def open_at(desk: Desk, *, light: bool = False, mouse: bool = True) -> int:
    """Open the app at a desk and return the exit code when the coach leaves."""
    from planner.screens.pauses import put_off

    with put_off():
        from planner.screens.app import open_app

        try:
            open_app(desk, light=light, mouse=mouse)
        finally:
            desk.close()
    return 0
