"""The same readers under coverage-guided damage: ``python -m tests.fuzz.guided sheet -runs=20000``.

Needs ``atheris`` (``pip install atheris``; it has wheels for Linux), which is no requirement of the suite.
Findings are written to the folder ``FUZZ_KEEP`` (default: ``/tmp/fuzz-found``) and the run goes on.
"""

from __future__ import annotations

import hashlib
import os
import random
import sys
from pathlib import Path

import atheris  # type: ignore[import-not-found,unused-ignore]

with atheris.instrument_imports(include=["planner"]):
    import planner.court.diagram
    import planner.drills.library
    import planner.film.read
    import planner.film.workbook
    import planner.paper.calendar_reader
    import planner.paper.phone
    import planner.screens.keymap  # noqa: F401
    from tests.fuzz import targets as readers
    from tests.fuzz.mutate import mutated
    from tests.fuzz.run import bounded

KEEP = Path(os.environ.get("FUZZ_KEEP", "/tmp/fuzz-found"))


def main() -> None:
    """Fuzz the reader named first; the rest are options of libFuzzer."""
    target = readers.targets()[sys.argv[1]]
    samples = list(target.samples)
    seen: set[str] = set()

    def once(raw: bytes) -> None:
        result = bounded(target, raw)
        if result in {"values", "refused"} or result in seen:
            return
        seen.add(result)
        KEEP.mkdir(parents=True, exist_ok=True)
        (KEEP / f"{target.name}-{hashlib.sha256(raw).hexdigest()[:12]}").write_bytes(raw)
        sys.stderr.write(f"! {target.name}: {result}\n")

    def mutator(raw: bytes, most: int, seed: int) -> bytes:
        chance = random.Random(seed)
        if chance.random() < 0.5:
            return bytes(atheris.Mutate(raw, most))
        return mutated(chance, raw or chance.choice(samples), samples)[:most]

    corpus = KEEP / f"corpus-{target.name}"
    corpus.mkdir(parents=True, exist_ok=True)
    for one in samples:
        (corpus / hashlib.sha256(one).hexdigest()[:16]).write_bytes(one)
    atheris.Setup([sys.argv[0], str(corpus), "-max_len=60000", *sys.argv[2:]], once, custom_mutator=mutator)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
