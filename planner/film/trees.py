"""A sum of small decision trees over a row of signs, as learned; all rows and trees are walked at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]
    Places = NDArray[np.int16]


class Trees(NamedTuple):
    """Nodes by tree: the sign asked for, the ``limit`` up to which one goes left, where to, the log odds.

    A leaf leads to itself both ways; ``depth`` steps reach every leaf. ``base`` is added once.
    """

    sign: Places
    limit: Floats
    left: Places
    right: Places
    value: Floats
    depth: int
    base: float

    def odds(self, rows: Any) -> Floats:
        """Return the log odds of each row of signs."""
        import numpy as np

        rows = np.asarray(rows, dtype=np.float32)
        each, tree = np.arange(len(rows))[:, None], np.arange(len(self.sign))
        at = np.zeros((len(rows), len(self.sign)), dtype=np.intp)
        for _ in range(self.depth):
            left = rows[each, self.sign[tree, at]] <= self.limit[tree, at]
            at = np.where(left, self.left[tree, at], self.right[tree, at])
        return np.asarray(self.value[tree, at].sum(axis=1) + self.base, dtype=np.float32)
