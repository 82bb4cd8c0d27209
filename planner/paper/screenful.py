"""One screen of lines: sentences folded to its width, and as many blocks as fit its height."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from rich.console import Group
from rich.text import Text

from planner.paper.frame import fitted, said

Block = list[Text]
"""Lines that stand or fall together; each is one line of the screen."""


def sentences(several: Sequence[str], width: int, style: str = "") -> Block:
    """Return the sentences one below the other, each folded."""
    return [line for one in several for line in folded(one, width, 0, style)]


def folded(sentence: str, width: int, indent: int, style: str = "") -> Block:
    """Return one sentence, folded and indented."""
    return [Text(" " * indent + line, style) for line in wrapped(sentence, width - indent)]


def wrapped(sentence: str, width: int) -> list[str]:
    """Return the sentence in lines of at most ``width`` columns, broken between words."""
    lines: list[str] = []
    for word in said(sentence, 1_000).split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and cell_len(joined) <= width:
            lines[-1] = joined
        else:
            lines.append(fitted(word, width))
    return lines


def fit(head: Block, blocks: Sequence[Block], tail: Block, rows: int | None) -> Group:
    """Join the parts; where ``rows`` are given, as many blocks as fit (at least three)."""
    if rows is None:
        return Group(*head, *(line for block in blocks for line in block), *tail)
    space = rows - len(head) - len(tail)
    kept = _taken(blocks, space)
    if kept < len(blocks):
        kept = _taken(blocks, space - 1)
    kept = max(kept, min(3, len(blocks)))
    body = [line for block in blocks[:kept] for line in block]
    if kept < len(blocks):
        body.append(Text(f"{len(blocks) - kept} more: --all", "dim"))
    return Group(*head, *body, *tail)


def _taken(blocks: Sequence[Block], space: int) -> int:
    """Return how many of the first blocks fit into so many lines."""
    taken = 0
    for count, block in enumerate(blocks):
        taken += len(block)
        if taken > space:
            return count
    return len(blocks)
