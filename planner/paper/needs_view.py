"""The needs on one screen: bars with their interval, breakdowns, more film, players by jersey."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import set_cell_size
from rich.console import Group
from rich.text import Text

from planner.drills.vocabulary import Vocabulary
from planner.need.advice import Advice
from planner.need.estimate import BreakdownEstimate, Needs, PrincipleNeed
from planner.need.players import Players
from planner.paper.frame import NARROWEST, fitted, said
from planner.paper.printable import day_in_words
from planner.paper.screenful import Block, fit, folded, sentences, wrapped
from planner.text import plural


@dataclass(frozen=True, slots=True)
class _Ink:
    sure: str
    likely: str
    could: str
    dash: str
    steps: str


_BLOCKS = _Ink("█", "▓", "░", "–", "▁▂▃▄▅▆▇█")
_LETTERS = _Ink("#", "=", "-", "-", "_.:-=+*#")
_NAME, _FIGURES, _LATELY, _FILM = 25, 16, 6, 5
_LEGEND = "last 6: seen game by game, oldest first; film: % of rate/each that is film"


def needs_table(
    needs: Needs,
    vocabulary: Vocabulary,
    width: int = NARROWEST,
    ascii_only: bool = False,
    most: int | None = None,
    *,
    rows: int | None = None,
    context: Sequence[str] = (),
) -> Group:
    """Return the needs, the costliest first: a bar, the number with its interval, rate, cost, evidence.

    A bar is drawn solid to the low end of the interval, thinner to the estimate and thinnest to the high
    end, so that it reads without colour. Under it stands one sentence about what it is mostly made of.
    ``most`` cuts the list; so does ``rows``, the lines of the screen. ``context`` is said above the table.
    """
    width = max(width, NARROWEST)
    ink = _LETTERS if ascii_only else _BLOCKS
    shown = needs.principles[:most]
    top = max((one.high for one in shown), default=0.0)
    bar = max(12, min(width - 68, 48))  # 68: every other column and the blanks between
    titles = {one.id: one.title for one in vocabulary.principles}
    head = _head(needs, context, width)
    head.append(Text(_need_line("", "", "points (90 %)", ("rate", "each", "last 6", "film"), bar), "bold"))
    blocks = [
        [
            Text(_need_row(one, titles, (top, bar), ink), no_wrap=True, overflow="ellipsis"),
            *folded(_need_sentence(one, needs, vocabulary, rows is None), width, 2, "dim"),
        ]
        for one in shown
    ]
    marks = f"{ink.sure * 2} low end {ink.likely * 2} estimate {ink.could * 2} high end;"
    legend = [f"{marks} rate: seen per 100; each: points each time", _LEGEND]
    tail = [*sentences(legend, width, "dim"), *_notes(needs.notes, width)]
    return fit(head, blocks, tail, rows)


def breakdowns_table(
    needs: Needs,
    vocabulary: Vocabulary,
    width: int = NARROWEST,
    ascii_only: bool = False,
    *,
    rows: int | None = None,
    context: Sequence[str] = (),
) -> Group:
    """Return the breakdowns, the costliest first: seen, rate with interval, cost, points lost, evidence.

    With the first cause charged, or with no limit of ``rows``, what most often came after what follows.
    """
    width = max(width, NARROWEST)
    ink = _LETTERS if ascii_only else _BLOCKS
    titles = {one.id: one.title for one in vocabulary.breakdowns}
    head = _head(needs, context, width)
    heads = ("seen", "per 100 (90 %)", "each", "lost", "last 6", "film")
    head.append(Text(_breakdown_line("", heads), "bold"))
    blocks = []
    for one in needs.breakdowns:
        figures = (
            str(one.count),
            f"{one.rate_per_100:.1f} ({one.low:.1f}{ink.dash}{one.high:.1f})",
            f"{one.cost:.2f}",
            f"{one.points_per_100:.1f}",
            _spark(one.recent, ink),
            _film(one),
        )
        line = _breakdown_line(said(titles.get(one.breakdown, one.breakdown), 60), figures)
        block = [Text(line, no_wrap=True, overflow="ellipsis")]
        if one.trend:
            block += folded(one.trend, width, 4, "dim")
        blocks.append(block)
    legend = ["each: points each time; lost: points per 100 possessions", _LEGEND]
    tail = sentences(legend, width, "dim")
    if needs.blame == "first" or rows is None:
        tail += _followed(needs, titles, width, None if rows is None else 3)
    return fit(head, blocks, [*tail, *_notes(needs.notes, width)], rows)


def more_film_table(
    advice: Sequence[Advice],
    vocabulary: Vocabulary,
    width: int = NARROWEST,
    ascii_only: bool = False,
    *,
    rows: int | None = None,
) -> Group:
    """Return how wide each interval is and how wide it would be after one more game, widest gain first."""
    width = max(width, NARROWEST)
    titles = {one.id: one.title for one in vocabulary.principles}
    arrow = "->" if ascii_only else "→"
    head = [Text("What one more game of film would tell", "bold")]
    if not advice:
        return Group(*head, Text("Nothing that is switched on could be told better."))
    best = advice[0]
    head += folded(best.sentence, width, 0)
    head.append(Text(f"{'':{_NAME}} {'range, points per 100':>24}  narrower by", "bold"))
    blocks = [
        [
            Text(
                f"{set_cell_size(fitted(said(titles.get(one.principle, one.principle)), _NAME), _NAME)} "
                f"{f'{one.width_now:.1f} {arrow} {one.width_then:.1f}':>24}  {one.narrower:>11.0%}"
            )
        ]
        for one in advice
    ]
    tail = sentences(
        ["The game is taken to go as the estimates expect, points noted on every possession."], width, "dim"
    )
    return fit(head, blocks, tail, rows)


def players_table(players: Players, width: int = NARROWEST) -> Group:
    """Return who was charged how often, by jersey, with where each should go first."""
    width = max(width, NARROWEST)
    head = [Text("Who was charged on film, by jersey", "bold"), *sentences(players.cautions, width, "dim")]
    share = "possessions defended" if players.known else "possessions of the team"
    head.append(Text(f"Charges per 100 {share}, drawn towards the mean of {players.per_100:.1f}."))
    head.append(Text(f"{'':6} {'seen':>5} {'defended':>9} {'per 100 (90 %)':>18}  goes first in", "bold"))
    body: Block = []
    for one in players.lines:
        defended = "?" if one.defended is None else str(one.defended)
        rate = "-" if one.per_100 is None else f"{one.per_100:.1f} ({one.low:.1f} to {one.high:.1f})"
        first = ", ".join(one.first_in)
        start = f"{fitted(said(one.jersey, 12), 6):>6} {one.count:>5} {defended:>9} {rate:>18}  "
        where = wrapped(first, width - len(start)) or [""]
        body.append(Text((start + where[0]).rstrip()))
        body += [Text(" " * len(start) + more) for more in where[1:]]
    return Group(*head, *body)


# ---- lines -----------------------------------------------------------------------------------------------


def _head(needs: Needs, context: Sequence[str], width: int) -> Block:
    alone = "; the first breakdown of a possession alone" if needs.blame == "first" else ""
    watched = f"{needs.possessions} watched in {plural(needs.games, 'game')}"
    return [
        Text(f"What costs us most, as of {day_in_words(needs.as_of)}", "bold"),
        *sentences([f"Points lost per 100 defensive possessions; {watched}{alone}."], width),
        *sentences(context, width),
    ]


def _need_line(title: str, bar: str, figures: str, columns: Sequence[str], width: int) -> str:
    rate, cost, lately, film = columns
    name = set_cell_size(fitted(title, _NAME), _NAME)
    return (
        f"{name} {set_cell_size(bar, width)} {figures:>{_FIGURES}} {rate:>5} {cost:>5} "
        f"{set_cell_size(lately, _LATELY)} {film:>{_FILM}}"
    )


def _need_row(one: PrincipleNeed, titles: dict[str, str], scale: tuple[float, int], ink: _Ink) -> str:
    top, bar = scale
    title = said(titles.get(one.principle, "") or one.principle)
    figures = f"{one.points_per_100:.1f} ({one.low:.1f}{ink.dash}{one.high:.1f})"
    columns = (
        f"{one.rate_per_100:.1f}",
        f"{one.cost:.2f}",
        _spark(one.recent, ink),
        _film(one),
    )
    return _need_line(title, _bar(one, top, bar, ink), figures, columns, bar)


def _bar(one: PrincipleNeed, top: float, width: int, ink: _Ink) -> str:
    if top <= 0:
        return ""
    low, middle, high = (
        round(max(0.0, min(value, top)) / top * width) for value in (one.low, one.points_per_100, one.high)
    )
    return ink.sure * low + ink.likely * max(0, middle - low) + ink.could * max(0, high - max(low, middle))


def _film(one: PrincipleNeed | BreakdownEstimate) -> str:
    return f"{one.film_share * 100:.0f}/{one.cost_film_share * 100:.0f}"


def _spark(recent: Sequence[float], ink: _Ink) -> str:
    """Return the last games as steps between 0 and the highest of them."""
    top = max(recent, default=0.0)
    last = len(ink.steps) - 1
    return "".join(ink.steps[round(one / top * last) if top > 0 else 0] for one in recent[-_LATELY:])


def _need_sentence(one: PrincipleNeed, needs: Needs, vocabulary: Vocabulary, details: bool) -> str:
    worst = _worst(one.principle, needs.breakdowns, vocabulary)
    parts = [said(worst.sentence)] if worst is not None else ["Nothing that is switched on counts for it."]
    if one.emphasis != 1.0:
        parts.append(f"x{one.emphasis:g} by your emphasis.")
    if one.exposure != 1.0:
        parts.append(f"x{one.exposure:g} by the next opponent.")
    if one.trend:
        parts.append(one.trend if details else f"{one.trend.partition(':')[0]} lately.")
    if details:
        parts.append(f"{one.share:.0%} of all points lost.")
        if one.carry_over_minutes >= 0.5:
            parts.append(f"{one.carry_over_minutes:.0f} min carried over.")
    return " ".join(parts)


def _worst(
    principle: str, breakdowns: Sequence[BreakdownEstimate], vocabulary: Vocabulary
) -> BreakdownEstimate | None:
    def points(one: BreakdownEstimate) -> float:
        known = vocabulary.breakdown_by_id.get(one.breakdown)
        return (known.shares.get(principle, 0.0) if known else 0.0) * one.rate_per_100 * one.cost

    worst = max(breakdowns, key=points, default=None)
    return worst if worst is not None and points(worst) > 0 else None


def _breakdown_line(title: str, columns: Sequence[str]) -> str:
    count, rate, cost, lost, lately, film = columns
    name = set_cell_size(fitted(title, 32), 32)
    return (
        f"{name} {count:>4} {rate:>16} {cost:>4} {lost:>4} {set_cell_size(lately, _LATELY)} {film:>{_FILM}}"
    )


def _followed(needs: Needs, titles: dict[str, str], width: int, most: int | None) -> Block:
    def name(breakdown: str) -> str:
        title = said(titles.get(breakdown, breakdown), 60)
        return title[:1].lower() + title[1:]

    often = [one for one in needs.followed if one.times > 1][:most]
    lines = [f"After '{name(one.first)}' came '{name(one.then)}' {one.times} times." for one in often]
    return sentences(lines, width)


def _notes(notes: Sequence[str], width: int) -> Block:
    return sentences([f"! {said(one)}" for one in notes], width)
