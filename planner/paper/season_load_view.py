"""Load, hours and heat on one screen, with the cautions that belong to them."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Group
from rich.text import Text

from planner.paper.frame import NARROWEST, said
from planner.paper.screenful import folded
from planner.season import heat, load
from planner.season.heat import HeatTable, water_rule
from planner.season.limits import HoursWeek, Preset
from planner.season.load import LoadWeek


def load_view(
    weeks: Sequence[LoadWeek],
    hours: Sequence[HoursWeek],
    limits: str,
    contact: bool,
    width: int = NARROWEST,
    most: int | None = 8,
) -> Group:
    """Return weekly load, monotony, strain and hours, the newest last, and what is over a limit.

    ``limits`` are the limits in words, empty where none are set.
    """
    width = max(width, NARROWEST)
    by_week = {one.week: one for one in hours}
    head = f"{'':10}{'sessions':>9}{'games':>7}{'hours':>8}{'load AU':>9}{'monotony':>14}{'strain':>13}"
    lines = [Text("Load by week: CR-10 rating x minutes", "bold"), Text(head, "bold")]
    shown = list(weeks[-most:] if most else weeks)
    for one in shown:
        counted = by_week.get(one.week)
        spent = f"{counted.hours:.1f}" if counted else f"{one.minutes / 60:.1f}"
        shape = f"{one.monotony:.2f}" if one.monotony is not None else "not defined"
        strained = f"{one.strain:.0f}" if one.strain is not None else "not defined"
        figures = f"{one.sessions:>9}{one.games:>7}{spent:>8}{one.load:>9.0f}{shape:>14}{strained:>13}"
        lines.append(Text(f"{one.week:10}{figures}"))
    if len(shown) < len(weeks):
        lines.append(Text(f"{len(weeks) - len(shown)} earlier weeks: --all", "dim"))
    lines += _reasons(shown, width)
    lines += _over(shown, by_week, limits, width)
    notes = [
        "monotony: mean of seven daily loads / their standard deviation (n - 1); strain: load x monotony.",
        *load.CAUTIONS,
        *([load.CONTACT] if contact else []),
    ]
    return Group(*lines, *(line for one in notes for line in folded(one, width, 0, "dim")))


def _reasons(shown: Sequence[LoadWeek], width: int) -> list[Text]:
    lines = []
    why: dict[str, list[str]] = {}
    for one in shown:
        if one.why:
            why.setdefault(one.why, []).append(one.week)
    for reason, weeks in why.items():
        lines += folded(f"Not defined in {', '.join(weeks)}: {reason}.", width, 0, "dim")
    high = [one for one in shown if one.monotony is not None and one.monotony > load.HIGH_MONOTONY]
    for one in high:
        words = (
            f"! {one.week}: monotony {one.monotony:.2f}, above {load.HIGH_MONOTONY:g}, which practical guides"
            " call high (a guide line, no limit): mix hard and easy days."
        )
        lines += folded(words, width, 0)
    return lines


def _over(shown: Sequence[LoadWeek], by_week: dict[str, HoursWeek], limits: str, width: int) -> list[Text]:
    if not limits:
        words = "No limits on hours are set: 'stopsheet season limits' shows presets with their source."
        return folded(words, width, 0, "dim")
    lines = folded(f"Hours are held against {limits}.", width, 0, "dim")
    labels = {one.week for one in shown}
    newest = max(labels, default="")
    found = [one for one in by_week.values() if one.findings and (one.week in labels or one.week > newest)]
    for one in found:
        ahead = f" ({one.planned_hours:.1f} h of it planned)" if one.planned_hours else ""
        for finding in one.findings:
            lines += folded(f"! {one.week}: {finding}{ahead}.", width, 0)
    if not found:
        lines.append(Text("Nothing is over them in these weeks."))
    return lines


def heat_view(tables: Sequence[HeatTable], fahrenheit: float, width: int = NARROWEST) -> Group:
    """Return what each table asks for at a WBGT reading, and the cautions."""
    width = max(width, NARROWEST)
    celsius = (fahrenheit - 32) * 5 / 9
    lines = [Text(f"At a WBGT of {round(fahrenheit, 2):g} F ({celsius:.1f} C)", "bold")]
    for table in tables:
        band = table.band(fahrenheit)
        lines += folded(f"{table.title} ({table.region}): {band.range} {table.unit}", width, 0, "bold")
        parts = [band.says]
        if band.breaks:
            parts.append(f"{band.breaks} breaks an hour of at least {band.minutes} minutes.")
        if band.rest:
            parts.append(f"{band.rest} minutes of rest an hour.")
        lines += folded(" ".join(parts), width, 2)
        rule = water_rule(band)
        if rule is not None and len(tables) == 1:
            every = f"stopsheet team set water-every {max(rule[0], 10)}"
            words = f"For plans: {every}; stopsheet team set water-minutes {rule[1]}"
            lines += folded(words, width, 2)
        lines += folded(f"{table.source}; {table.year}.", width, 2, "dim")
    if len(tables) > 1:
        lines += folded(
            "Tables differ: choose your own with 'stopsheet season limits --region ID':", width, 0
        )
        lines += folded(", ".join(one.id for one in tables) + ".", width, 2)
    return Group(*lines, *(line for one in heat.CAUTIONS for line in folded(one, width, 0)))


def presets_view(presets: Sequence[Preset], words: Sequence[str], now: str, width: int = NARROWEST) -> Group:
    """Return the limits that ship, and those that are set; ``words`` are each preset's limits as one line."""
    width = max(width, NARROWEST)
    lines = folded(f"Set now: {now}." if now else "No limits on hours are set.", width, 0, "bold")
    for one, limits in zip(presets, words, strict=True):
        lines += folded(f"{one.id}: {said(one.title, 80)}", width, 0)
        lines += folded(limits, width, 2, "dim")
        if one.note:
            lines += folded(one.note, width, 2, "dim")
    note = "Rules change and differ: check your own federation's current text before you go by any of these."
    return Group(*lines, *folded(note, width, 0))
