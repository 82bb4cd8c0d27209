"""Long work that someone may stop: it asks now and then whether it is still wanted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_unwanted: ContextVar[Callable[[], bool] | None] = ContextVar("unwanted", default=None)


class Stopped(Exception):
    """The work was stopped where it was; nothing of it is kept."""


@contextmanager
def stoppable(unwanted: Callable[[], bool]) -> Iterator[None]:
    """Let the work done inside end with ``Stopped`` once ``unwanted`` says so."""
    token = _unwanted.set(unwanted)
    try:
        yield
    finally:
        _unwanted.reset(token)


def go_on() -> None:
    """Return where the work is still wanted.

    Raises:
        Stopped: it is not.

    """
    unwanted = _unwanted.get()
    if unwanted is not None and unwanted():
        raise Stopped
