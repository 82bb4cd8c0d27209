"""The method page says what the code does: its numbers are read off the page and recomputed."""

from __future__ import annotations

import datetime as dt
import math
import re
import shlex
from pathlib import Path

import pytest

import planner
from planner.build.brief import Brief, Rules, SquadPlayer, Weight
from planner.build.candidates import FIT_BY_STEP, FIT_UNRECORDED
from planner.build.make import make_plan
from planner.build.worth import curve
from planner.cli.parser import build_parser
from planner.drills.card import Drill, Minutes
from planner.drills.vocabulary import Stage, Vocabulary
from planner.need.carry import carry_over
from planner.need.estimate import Needs, WatchedGame
from planner.need.needs import assess
from planner.need.settings import NeedSettings
from tests.need import kit

PAGE = (Path(planner.__file__).parent / "guide" / "METHOD.md").read_text("utf-8")
EXAMPLE = PAGE.split("## A worked example")[1].split("\n## ")[0]
TODAY = dt.date(2026, 11, 26)
NAMES = ("no-box-out", "late-closeout")


def row(label: str) -> list[float]:
    """Return the numbers of a row of the example's table."""
    line = next(one for one in EXAMPLE.splitlines() if one.startswith(f"| {label} |"))
    return [float(cell) for cell in line.strip("|").split("|")[1:]]


def splits() -> list[list[float]]:
    """Return the table of splits: minutes of A and B, their worths, the sum."""
    lines = re.findall(r"^\| (\d+ \|.*) \|$", EXAMPLE, flags=re.MULTILINE)
    return [[float(cell) for cell in line.split("|")] for line in lines]


def needs() -> Needs:
    """Return the needs after the example's game."""
    shipped = kit.shipped()
    two = tuple(shipped.breakdown_by_id[name] for name in NAMES)
    homes = tuple(shipped.principle_by_id[one.principle] for one in two)
    seen = dict(zip(NAMES, (int(one) for one in row("seen in 60 possessions")), strict=True))
    game = WatchedGame("1", dt.date(2026, 11, 20), 60, seen)
    return assess([game], Vocabulary(homes, two), TODAY)


def carried() -> dict[str, float]:
    spent = row("minutes 14 days ago")
    return carry_over([(TODAY - dt.timedelta(days=14), {"box-out": spent[0], "closeout": spent[1]})], TODAY)


def weights() -> dict[str, Weight]:
    by_id = {one.principle: one.points_per_100 for one in needs().principles}
    return {one: Weight(need, carried().get(one, 0.0)) for one, need in by_id.items()}


def effective() -> tuple[float, float]:
    return 0.8 * FIT_UNRECORDED[Stage.CONTESTED], 0.8 * FIT_UNRECORDED[Stage.GUIDED]


def test_usual_numbers_are_the_library_s() -> None:
    """The example starts from the rates and costs that the library ships."""
    known = kit.shipped().breakdown_by_id
    assert row("usual rate per 100") == [known[name].usual_rate for name in NAMES]
    assert row("usual cost in points") == [known[name].usual_cost for name in NAMES]


def test_rates_and_needs() -> None:
    """Rates and needs of the page are those of ``assess``."""
    found = needs()
    rates = {one.breakdown: one.rate_per_100 for one in found.breakdowns}
    assert row("rate per 100") == [pytest.approx(rates[name], abs=0.005) for name in NAMES]
    lost = {one.principle: one.points_per_100 for one in found.principles}
    said = row("need of its principle")
    assert said == [pytest.approx(lost[name], abs=0.005) for name in ("box-out", "closeout")]


def test_minutes_in_mind() -> None:
    """Twenty minutes of a fortnight ago are ten."""
    said = row("minutes in mind")
    assert said == [pytest.approx(carried()[name]) for name in ("box-out", "closeout")]


def test_effective_minutes() -> None:
    """The drills' effective minutes per minute follow from share and stage."""
    said = re.findall(r"0\.8 × [\d.]+ = (\d+\.\d+)", EXAMPLE)
    assert [float(one) for one in said] == [pytest.approx(one) for one in effective()]


def test_worths_of_the_splits() -> None:
    """Every worth in the table is that of the code's curve, to the third decimal."""
    a, b = effective()
    bends = [curve(weights()[one], Rules()) for one in ("box-out", "closeout")]
    assert len(splits()) == 3
    for first, second, worth_a, worth_b, both in splits():
        told = (bends[0].at_mark(a * first), bends[1].at_mark(b * second))
        assert (worth_a, worth_b) == (pytest.approx(told[0], abs=6e-4), pytest.approx(told[1], abs=6e-4))
        assert both == pytest.approx(sum(told), abs=6e-4)
        joined = bends[0].worth(a * first) + bends[1].worth(b * second)
        assert joined == pytest.approx(both, abs=2e-3)


def test_the_formula_in_the_text() -> None:
    """The worth written out with exp gives what the page says it gives."""
    need, r, before, after, said = (
        float(one)
        for one in re.findall(
            r"([\d.]+) × ([\d.]+) × \(exp\(−([\d.]+)/30\) − exp\(−([\d.]+)/30\)\) = (\d+\.\d+)", EXAMPLE
        )[0]
    )
    assert need * r * (math.exp(-before / 30) - math.exp(-after / 30)) == pytest.approx(said, abs=6e-4)
    assert r == Rules().r
    assert Rules().tau == 30


def test_the_solver_chooses_the_split() -> None:
    """Given the two drills and 20 minutes, the real plan is the one the page names."""
    drills = (
        drill("a", {"box-out": 16}, Stage.CONTESTED),
        drill("b", {"closeout": 16}, Stage.GUIDED),
    )
    squad = tuple(SquadPlayer(str(number)) for number in range(4, 14))
    plan = make_plan(Brief(TODAY, 930, 20, squad, drills, weights()))
    minutes = {station.drill: one.minutes for one in plan.segments for station in one.stations}
    said = re.findall(r"gives (\d+) minutes to A and (\d+) to B", EXAMPLE)[0]
    assert [minutes["a"], minutes["b"]] == [int(one) for one in said]
    assert plan.objective == pytest.approx(max(one[4] for one in splits()), abs=2e-3)


def drill(name: str, shares: dict[str, int], stage: Stage) -> Drill:
    return Drill(
        id=name,
        title=name,
        kind="drill",
        stage=stage,
        shares=shares,
        players_min=4,
        players_max=12,
        half_courts=1,
        layout="half",
        minutes=Minutes(5, 10, 15),
        effort=5,
        equipment=(),
        set_up="",
        how="",
        cues=("Go",),
        faults=(),
        scoring=None,
    )


def test_parameters_are_the_defaults() -> None:
    """The table of parameters holds the values the code starts with."""
    table = PAGE.split("## The parameters")[1].split("\n## ")[0]
    said = {cells[1].strip(): cells[2].strip() for one in table.splitlines() if (cells := one.split("|"))[3:]}
    need, rules = NeedSettings(), Rules()
    assert said["weight of the usual rate"] == f"{need.prior_possessions:g} possessions"
    assert said["film half-life"] == f"{need.half_life_games:g} games"
    assert said["spread of costs"] == f"{need.cost_sd:g} points"
    assert said["base"] == f"{need.base:g} points"
    assert said["r"] == f"{rules.r:g}"
    assert said["tau"] == f"{rules.tau:g} min"
    assert said["fit of a stage"].startswith(", ".join(f"{one:g}" for one in FIT_BY_STEP.values()))
    assert said["fit, nothing passed"] == ", ".join(f"{one} {fit:g}" for one, fit in FIT_UNRECORDED.items())
    assert said["freshness"].startswith(f"{rules.freshness_last:g} run last time, {rules.freshness_before:g}")
    assert said["water"] == f"every {rules.water_every} min, {rules.water_minutes} min"


def commands() -> list[str]:
    """Return every command line the page names."""
    block = PAGE.split("## How to disagree")[1].split("```")[1]
    listed = [re.split(r"\s{2,}", one)[0] for one in block.strip().splitlines()]
    rest = re.sub(r"```.*?```", "", PAGE, flags=re.DOTALL)
    inline = [one for one in re.findall(r"`(stopsheet [^`]+)`", rest) if not one.endswith("--pin")]
    return sorted({*listed, *inline})


@pytest.mark.parametrize("command", commands())
def test_commands_exist(command: str) -> None:
    """Every command of the page is one that the program understands."""
    build_parser().parse_args(shlex.split(command)[1:])
