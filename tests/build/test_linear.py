from __future__ import annotations

import itertools
import json
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build.linear import INF, Effort, Linear, Relaxed

DATA = Path(__file__).resolve().parent.parent / "data" / "build"


def product_mix() -> tuple[Linear, int, int]:
    """Return max 3x + 5y under x <= 4, 2y <= 12, 3x + 2y <= 18.

    The product-mix example of operations research textbooks (from memory): optimum 36 at (2, 6).
    """
    problem = Linear()
    x, y = problem.column(0, INF, 3.0), problem.column(0, INF, 5.0)
    problem.row(-INF, {x: 1.0}, 4)
    problem.row(-INF, {y: 2.0}, 12)
    problem.row(-INF, {x: 3.0, y: 2.0}, 18)
    return problem, x, y


def test_the_product_mix_of_the_textbooks() -> None:
    """The linear optimum is 36 at (2, 6), proven."""
    problem, x, y = product_mix()
    answer = problem.solve(relaxed=True)
    assert answer.solved
    assert answer.values is not None
    assert answer.objective == pytest.approx(36) == answer.bound
    assert (answer.values[x], answer.values[y]) == (pytest.approx(2), pytest.approx(6))
    assert answer.reduced == [pytest.approx(0), pytest.approx(0)]


def test_a_column_held_costs_what_it_costs() -> None:
    """With x held at 4 the best is 27 (3 x 4 + 5 x 3); freed, the problem is what it was."""
    problem, x, _ = product_mix()
    assert problem.solve(fixed={x: 4.0}).objective == pytest.approx(27)
    assert problem.solve().objective == pytest.approx(36)


def test_reduced_costs_bound_what_a_column_could_add() -> None:
    """Forcing a column that the optimum leaves at nothing loses at least its reduced cost each."""
    problem = Linear()
    good, poor = problem.column(0, 10, 4.0), problem.column(0, 10, 1.0)
    problem.row(-INF, {good: 1.0, poor: 1.0}, 9)
    answer = problem.solve(relaxed=True)
    assert answer.reduced[poor] == pytest.approx(-3)
    assert problem.solve(relaxed=True, fixed={poor: 2.0}).objective == pytest.approx(answer.objective - 6)


def test_what_cannot_be_has_no_values() -> None:
    """A problem without a point says so, and that it is proven."""
    for relaxed in (True, False):
        problem = Linear()
        x = problem.column(0, 1, whole=True)
        problem.row(2, {x: 1.0}, INF)
        answer = problem.solve(relaxed=relaxed)
        assert answer.values is None
        assert answer.solved
        assert answer.objective == -INF


def test_what_was_added_can_be_forgotten() -> None:
    """Columns and rows added after a mark are gone after the reset, and the problem is as before."""
    problem, x, y = product_mix()
    mark = problem.mark()
    z = problem.column(0, 1, 100.0)
    problem.row(-INF, {x: 1.0, y: 1.0, z: 1.0}, 1)
    assert problem.solve().objective != pytest.approx(36)
    problem.reset(mark)
    assert problem.mark() == mark
    assert problem.solve().objective == pytest.approx(36)
    problem.row(-INF, {y: 1.0}, 5)
    assert problem.solve().objective == pytest.approx(3 * 8 / 3 + 25)


def test_columns_named_twice_are_summed() -> None:
    """A row may name a column more than once; nothing of it is lost."""
    problem = Linear()
    x = problem.column(0, INF, 1.0)
    problem.row(-INF, [(x, 1.0), (x, 2.0)], 6)
    assert problem.solve(relaxed=True).objective == pytest.approx(2)


def test_a_known_point_is_taken_up() -> None:
    """A start that is feasible does not change the optimum."""
    problem = Linear()
    x = problem.column(0, 7, 1.0, whole=True)
    problem.row(-INF, {x: 2.0}, 9)
    assert problem.solve(start={x: 1.0}).objective == pytest.approx(4)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 20)), min_size=1, max_size=8), st.integers(0, 30))
def test_knapsacks_by_trying_everything(things: list[tuple[int, int]], room: int) -> None:
    """The whole-number optimum of small knapsacks is that of all subsets tried."""
    problem = Linear()
    columns = [problem.column(0, 1, float(worth), whole=True) for _, worth in things]
    problem.row(-INF, {one: float(weight) for one, (weight, _) in zip(columns, things, strict=True)}, room)
    best = max(
        sum(worth for _, worth in chosen)
        for count in range(len(things) + 1)
        for chosen in itertools.combinations(things, count)
        if sum(weight for weight, _ in chosen) <= room
    )
    answer = problem.solve()
    assert answer.solved
    assert answer.objective == pytest.approx(best)
    assert answer.bound == pytest.approx(best)
    assert problem.solve(relaxed=True).objective >= best - 1e-9
    assert math.isfinite(answer.bound)


def test_what_is_no_better_than_the_floor_is_not_looked_for() -> None:
    """Above the optimum there is nothing, and the floor is the bound; below it the optimum is found."""
    problem, x, y = product_mix()
    problem.whole[x] = problem.whole[y] = True
    assert problem.solve(floor=35.0).objective == pytest.approx(36)
    above = problem.solve(floor=36.5)
    assert above.objective <= 36.5 == above.bound


def test_an_effort_ends_a_search_with_a_bound_that_holds() -> None:
    """With nothing to spend a model stays open, its bound above the optimum; with enough it is solved."""
    problem, best = kept_model()
    short = problem.solve(effort=Effort(1))
    assert not short.solved
    assert short.bound >= best - 1e-6
    assert short.objective <= best + 1e-6
    enough = Effort(1e6)
    assert problem.solve(effort=enough).objective == pytest.approx(best)
    assert 0 < enough.left < 1e6


def kept_model() -> tuple[Linear, float]:
    """Return a small model of a practice and its optimum, by a search without any presolve."""
    kept = json.loads((DATA / "lost-optimum.json").read_text("utf-8"))
    problem = Linear()
    for cost, low, high, whole in zip(kept["cost"], kept["lower"], kept["upper"], kept["whole"], strict=True):
        problem.column(low if low is not None else -INF, high if high is not None else INF, cost, whole)
    for row, (low, high) in enumerate(zip(kept["row_lower"], kept["row_upper"], strict=True)):
        begin, end = kept["starts"][row], kept["starts"][row + 1]
        terms = zip(kept["index"][begin:end], kept["value"][begin:end], strict=True)
        problem.row(low if low is not None else -INF, terms, high if high is not None else INF)
    return problem, kept["best"]


def test_no_optimum_is_lost_to_presolve() -> None:
    """A model whose optimum one presolve rule loses (17.51 becomes 0) is solved to its optimum."""
    problem, best = kept_model()
    answer = problem.solve()
    assert answer.solved
    assert answer.objective == pytest.approx(best)


def test_a_relaxed_problem_is_held_and_freed() -> None:
    """Columns held in a loaded problem cost what they cost when it is loaded anew; freed, nothing is left."""
    problem, x, _ = product_mix()
    relaxed = Relaxed(problem)
    assert relaxed.solve().objective == pytest.approx(36)
    relaxed.hold(x, 4.0)
    assert relaxed.solve().objective == pytest.approx(problem.solve(fixed={x: 4.0}).objective)
    relaxed.free()
    assert relaxed.solve().objective == pytest.approx(36)


def test_a_relaxed_problem_takes_in_rows_added_since() -> None:
    """A row written after loading counts from the next time the columns are freed."""
    problem, x, y = product_mix()
    relaxed = Relaxed(problem)
    relaxed.solve()
    problem.row(-INF, {x: 1.0, y: 1.0}, 7)
    relaxed.free()
    found = relaxed.solve().objective
    assert found == pytest.approx(problem.solve(relaxed=True).objective)
    assert found < 35
