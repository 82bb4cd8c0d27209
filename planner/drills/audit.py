"""The house rules of a drill library: every finding with the file and line to open."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import PurePath

from planner.court.diagram import read_diagrams
from planner.court.geometry import Court
from planner.drills.card import SHARE_UNIT, Drill
from planner.drills.diagram_rules import check
from planner.drills.ladder import slips
from planner.drills.library import Library, Rows
from planner.drills.vocabulary import Stage
from planner.problem import Problem
from planner.text import plural

MOST_CUE_WORDS = 7
MOST_LONG_WORDS = 1
LONGEST_WORD = 4
"""A cue is plain when at most ``MOST_LONG_WORDS`` of its words have three or more syllables and none has more
than ``LONGEST_WORD``: it is called across a gym. Syllables are groups of vowels, a silent e not counted."""

LEAST_DRILLS = 6
"""Drills of one principle, over all four stages, below which there is no progression to speak of."""

HARD = 7
"""The CR-10 rating from which on a drill says what to mind."""

SAME_TEXT, SAME_TITLE = 75.0, 88.0
"""Per cent of likeness from which on two drills count as one. Drills written apart stay below 60 and 75."""

_CONTACT = re.compile(
    r"\b(?:bumps?|hits?|seals?|box(?:es)? out|blocks? out|charges?|push(?:es)?)\b", re.IGNORECASE
)
_SILENT = re.compile(r"(sid|bas|for|som|mor)e(?=[a-z])")


@dataclass(slots=True)
class Desk:
    """The library on the reviewer's desk; ``sources`` are the texts of its drill files by file name."""

    library: Library
    sources: Mapping[str, str]
    courts: Sequence[Court]
    found: list[Problem] = field(default_factory=list)

    @property
    def shipped(self) -> list[Drill]:
        """Return the drills that are not the team's own."""
        return [one for one in self.library.drills if one.id not in self.library.own]

    def note(self, one: Drill, key: str, what: str) -> None:
        """Note a fault of a drill at the line that begins with ``key`` or holds it."""
        self.found.append(Problem(one.file, self.line(one.file, key), what))

    def line(self, file: str, key: str) -> int | None:
        """Return the line that begins with ``key``, else the first that holds it, else None."""
        lines = self.sources.get(file, "").splitlines()
        begins = re.compile(rf"\s*(?:\[+)?{re.escape(key)}\b")
        found = [number for number, line in enumerate(lines, 1) if begins.match(line)]
        found += [number for number, line in enumerate(lines, 1) if key in line]
        return found[0] if found else None


def audit(library: Library, sources: Mapping[str, str], courts: Sequence[Court]) -> list[Problem]:
    """Return everything that is against the house rules, by file and line.

    ``sources`` maps the name of each drill file to its text; diagrams are drawn on each of ``courts``. What
    could not be read at all is in ``library.problems`` and not repeated here.
    """
    desk = Desk(library, sources, courts)
    for one in library.drills:
        for rule in _RULES:
            rule(desk, one)
    for slip in slips(library.drills, library.own):
        desk.note(slip.drill, slip.key, slip.what)
    _twins(desk)
    _thin_principles(desk)
    return sorted(set(desk.found), key=lambda p: (p.file, p.line or 0, p.what))


def syllables(word: str) -> int:
    """Return how many syllables an English word has, near enough: its groups of vowels, at least one."""
    letters = _SILENT.sub(r"\1", re.sub(r"[^a-z]", "", word.lower())).replace("every", "evry")
    count = len(re.findall("[aeiouy]+", letters))
    if re.search(r"[^l]e$|[^aeiouyszcxhg]es$|[^td]ed$", letters):
        count -= 1
    return max(count, 1)


def long_words(cue: str) -> list[str]:
    """Return the words of a cue that have three or more syllables; halves of a joined word count singly."""
    return [one for one in re.findall(r"[^\W\d_]+(?:['’][^\W\d_]+)?", cue) if syllables(one) > 2]


def _file_name(desk: Desk, one: Drill) -> None:
    if PurePath(one.file).stem != one.id:
        desk.note(one, "id", f"the file is not named after the drill: {one.id}.toml")


def _shares(desk: Desk, one: Drill) -> None:
    total = sum(one.shares.values())
    if one.kind == "drill" and total < SHARE_UNIT // 2:
        desk.note(one, "principles", "the shares add up to less than half: what is the drill for?")
    ranked = sorted(one.shares.values(), reverse=True)
    if one.kind == "drill" and len(ranked) > 1 and ranked[0] == ranked[1]:
        desk.note(one, "principles", "two principles share the first place, so the drill is on no ladder")


def _cues(desk: Desk, one: Drill) -> None:
    for cue in one.cues:
        said = [word for word in cue.split() if re.search(r"\w", word)]
        if len(said) > MOST_CUE_WORDS:
            desk.note(one, cue, f"cue of {len(said)} words, at most {MOST_CUE_WORDS} are heard: “{cue}”")
        heavy = long_words(cue)
        if len(heavy) > MOST_LONG_WORDS or any(syllables(word) > LONGEST_WORD for word in heavy):
            desk.note(one, cue, f"cue is hard to call across a gym ({', '.join(heavy)}): “{cue}”")
    if len({cue.casefold() for cue in one.cues}) < len(one.cues):
        desk.note(one, "cues", "the same cue twice")


def _cautions(desk: Desk, one: Drill) -> None:
    if one.cautions:
        return
    if one.effort >= HARD:
        desk.note(one, "cautions", f"effort {one.effort} of 10 without a caution")
    elif one.stage in {Stage.CONTESTED, Stage.LIVE}:
        desk.note(one, "cautions", f"a {one.stage} drill without a caution")
    elif found := _CONTACT.search(f"{one.set_up} {one.how}"):
        desk.note(one, "cautions", f"contact (“{found[0]}”) without a caution")


def _diagrams(desk: Desk, one: Drill) -> None:
    rows = desk.library.diagram_rows.get(one.id, ())
    if not rows:
        if one.stage not in {None, Stage.WALK}:
            desk.note(one, "one_basket", f"a {one.stage} drill without a diagram")
        return
    desk.found += diagram_faults(one, rows, desk.sources.get(one.file, ""), desk.courts)


def diagram_faults(one: Drill, rows: Rows, source: str, courts: Sequence[Court]) -> list[Problem]:
    """Return what is wrong with a drill's diagrams on these courts, at its line or its picture's first."""
    found: list[Problem] = []
    for court in courts:
        frames, faults = read_diagrams(one.file, list(rows), court, source)
        for fault in [*faults, *check(one, frames)]:
            start = _picture_line(source, fault.what)
            later = fault.line is not None and start is not None and fault.line > start
            found.append(Problem(one.file, fault.line if later else start, fault.what))
    return list(dict.fromkeys(found))


def _picture_line(source: str, what: str) -> int | None:
    """Return where the picture that a fault names begins; the first where it names none."""
    named = re.match(r"diagram (\d+)", what)
    wanted = int(named[1]) if named else 1
    lines = source.splitlines()
    starts = [number for number, line in enumerate(lines, 1) if re.match(r"\s*\[\[diagram\]\]", line)]
    return starts[wanted - 1] if len(starts) >= wanted else None


_RULES: tuple[Callable[[Desk, Drill], None], ...] = (_file_name, _shares, _cues, _cautions, _diagrams)


def _twins(desk: Desk) -> None:
    """Note drills that are one drill twice; a team's own drill is compared with the team's own only."""
    own = [one for one in desk.library.drills if one.id in desk.library.own]
    for family in (desk.shipped, own):
        for one, two, how in _alike(family):
            desk.note(two, "title" if how.startswith("the title") else "how", f"{how} '{one.id}'")


def _alike(drills: Sequence[Drill]) -> Iterator[tuple[Drill, Drill, str]]:
    from rapidfuzz import fuzz

    titles = {one.id: _plain(one.title) for one in drills}
    texts = {one.id: _plain(f"{one.set_up} {one.how}") for one in drills}
    for one, two in combinations(drills, 2):
        if titles[one.id] == titles[two.id]:
            yield one, two, "the title is that of"
        elif fuzz.token_sort_ratio(titles[one.id], titles[two.id], score_cutoff=SAME_TITLE):
            yield one, two, "the title is almost that of"
        if fuzz.ratio(texts[one.id], texts[two.id], score_cutoff=SAME_TEXT):
            yield one, two, "the text is almost that of"


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


def _thin_principles(desk: Desk) -> None:
    for principle in desk.library.vocabulary.principles:
        mine = [one for one in desk.shipped if one.kind == "drill" and one.main_principle == principle.id]
        line = desk.line("principles.toml", f'id = "{principle.id}"')
        if len(mine) < LEAST_DRILLS:
            what = f"{principle.id} has {plural(len(mine), 'drill')}, fewer than {LEAST_DRILLS}"
            desk.found.append(Problem("principles.toml", line, what))
        missing = [stage for stage in Stage if stage not in {one.stage for one in mine}]
        for stage in missing:
            desk.found.append(Problem("principles.toml", line, f"{principle.id} has no {stage} drill"))
