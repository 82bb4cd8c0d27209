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
        many, nodes = self.sign.shape
        first = np.arange(many, dtype=np.int32) * nodes
        row = (np.arange(len(rows), dtype=np.int32) * rows.shape[1])[:, None]
        sign, limit, value, flat = self.sign.ravel(), self.limit.ravel(), self.value.ravel(), rows.ravel()
        left, right = ((first[:, None] + one).ravel() for one in (self.left, self.right))
        at = np.tile(first, (len(rows), 1))
        for _ in range(self.depth):
            at = np.where(flat.take(row + sign.take(at)) <= limit.take(at), left.take(at), right.take(at))
        return np.asarray(value.take(at).sum(axis=1) + self.base, dtype=np.float32)
