"""The season in rows: for each part a head, a row for every principle or week, and what stands below."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from rich.cells import set_cell_size
from rich.text import Text

from planner.desk.season import Overview
from planner.desk.season_evidence import Chart
from planner.desk.season_load import limit_words
from planner.desk.season_progress import rule_of
from planner.drills.vocabulary import Stage
from planner.need.estimate import Needs, PrincipleNeed
from planner.paper.frame import fitted, said
from planner.season import load
from planner.season.evidence import NOT_CAUSE, p_words
from planner.season.load import LoadWeek
from planner.season.minutes import BESIDES, Week
from planner.season.progress import PrincipleProgress
from planner.season.review import PrincipleSeason, mismatches
from planner.season.targets import all_weeks
from planner.text import plural

SHADES = "·░▒▓█"
"""From nothing to the most of all weeks."""
SPARKS = "▁▂▃▄▅▆▇█"
_NARROW_NAME, _WIDE_NAME = 21, 31
_WEEK = 5
_SUM = 6


@dataclass(frozen=True, slots=True)
class Known:
    """Everything the parts are made of; needs and charts by principle."""

    found: Overview
    needs: Needs
    charts: Mapping[str, Chart]
    titles: Mapping[str, str]
    emphasis: Mapping[str, float]

    def need(self, principle: str) -> PrincipleNeed | None:
        """Return a principle's need."""
        return next((one for one in self.needs.principles if one.principle == principle), None)

    def row(self, principle: str) -> PrincipleSeason | None:
        """Return a principle's minutes and shares."""
        return next((one for one in self.found.review.principles if one.principle == principle), None)

    def progress(self, principle: str) -> PrincipleProgress | None:
        """Return how far a principle has come."""
        return next((one for one in self.found.progress if one.principle == principle), None)


@dataclass(frozen=True, slots=True)
class Part:
    """One part as shown: a head, rows by id (a principle or a week), and lines below."""

    head: str
    rows: tuple[tuple[str, Text], ...]
    foot: tuple[str, ...] = ()

    def plain(self) -> str:
        """Return the part as plain text."""
        lines = [self.head, *(row.plain for _, row in self.rows), "", *self.foot]
        return "\n".join(one.rstrip() for one in lines).rstrip()


# ---- minutes ---------------------------------------------------------------------------------------------


def minutes_part(known: Known, width: int, back: int = 0) -> Part:
    """Return minutes per principle and week as a heat map; ``back`` weeks of the newest are left out."""
    name = _name_width(width)
    weeks = weeks_of(known)
    end = len(weeks) - back
    shown = weeks[max(0, end - weeks_that_fit(width)) : end]
    most = max((v for one in weeks for k, v in one.seconds.items() if k not in BESIDES), default=0) / 60
    order = sorted(
        known.found.review.principles, key=lambda one: (-one.need_share, -one.minutes, one.principle)
    )
    rows = []
    for one in order:
        line = Text(_name(known.titles.get(one.principle, one.principle), name))
        for week in shown:
            line.append_text(_cell(week.seconds.get(one.principle, 0) / 60, most))
        rows.append((one.principle, line.append(f"{one.minutes:>{_SUM}.0f}")))
    head = f"{'':{name}}{''.join(f'{one.week[5:]:>{_WEEK}}' for one in shown)}{'sum':>{_SUM}}"
    besides = [sum(one.seconds.get(key, 0) for key in BESIDES) / 60 for one in shown]
    whole = [one.total / 60 for one in shown]
    everything = sum(one.total for one in weeks) / 60
    taught = sum(one.minutes for one in order)
    foot = [
        _sums(f"{'Everything else':{name}}", besides, everything - taught),
        _sums(f"{'All minutes':{name}}", whole, everything),
    ]
    hidden = len(weeks) - len(shown)
    if hidden:
        foot.append(f"{plural(hidden, 'other week')} counted in the sums: [ earlier, ] later.")
    return Part(head, tuple(rows), tuple(foot))


def weeks_of(known: Known) -> list[Week]:
    """Return every week from the first practice's to the last's, those without practice too."""
    done = known.found.book.done
    if not done:
        return []
    found = {one.week: one for one in known.found.review.weeks}
    labels = all_weeks(min(one.date for one in done), max(one.date for one in done))
    return [found.get(label) or Week(label, 0, {}) for label in labels]


def weeks_that_fit(width: int) -> int:
    """Return how many weeks a heat map of that width shows."""
    return max(1, (width - _name_width(width) - _SUM) // _WEEK)


def _cell(minutes: float, most: float) -> Text:
    level = 0 if minutes < 0.5 else min(4, 1 + int(4 * minutes / most)) if most else 0
    style = "bold" if level >= 3 else ""
    return Text(f" {SHADES[level]}{minutes:>3.0f}", style=style)


def _sums(name: str, values: Sequence[float], total: float) -> str:
    return f"{name}{''.join(f'{one:>{_WEEK}.0f}' for one in values)}{total:>{_SUM}.0f}"


# ---- emphasis and need -----------------------------------------------------------------------------------


def need_part(known: Known, width: int) -> Part:
    """Return share of the minutes beside share of the need, the emphasis, and the gaps in words."""
    name = _name_width(width)
    room = max(4, (width - name - 8 - 2 * 7 - 5) // 2)
    rows = known.found.review.principles
    most = max((max(one.minutes_share, one.need_share) for one in rows), default=0.0) or 1.0
    made = []
    for one in rows:
        factor = known.emphasis.get(one.principle, 1.0)
        line = Text(_name(known.titles.get(one.principle, one.principle), name))
        line.append(f"{'' if factor == 1 else f'x{factor:g}':<8}", "bold")
        line.append(f"{one.minutes_share:>5.0%} {_bar(one.minutes_share / most, room)} ")
        line.append(f"{one.need_share:>5.0%} {_bar(one.need_share / most, room)} ")
        made.append((one.principle, line.append(verdict(one), "bold")))
    head = f"{'':{name}}{'weighed':<8}{'minutes':<7}{'':{room}}{'need':<7}"
    gaps = mismatches(known.found.review, known.titles) if known.found.book.done else []
    return Part(head, tuple(made), tuple(gaps or ["Minutes go where the need is, within 2 %."]))


def verdict(one: PrincipleSeason) -> str:
    """Return ``less`` or ``more`` where minutes and need differ by a third and 5 %, else nothing."""
    apart = one.minutes_share - one.need_share
    if abs(apart) < 0.05 or abs(apart) < one.need_share / 3:
        return ""
    return "less" if apart < 0 else "more"


def _bar(part: float, room: int) -> str:
    return set_cell_size("█" * round(max(0.0, min(1.0, part)) * room), room)


# ---- trends ----------------------------------------------------------------------------------------------


def trend_part(known: Known, width: int) -> Part:
    """Return points lost with their interval and how often it was seen, game by game."""
    name = _name_width(width)
    room = max(6, min(24, width - name - 19 - 20))
    rows = []
    for one in known.needs.principles:
        chart = known.charts.get(one.principle)
        points = chart.chart.points[-room:] if chart else ()
        last = "  ".join(f"{value:.0f}" for value in points[-3:])
        line = Text(_name(known.titles.get(one.principle, one.principle), name))
        interval = f"({one.low:.1f}–{one.high:.1f})"
        line.append(f"{one.points_per_100:>5.1f} {interval:<12} ")
        line.append(f"{spark(points):<{room}} {last:>10}  ")
        rows.append((one.principle, line.append("moved" if one.trend else "", "bold")))
    head = f"{'':{name}}{'points lost/100':<19}{'seen/100 by game':<{room}} {'last three':>10}"
    notes = [f"{known.needs.games} games, {known.needs.possessions} possessions; intervals are 90 %."]
    if known.found.evidence:
        notes += [
            f"{known.titles.get(one.spell.principle, one.spell.principle)}"
            f" since {one.spell.start.isoformat()}: {one.words}"
            for one in known.found.evidence
        ]
        notes.append(NOT_CAUSE)
    return Part(head, tuple(rows), tuple(notes))


def spark(points: Sequence[float]) -> str:
    """Return values as bars of eight heights, the highest of them full; nothing for no values."""
    top = max(points, default=0.0)
    if top <= 0:
        return SPARKS[0] * len(points)
    return "".join(SPARKS[min(7, int(8 * one / top))] for one in points)


# ---- steps -----------------------------------------------------------------------------------------------


def step_part(known: Known, width: int) -> Part:
    """Return how far each principle has come, the scores at its stage, and what is proposed."""
    name = _name_width(width)
    rows = []
    for one in known.found.progress:
        found = one.at(one.working)
        dots = "●" * one.passed.rank + "○" * (len(Stage) - one.passed.rank) if one.passed else "○○○○"
        line = Text(_name(known.titles.get(one.principle, one.principle), name))
        step = " " if one.proposal is None else "▲" if one.proposal.up else "▼"
        line.append(f"{dots}{step} {one.working.value if one.working else 'all done':<10}")
        if found:
            score = found.score
            rate = f"{score.rate:.0%} ({score.low:.0%}–{score.high:.0%})"
            line.append(f"{f'{score.stops}/{score.tries}':>8} {rate:>16} {score.target:>6.0%}  ")
        else:
            line.append(f"{'–':>8} {'':>16} {'':>6}  ")
        rows.append((one.principle, line))
    head = f"{'':{name}}{'':6}{'works at':<10}{'stops':>8} {'rate (90 %)':>16} {'target':>6}"
    rule = rule_of(known.found.book.settings)
    note = (
        f"Proposed when the scores make it {rule.level:.0%} sure that the rate is above the drills' targets."
        " Tries of one evening are not independent: it is surer than it should be. You decide:"
        " a takes a step proposed (▲ ▼)."
    )
    return Part(head, tuple(rows), (note,))


# ---- load ------------------------------------------------------------------------------------------------


def load_part(known: Known, width: int) -> Part:
    """Return load, monotony, strain and hours by week, newest first, with the cautions."""
    loads = known.found.loads
    most = max((one.load for one in loads.weeks), default=0.0) or 1.0
    room = max(4, min(30, width - 62))
    rows = []
    for one in reversed(loads.weeks):
        hours = loads.hours_of(one.week)
        spent = hours.hours if hours else one.minutes / 60
        shape = f"{one.monotony:.2f}" if one.monotony is not None else "–"
        strain = f"{one.strain:.0f}" if one.strain is not None else "–"
        line = Text(f"{one.week:10}{one.sessions:>9}{one.games:>7}{spent:>7.1f}{one.load:>8.0f} ")
        line.append(f"{_bar(one.load / most, room)} {shape:>8}{strain:>8} ")
        rows.append((one.week, line.append("over" if hours and hours.findings else "", "bold")))
    head = (
        f"{'':10}{'sessions':>9}{'games':>7}{'hours':>7}{'load':>8} {'':{room}} {'monotony':>8}{'strain':>8}"
    )
    notes = [f"Hours are held against {limit_words(loads.limits)}."] if loads.limits else []
    notes += [*load.CAUTIONS, *([load.CONTACT] if loads.contact else [])]
    return Part(head, tuple(rows), tuple(notes))


def _week_words(one: LoadWeek, known: Known) -> list[str]:
    hours = known.found.loads.hours_of(one.week)
    lines = [f"{one.week}: load is the CR-10 rating x minutes, {one.load:.0f} in all."]
    if one.why:
        lines.append(f"Monotony and strain are not defined: {one.why}.")
    elif one.monotony is not None and one.monotony > load.HIGH_MONOTONY:
        lines.append(
            f"Monotony {one.monotony:.2f} is above {load.HIGH_MONOTONY:g}, which practical guides call high"
            " (a guide line, no limit): mix hard and easy days."
        )
    lines += [f"! {finding}." for finding in (hours.findings if hours else ())]
    return lines


# ---- the row under the cursor ----------------------------------------------------------------------------


def words_of(known: Known, part: str, row: str) -> list[str]:
    """Return what there is to say of the row under the cursor, in sentences."""
    if part == "load":
        week = next((one for one in known.found.loads.weeks if one.week == row), None)
        return _week_words(week, known) if week else []
    return {"trends": _trend_words, "steps": _step_words}.get(part, _principle_words)(known, row)


def _principle_words(known: Known, principle: str) -> list[str]:
    row, need = known.row(principle), known.need(principle)
    if row is None or need is None:
        return []
    last = f"last on {row.last.isoformat()}" if row.last else "not worked on in this time"
    title = known.titles.get(principle, principle)
    shares = f"{row.minutes_share:.0%} of what was taught, {row.need_share:.0%} of the need"
    lines = [f"{title}: {row.minutes:.0f} minutes, {shares}; {last}."]
    factor = known.emphasis.get(principle, 1.0)
    if factor != 1:
        lines.append(f"You weigh it x{factor:g} (e changes that).")
    lines += [
        f"Wanted: {one.target:g} minutes a week, met in {one.met} of {len(one.over)} weeks that are over."
        for one in known.found.targets
        if one.principle == principle
    ]
    return lines


def _trend_words(known: Known, principle: str) -> list[str]:
    need, chart = known.need(principle), known.charts.get(principle)
    lines = [need.sentence] if need and need.sentence else []
    if need and need.trend:
        lines.append(need.trend)
    if chart:
        lines.append(f"Game by game: {chart.chart.words}")
    for one in known.found.evidence:
        if one.spell.principle == principle and one.test is not None and one.adjusted is not None:
            high = f"{one.test.high:.2f}" if one.test.high is not None else "no upper limit"
            ratio = f"{one.test.ratio:.2f}" if one.test.ratio is not None else "none"
            lines.append(
                f"Under the emphasis against before: ratio {ratio} ({one.test.low:.2f} to {high},"
                f" {one.test.level:.0%}); {p_words(one.test.p)}, corrected {one.adjusted:.3f}."
            )
    return lines


def _step_words(known: Known, principle: str) -> list[str]:
    one = known.progress(principle)
    if one is None:
        return []
    title = known.titles.get(principle, principle)
    passed = one.passed.value if one.passed else "nothing yet"
    lines = [f"{title}: passed {passed}."]
    for stage in one.stages:
        judged = stage.score.judged(rule_of(known.found.book.settings))
        lines.append(f"{stage.stage.value}: {stage.score.stops} of {stage.score.tries}, {judged}.")
    if one.proposal:
        way = one.proposal.stage.value if one.proposal.stage else "none"
        step = f"{way} counts as passed" if one.proposal.up else f"a step back to {way}"
        lines.append(f"Proposed: {step}; {one.proposal.why}.")
    return lines


def _name_width(width: int) -> int:
    """Return how much of the width a principle's title gets."""
    return _WIDE_NAME if width >= 100 else _NARROW_NAME


def _name(title: str, room: int) -> str:
    return set_cell_size(fitted(said(title, 60), room - 1), room)


PARTS: Mapping[str, tuple[str, Callable[[Known, int], Part]]] = {
    "minutes": ("Minutes", minutes_part),
    "need": ("Need", need_part),
    "trends": ("Trends", trend_part),
    "steps": ("Steps", step_part),
    "load": ("Load", load_part),
}
"""Part -> its title and what makes it."""
