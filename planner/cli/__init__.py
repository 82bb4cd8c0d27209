"""The command line: arguments in, desk verbs called, text or JSON out.

Exit codes: 0 done, 1 nothing to do or a check failed, 2 refused with one sentence on stderr.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from planner.problem import Refusal

DONE, NOTHING, REFUSED = 0, 1, 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no traceback reaches the coach."""
    from planner.cli.parser import build_parser

    arguments = build_parser().parse_args(argv)
    try:
        return _run(arguments)
    except Refusal as refusal:
        _say_error(str(refusal))
        return REFUSED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        _say_error("Stopped; nothing was changed by what was still running.")
        return 130
    except Exception as fault:  # the last line of defence between a fault of ours and a coach
        if os.environ.get("STOPSHEET_DEBUG"):
            raise
        _say_error(
            f"That is a fault of stopsheet ({type(fault).__name__}), not yours; nothing was half-stored."
            " Set STOPSHEET_DEBUG=1 and run it again to see where."
        )
        return REFUSED


def _run(arguments: argparse.Namespace) -> int:
    from importlib import import_module

    module, name = arguments.run.split(":")
    code: int = getattr(import_module(f"planner.cli.{module}"), name)(arguments)
    return code


def _say_error(sentence: str) -> None:
    sys.stderr.write(f"stopsheet: {sentence}\n")
