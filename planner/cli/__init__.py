"""The command line: arguments in, desk verbs called, text or JSON out.

Exit codes: 0 done, 1 nothing to do or a check failed, 2 refused with one sentence on stderr.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence

from planner.problem import Refusal
from planner.text import clean_line

DONE, NOTHING, REFUSED = 0, 1, 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no traceback reaches the coach."""
    from planner.cli.parser import build_parser

    _never_choke()
    arguments = build_parser().parse_args(argv)
    try:
        code = _run(arguments)
        sys.stdout.flush()
    except Refusal as refusal:
        _say_error(str(refusal))
        return REFUSED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as fault:
        _say_error(_unusable(fault))
        return REFUSED
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
    return code


def _never_choke() -> None:
    """Let a screen or pipe that lacks a letter show a question mark for it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _unusable(fault: OSError) -> str:
    where = f"'{fault.filename}'" if fault.filename else "A file"
    return f"{where} cannot be used ({fault.strerror or 'no reason given'}); name another place."


def _run(arguments: argparse.Namespace) -> int:
    from importlib import import_module

    module, name = arguments.run.split(":")
    code: int = getattr(import_module(f"planner.cli.{module}"), name)(arguments)
    return code


def _say_error(sentence: str) -> None:
    sys.stderr.write(f"stopsheet: {clean_line(sentence)}\n")
