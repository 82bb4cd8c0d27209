"""No pauses: the interpreter takes a tenth of a second to search all that is loaded for what is unreachable.

While the app and its places open, everything made stays; a search would find nothing and is put off. What is
there once a place stands is left out of later searches, which then take a hundredth of a second.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


class Pauses:
    """Whether this process is the app's own; in one that is shared, such as a test's, nothing is changed."""

    ours = False


@contextmanager
def put_off() -> Iterator[None]:
    """Search for nothing until a place stands; while this lasts the process is the app's."""
    Pauses.ours = True
    gc.disable()
    try:
        yield
    finally:
        Pauses.ours = False
        gc.unfreeze()
        gc.enable()


def settle_down() -> None:
    """Leave out of later searches what is there now, and let searches be again."""
    if Pauses.ours:
        gc.freeze()
        gc.enable()
