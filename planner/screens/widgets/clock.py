"""A clock that can be read from the other end of the gym: digits drawn with blocks, as large as fits."""

from __future__ import annotations

from rich.text import Text
from textual.widgets import Static

SHAPES = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    "+": ("   ", " # ", "###", " # ", "   "),
    "-": ("   ", "   ", "###", "   ", "   "),
}
"""Each sign as five rows."""
ROWS = 5
BLOCK = "█"


def big_text(text: str, width: int, height: int) -> str:
    """Return digits, colon and plus as rows of blocks, as large as ``width`` by ``height`` cells allow.

    A dot of a sign is twice as many cells wide as high, so that it looks square. Where not even the smallest
    fits, the plain text is returned.
    """
    dots = sum(len(SHAPES[one][0]) for one in text) + len(text) - 1
    size = min(width // (2 * dots), height // ROWS)
    across = 2 * size
    if size < 1:
        size, across = 1, 1
        if dots > width or height < ROWS:
            return text
    lines = []
    for row in range(ROWS):
        line = " ".join(SHAPES[one][row] for one in text)
        drawn = "".join((BLOCK if dot == "#" else " ") * across for dot in line)
        lines += [drawn.rstrip()] * size
    return "\n".join(lines)


class BigClock(Static):
    """The time left, drawn anew only when it reads differently or there is more room."""

    help = "The time left in what runs now; a plus sign means that it runs over."

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002  the framework names it so
        super().__init__("", id=id, markup=False)
        self.reads = ""

    def show(self, reads: str) -> None:
        """Show a time such as ``4:07`` or ``+1:12``."""
        if reads != self.reads:
            self.reads = reads
            self._draw()

    def on_resize(self) -> None:
        """Use the room there is."""
        self._draw()

    def _draw(self) -> None:
        room = self.size
        if self.reads and room.width and room.height:
            drawn = big_text(self.reads, room.width, room.height)
            self.update(Text(drawn, no_wrap=True))
