"""Print the README's first or second command, so that CI runs what a reader would type."""

from __future__ import annotations

import re
import sys
from pathlib import Path


def commands(readme: str) -> list[str]:
    """Return the shell blocks of the README in order."""
    return [one.strip() for one in re.findall(r"```sh\n(.*?)```", readme, re.DOTALL)]


if __name__ == "__main__":
    text = (Path(__file__).resolve().parent.parent / "README.md").read_text("utf-8")
    sys.stdout.write(commands(text)[int(sys.argv[1]) - 1] + "\n")
