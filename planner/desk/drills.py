"""The drill library at the desk: finding a drill, the ladders, the court to draw on, the check."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from planner import data
from planner.desk.desk import Desk
from planner.desk.library import RULES, Text, load_library, own_files, texts_of
from planner.drills.card import Drill
from planner.drills.ladder import Ladder, ladder_of
from planner.drills.library import Library
from planner.drills.vocabulary import Stage
from planner.problem import Problem, Refusal
from planner.text import clean_line

COURT = "court"
"""The setting that names the rule book whose lines diagrams are drawn with."""


def find_drill(library: Library, raw: str) -> Drill:
    """Return the drill of that id.

    Raises:
        Refusal: there is none; with the nearest ids.

    """
    if found := library.by_id.get(raw):
        return found
    from difflib import get_close_matches

    near = get_close_matches(clean_line(raw, 40), library.by_id, 3, 0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else "'stopsheet drills list' shows all."
    raise Refusal(f"There is no drill '{clean_line(raw, 40)}'; {hint}")


def check_library(desk: Desk, root: Path | None = None) -> list[Problem]:
    """Return every finding in the library, the team's own drills included, by file and line."""
    from planner.court.geometry import read_court
    from planner.drills.audit import audit
    from planner.film.wording import load_lexicon

    root = root or data.drill_library()
    own = desk.home / "drills"
    library = load_library(own, None, root)
    courts = []
    problems = list(library.problems)
    for path in sorted((root / "courts").glob("*.toml")):
        court, faults = read_court(f"courts/{path.name}", path.read_text("utf-8"))
        problems += faults
        courts += [court] if court else []
    shipped = [
        Text(one.name, one.read_bytes()) for one in [*root.glob("*.toml"), *root.glob("drills/*.toml")]
    ]
    sources = {**texts_of(shipped), **texts_of(own_files(own)[0])}
    wording = [(f"wording/{one.name}", one.read_text("utf-8")) for one in root.glob("wording/*.toml")]
    problems += load_lexicon(wording, library.vocabulary)[1]
    problems += audit(library, sources, courts)
    return sorted(dict.fromkeys(problems), key=lambda one: (one.file, one.line or 0, one.what))


def ladder(desk: Desk, principle: str) -> tuple[Ladder, Stage | None]:
    """Return a principle's ladder and the highest stage the team has passed (None without a team).

    Raises:
        Refusal: it is no principle.

    """
    from planner.desk.team import check_principle

    check_principle(desk, principle)
    return ladder_of(desk.library.drills, principle), passed_stages(desk).get(principle)


def passed_stages(desk: Desk) -> Mapping[str, Stage]:
    """Return principle -> highest stage passed as of today; empty without a team."""
    from planner.store import queries

    if not desk.has_team():
        return {}
    with desk.reading() as session:
        return queries.progress_on(session, desk.today)


def court_rules(desk: Desk) -> str:
    """Return the rule book whose court the team plays on; 'school' where nothing was set."""
    from planner.store import queries

    try:
        if not desk.has_team():
            return RULES[0]
        with desk.reading() as session:
            found = queries.setting(session, COURT, RULES[0])
    except Refusal:
        return RULES[0]
    return found if found in RULES else RULES[0]
