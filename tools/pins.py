"""The exact versions the program is known to run with, by hash: ``python tools/pins.py [--make|--licences]``.

Without a word the pins in ``tools/requirements`` are held against ``pyproject.toml``; nothing is fetched.
``--make`` resolves them anew (needs ``pip-tools`` and a package index). ``--licences`` writes the table of
licences of what is installed here.
"""

from __future__ import annotations

import importlib.metadata
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "tools" / "requirements"
FILES = {"runtime.txt": (), "staff.txt": ("staff",)}
LICENCES = FOLDER / "LICENCES.md"
_PIN = re.compile(r"(?P<name>[A-Za-z0-9._-]+)==(?P<version>[^\s;]+)(?: ; (?P<marker>.+?))? \\")
_HASH = re.compile(r"    --hash=sha256:[0-9a-f]{64}(?: \\)?")
_OPTIONS = ("--generate-hashes", "--no-emit-index-url", "--no-emit-trusted-host", "--no-emit-find-links")
_HEAD = """\
# Licences

What `pip install stopsheet` brings along, as each package states it (with the extra `staff` the last two as
well). Written by `python tools/pins.py --licences`.

| package | version | licence |
| --- | --- | --- |
"""


def pins(text: str) -> dict[str, str]:
    """Return package -> version of a file of pins.

    Raises:
        ValueError: a line is neither a pin nor a hash, or a pin has no hash.

    """
    found: dict[str, str] = {}
    hashed: set[str] = set()
    last = ""
    for line in text.splitlines():
        pin = _PIN.fullmatch(line)
        if pin:
            last = canonicalize_name(pin["name"])
            found[last] = pin["version"]
        elif _HASH.fullmatch(line) and last:
            hashed.add(last)
        else:
            raise ValueError(f"neither a pin nor a hash: {line}")
    if set(found) != hashed:
        raise ValueError(f"without a hash: {', '.join(sorted(set(found) - hashed))}")
    return found


def asked(extras: tuple[str, ...]) -> list[Requirement]:
    """Return what pyproject asks for, with some of its extras."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    listed = [*project["dependencies"]]
    for extra in extras:
        listed += project["optional-dependencies"][extra]
    return [Requirement(one) for one in listed]


def faults(pinned: Mapping[str, str], extras: tuple[str, ...]) -> Iterator[str]:
    """Yield what pyproject, or a pinned package that is installed here, asks for and the pins do not give."""
    for one in asked(extras):
        yield from _missing(one, pinned, "pyproject.toml")
    for name, version in pinned.items():
        try:
            known = importlib.metadata.distribution(name)
        except importlib.metadata.PackageNotFoundError:
            continue
        if known.version == version:
            for line in known.requires or ():
                yield from _missing(Requirement(line), pinned, name)


def _missing(one: Requirement, pinned: Mapping[str, str], who: str) -> Iterator[str]:
    if one.marker is not None and not one.marker.evaluate({"extra": ""}):
        return
    version = pinned.get(canonicalize_name(one.name))
    if version is None:
        yield f"{who} asks for {one}, which is not pinned"
    elif not one.specifier.contains(Version(version), prereleases=True):
        yield f"{who} asks for {one}, but {version} is pinned"


def licences() -> str:
    """Return the table of licences of what is pinned, as the installed packages state them."""
    rows = []
    runtime = pins((FOLDER / "runtime.txt").read_text("utf-8"))
    staff = pins((FOLDER / "staff.txt").read_text("utf-8"))
    for name, version in [*runtime.items(), *((n, v) for n, v in staff.items() if n not in runtime)]:
        rows.append(f"| {name} | {version} | {_licence(name)} |\n")
    return _HEAD + "".join(rows)


def _licence(name: str) -> str:
    said = importlib.metadata.metadata(name)
    stated = said.get("License-Expression") or ""
    classified = [
        one.rpartition(" :: ")[2] for one in said.get_all("Classifier") or [] if "License ::" in one
    ]
    line = (said.get("License") or "").strip().splitlines()
    short = line[0][:60] if line else ""
    return stated or ", ".join(one for one in classified if one != "OSI Approved") or short or "not stated"


def make() -> None:
    """Resolve all pins anew."""
    for name, extras in FILES.items():
        named = [part for one in extras for part in ("--extra", one)]
        order = [sys.executable, "-m", "piptools", "compile", "--quiet", "--upgrade", *_OPTIONS, *named]
        order += ["--no-header", "--no-annotate", "--strip-extras", "--allow-unsafe"]
        subprocess.run(  # noqa: S603  our own command
            [*order, "-o", str(FOLDER / name), "pyproject.toml"], check=True, cwd=ROOT
        )


def main() -> int:
    """Check, make, or write down the licences."""
    if "--make" in sys.argv:
        make()
    if "--licences" in sys.argv:
        LICENCES.write_text(licences(), "utf-8")
    found = []
    for name, extras in FILES.items():
        found += [f"{name}: {one}" for one in faults(pins((FOLDER / name).read_text("utf-8")), extras)]
    for one in found:
        sys.stderr.write(f"{one}\n")
    if not found:
        sys.stdout.write("All that pyproject asks for is pinned, by hash.\n")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
