"""What importing the need room costs."""

from __future__ import annotations

import subprocess
import sys


def test_no_heavy_import() -> None:
    """Importing every module of the room loads neither numpy nor scipy: the command line starts without."""
    names = (
        "advice carry costs coverage dispersion estimate film followed gamma needs players poisson "
        "possessions rates sentences settings shrink"
    )
    code = f"import sys\nfor one in '{names} trend'.split(): __import__('planner.need.' + one)\n"
    code += "sys.exit(any(one in sys.modules for one in ('numpy', 'scipy')))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
