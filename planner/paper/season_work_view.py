"""What came of the work: steps proposed, evidence, run charts, what was learnt, opponents."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from rich.cells import set_cell_size
from rich.console import Group
from rich.text import Text

from planner.paper.frame import NARROWEST, fitted, said
from planner.paper.screenful import folded
from planner.season.evidence import BY_ITSELF, CORRECTION, NOT_CAUSE, Evidence, p_words
from planner.season.learning import Learning
from planner.season.progress import LEAST_DAYS, LEAST_TRIES, PrincipleProgress, Rule, Score
from planner.season.runchart import RunChart
from planner.season.scouting import Report
from planner.text import plural

_NAME = 25


def progress_table(
    rows: Sequence[PrincipleProgress],
    titles: Mapping[str, str],
    rule: Rule,
    width: int = NARROWEST,
    quiet: bool = True,
) -> Group:
    """Return each principle's stage passed, the scores at the stage worked at, and what is proposed.

    ``quiet`` leaves out principles without scores and without a proposal.
    """
    width = max(width, NARROWEST)
    heads = f"{'passed':10}{'works at':10}{'stops':>9}{'rate (90 %)':>17}{'target':>8}"
    lines = [Text(f"{'':{_NAME}}{heads}", "bold")]
    shown = [one for one in rows if not quiet or one.at(one.working) or one.proposal]
    for one in shown:
        lines.append(Text(_progress_line(one, titles)))
        if one.proposal:
            stage = one.proposal.stage.value if one.proposal.stage else "none"
            way = f"{stage} is passed" if one.proposal.up else f"a step back, to {stage}"
            lines += folded(f"proposed: {way}; {one.proposal.why}", width, 2)
    if len(shown) < len(rows):
        lines.append(Text(f"{len(rows) - len(shown)} without scores at their stage: --all", "dim"))
    fading = f", halved every {rule.half_life:g} days" if rule.half_life else ""
    notes = (
        f"Passed is proposed when the scores{fading} make it {rule.level:.0%} sure that the rate is above the"
        f" drills' targets (prior Beta(1, 1); {LEAST_DAYS} days and {LEAST_TRIES} tries at least). Tries of"
        " one evening are not independent: it is surer than it should be. You decide:"
        " stopsheet season accept PRINCIPLE, or team passed PRINCIPLE STAGE."
    )
    return Group(*lines, *folded(notes, width, 0, "dim"))


def _progress_line(one: PrincipleProgress, titles: Mapping[str, str]) -> str:
    name = _name(titles.get(one.principle, one.principle))
    passed = one.passed.value if one.passed else "-"
    working = one.working.value if one.working else "all done"
    found = one.at(one.working)
    if found is None:
        return f"{name}{passed:10}{working:10}{'-':>9}"
    score = found.score
    rate = f"{score.rate:.0%} ({score.low:.0%}-{score.high:.0%})"
    return f"{name}{passed:10}{working:10}{f'{score.stops}/{score.tries}':>9}{rate:>17}{score.target:>8.0%}"


def drill_scores(one: PrincipleProgress, titles: Mapping[str, str], rule: Rule) -> Group:
    """Return a principle's scores stage by stage and drill by drill; ``titles`` maps drill id to title."""
    lines = [Text(f"{'':31}{'stops':>9}{'rate (90 %)':>17}{'target':>8}  sure", "bold")]
    for stage in one.stages:
        score = stage.score
        figures = _figures(stage.stage.value, score.stops, score.tries)
        lines.append(Text(f"{figures}{_rates(score)}  {score.judged(rule)}"))
        for drill, found in stage.drills.items():
            name = f"  {titles.get(drill, drill)}"
            lines.append(Text(f"{_figures(name, found.stops, found.tries)}{_rates(found)}", "dim"))
    if not one.stages:
        lines.append(Text("No drill of it was scored: stopsheet log --stops 4=7/10"))
    return Group(*lines)


def _figures(name: str, stops: int, tries: int) -> str:
    kept = name[: len(name) - len(name.lstrip())] + said(name, 80)
    return f"{set_cell_size(fitted(kept, 30), 31)}{f'{stops}/{tries}':>9}"


def _rates(score: Score) -> str:
    rate = f"{score.rate:.0%} ({score.low:.0%}-{score.high:.0%})"
    return f"{rate:>17}{score.target:>8.0%}{score.above:>6.0%}"


def evidence_view(rows: Sequence[Evidence], titles: Mapping[str, str], width: int = NARROWEST) -> Group:
    """Return each emphasis with its rates, test, minutes and the plain verdict."""
    width = max(width, NARROWEST)
    lines = [Text("Before and under each emphasis", "bold")]
    for one in rows:
        until = one.spell.end.isoformat() if one.spell.end else "now"
        name = said(titles.get(one.spell.principle, one.spell.principle), 60)
        spent = f"{one.minutes:.0f} min spent, {one.weekly_under:.0f} a week ({one.weekly_before:.0f} before)"
        weight = f"x{one.spell.factor:g}, " if one.spell.factor > 1 else ""
        lines += folded(
            f"{name}: {weight}{one.spell.start.isoformat()} to {until}; {spent}.", width, 0, "bold"
        )
        lines += folded(one.words, width, 2)
        lines += folded(_test_words(one), width, 2, "dim")
    method = next((one.test.method for one in rows if one.test), "")
    lines += folded(NOT_CAUSE, width, 0)
    notes = [BY_ITSELF]
    if method:
        looks = f"{CORRECTION}, {plural(rows[0].looks, 'look')}"
        notes.append(f"Test: {method}; p corrected ({looks}). Looking again every week is not corrected.")
    return Group(*lines, *(line for one in notes for line in folded(one, width, 0, "dim")))


def _test_words(one: Evidence) -> str:
    if one.test is None or one.adjusted is None:
        return ""
    high = f"{one.test.high:.2f}" if one.test.high is not None else "no upper limit"
    ratio = f"{one.test.ratio:.2f}" if one.test.ratio is not None else "none"
    thinned = (
        f"; games differ {one.thin:.1f} times as much as by chance: thinned by that"
        if one.thin > 1.05
        else ""
    )
    seen = (
        f"{one.before.seen} in {one.before.possessions} possessions ({plural(one.before.games, 'game')}),"
        f" {one.under.seen} in {one.under.possessions} ({one.under.games})"
    )
    interval = f"ratio {ratio} ({one.test.low:.2f} to {high}, {one.test.level:.0%})"
    return f"{seen}; {interval}; {p_words(one.test.p)}, corrected {one.adjusted:.3f}{thinned}."


def chart_view(days: Sequence[dt.date], chart: RunChart, title: str, width: int = NARROWEST) -> Group:
    """Return a run chart in letters: a line a game, its rate as a bar about the median."""
    width = max(width, NARROWEST)
    top = max(chart.points, default=0.0)
    room = width - 24
    middle = round(chart.median / top * room) if top > 0 else 0
    lines = [Text(f"{said(title, 60)}: seen per 100 possessions, game by game", "bold")]
    for day, point, side in zip(days, chart.points, chart.sides, strict=True):
        bar = list(" " * (room + 1))
        bar[middle] = "|"
        bar[round(point / top * room) if top > 0 else 0] = "o"
        lines.append(Text(f"{day.isoformat()} {side} {point:6.1f} {''.join(bar)}".rstrip()))
    lines.append(Text(f"median {chart.median:.1f} (|)  {chart.sides[-48:]}"))
    note = f"Rule: {chart.rule}. One chart of many: now and then one shows a signal by chance alone."
    return Group(*lines, *folded(chart.words, width, 0), *folded(note, width, 0, "dim"))


def learning_view(found: Learning, using: Mapping[str, float], width: int = NARROWEST) -> Group:
    """Return the planning weights: as used, as believed before, as the season has moved them."""
    width = max(width, NARROWEST)
    head = f"{'':12}{'in use':>8}{'believed before (90 %)':>26}{'with the season (90 %)':>26}{'told':>7}"
    lines = [Text("What the season says of the planning weights", "bold"), Text(head, "bold")]
    for one in found.weights:
        before = f"{one.before:.3g} ({one.before_low:.3g} to {one.before_high:.3g})"
        after = f"{one.after:.3g} ({one.low:.3g} to {one.high:.3g})"
        lines.append(
            Text(f"{one.key:12}{using.get(one.key, 0.0):>8.3g}{before:>26}{after:>26}{one.narrowed:>7.0%}")
        )
    told = (
        "The season says next to nothing about them: the usual weights are as good."
        if found.little
        else "Some of this is the season, most of it is still what was believed before."
    )
    based = (
        f"From {plural(found.games, 'game')} with film and {found.minutes:.0f} minutes taught; told: by how"
        " much the season narrows what was believed. Association, not cause; a planning weight, never a"
        " promise. Nothing changes unless you say so: stopsheet season learn --use."
    )
    return Group(*lines, *folded(told, width, 0), *folded(based, width, 0, "dim"))


def scout_view(
    opponent: str, report: Report, titles: Mapping[str, str], width: int = NARROWEST, game: str = ""
) -> Group:
    """Return an opponent's tendencies, the strongest first; what is shown by the film is suggested."""
    width = max(width, NARROWEST)
    film = f"{plural(report.scouted, 'scouted game')}, {plural(report.met, 'game')} of our own against them"
    lines = folded(f"{said(opponent, 60)}: {film}, {report.possessions} possessions.", width, 0, "bold")
    lines.append(Text(f"{'':{_NAME}}{'seen':>6}{'expected':>10}  factor (90 %)", "bold"))
    for one in report.tendencies:
        factor = f"{one.factor:.2f} ({one.low:.2f} to {one.high:.2f})"
        mark = f"  suggests x{one.suggested:g}" if one.suggested is not None else ""
        name = _name(titles.get(one.principle, one.principle))
        lines.append(Text(f"{name}{one.seen:>6}{one.expected:>10.1f}  {factor}{mark}"))
    chosen = [one for one in report.tendencies if one.suggested is not None]
    if chosen:
        lines.append(Text(f"To go by it{f' for {game}' if game else ''}:"))
        lines += [Text(f"  stopsheet team exposure {one.principle} {one.suggested:g}") for one in chosen[:4]]
    else:
        lines.append(Text("Nothing stands out: every interval holds 1, so nothing is suggested."))
    note = (
        f"In all {report.level:.2f} times what was expected was seen; that is taken out, since other defences"
        " and other note-taking stand behind it. Factors are pulled towards 1 and only suggest."
    )
    return Group(*lines, *folded(note, width, 0, "dim"))


def _name(title: str) -> str:
    return set_cell_size(fitted(said(title, 60), _NAME - 1), _NAME)
