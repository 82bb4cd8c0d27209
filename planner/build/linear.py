"""A thin hand on the solver: columns and rows in, an optimum or its bound out.

HiGHS, one thread, one seed: the same problem gives the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from planner.stopping import go_on

INF = math.inf

AGGREGATOR = 1 << 12
"""The bit of one of the solver's presolve rules."""


@dataclass(slots=True)
class Answer:
    """What the solver found; ``values`` is None where it has no feasible point.

    ``bound`` is what no point can exceed (maximisation); ``reduced`` the reduced costs of a linear run.
    ``solved`` says that optimum or infeasibility is proven.
    """

    values: list[float] | None
    objective: float
    bound: float
    solved: bool
    reduced: list[float] = field(default_factory=list)


@dataclass(slots=True)
class Effort:
    """What a search may spend, counted the same way on every machine: looks of the solver times columns."""

    left: float

    @property
    def spent(self) -> bool:
        """Return whether nothing is left."""
        return self.left <= 0

    def part(self, share: float) -> Effort:
        """Take a share of what is left for a piece of work; what remains of it is to be given back."""
        taken = Effort(self.left * share)
        self.left -= taken.left
        return taken

    def watch(self, solver: Any, columns: int) -> None:
        """Count what a run of the solver takes, and end the run once nothing is left."""

        def look(event: Any) -> None:
            self.left -= columns
            if self.spent:
                event.interrupt()

        solver.cbMipInterrupt.subscribe(look)


@dataclass(slots=True)
class Linear:
    """A maximisation problem being written down."""

    cost: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)

    def column(self, low: float, high: float, cost: float = 0.0, whole: bool = False) -> int:
        """Add a column and return its number."""
        self.lower.append(low)
        self.upper.append(high)
        self.cost.append(cost)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, low: float, terms: Mapping[int, float] | Iterable[tuple[int, float]], high: float) -> None:
        """Add ``low <= sum of coefficient x column <= high``; repeated columns are summed."""
        summed: dict[int, float] = {}
        for column, factor in terms.items() if isinstance(terms, Mapping) else terms:
            summed[column] = summed.get(column, 0.0) + factor
        for column, factor in summed.items():
            if factor:
                self.index.append(column)
                self.value.append(factor)
        self.starts.append(len(self.index))
        self.row_lower.append(low)
        self.row_upper.append(high)

    def mark(self) -> tuple[int, int]:
        """Return the present size, to come back to with ``reset``."""
        return len(self.cost), len(self.row_lower)

    def reset(self, mark: tuple[int, int]) -> None:
        """Forget the columns and rows added since ``mark``."""
        columns, rows = mark
        for one in (self.cost, self.lower, self.upper, self.whole):
            del one[columns:]
        del self.row_lower[rows:], self.row_upper[rows:], self.starts[rows + 1 :]
        del self.index[self.starts[-1] :], self.value[self.starts[-1] :]

    def solve(
        self,
        *,
        relaxed: bool = False,
        fixed: Mapping[int, float] | None = None,
        start: Mapping[int, float] | None = None,
        nodes: int | None = None,
        gap: float = 1e-9,
        floor: float = -INF,
        effort: Effort | None = None,
    ) -> Answer:
        """Maximise.

        ``relaxed`` drops the whole-number demands, ``fixed`` holds columns at a value for this run, ``start``
        is a point known to be feasible. ``nodes`` bounds the search the same way on every machine. Points no
        better than ``floor`` are not looked for: where there are no others the answer's bound is ``floor``.
        The run ends with what it has once ``effort`` is spent.

        Raises:
            Stopped: nobody wants the answer any more.

        """
        go_on()
        solver = _loaded(self, relaxed, fixed or {})
        solver.setOptionValue("mip_rel_gap", gap)
        solver.setOptionValue("mip_abs_gap", 1e-9)
        if nodes is not None:
            solver.setOptionValue("mip_max_nodes", nodes)
        if floor > -INF:
            solver.setOptionValue("objective_bound", -floor)
            for option in ("mip_heuristic_run_root_reduced_cost", "mip_heuristic_run_feasibility_jump"):
                solver.setOptionValue(option, False)
            solver.setOptionValue("mip_heuristic_effort", 0.0)
        if start and not relaxed:
            _hint(solver, start)
        if effort is not None and not relaxed:
            effort.watch(solver, len(self.cost))
        solver.run()
        return _answer(solver, relaxed, floor)


class Relaxed:
    """A problem without its whole-number demands, kept loaded: columns held and rows added cost little."""

    def __init__(self, problem: Linear) -> None:
        self.problem = problem
        self.solver = _loaded(problem, relaxed=True, fixed={})
        self.held: set[int] = set()
        self.rows = len(problem.row_lower)

    def hold(self, column: int, value: float) -> None:
        """Hold a column at a value until ``free``."""
        self.held.add(column)
        self.solver.changeColBounds(column, value, value)

    def free(self) -> None:
        """Let all columns go, and take in the rows added to the problem since."""
        for one in sorted(self.held):
            self.solver.changeColBounds(one, self.problem.lower[one], self.problem.upper[one])
        self.held.clear()
        self._take_rows()

    def _take_rows(self) -> None:
        import numpy as np

        problem = self.problem
        for row in range(self.rows, len(problem.row_lower)):
            begin, end = problem.starts[row], problem.starts[row + 1]
            index = np.asarray(problem.index[begin:end], dtype=np.int32)
            value = np.asarray(problem.value[begin:end], dtype=float)
            self.solver.addRow(problem.row_lower[row], problem.row_upper[row], end - begin, index, value)
        self.rows = len(problem.row_lower)

    def solve(self) -> Answer:
        """Return the best point.

        Raises:
            Stopped: nobody wants the answer any more.

        """
        go_on()
        self.solver.run()
        return _answer(self.solver, True, -INF)


def _loaded(problem: Linear, relaxed: bool, fixed: Mapping[int, float]) -> Any:
    import highspy
    import numpy as np

    solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    # Presolve without its aggregator: in HiGHS 1.13 to 1.15 that rule loses the optimum of some models of
    # this kind and calls the rest proven; thousands of brute-force comparisons agree without it.
    solver.setOptionValue("presolve_rule_off", AGGREGATOR)
    for option in ("mip_allow_restart", "mip_heuristic_run_rins", "mip_heuristic_run_rens"):
        solver.setOptionValue(option, False)
    lp = highspy.HighsLp()
    lp.num_col_ = len(problem.cost)
    lp.num_row_ = len(problem.row_lower)
    lp.col_cost_ = np.asarray(problem.cost)
    held = sorted(fixed)
    for name, bounds in (("col_lower_", problem.lower), ("col_upper_", problem.upper)):
        values = np.asarray(bounds)
        values[held] = [fixed[one] for one in held]
        setattr(lp, name, values)
    lp.row_lower_ = np.asarray(problem.row_lower)
    lp.row_upper_ = np.asarray(problem.row_upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.asarray(problem.starts, dtype=np.int32)
    lp.a_matrix_.index_ = np.asarray(problem.index, dtype=np.int32)
    lp.a_matrix_.value_ = np.asarray(problem.value, dtype=float)
    lp.sense_ = highspy.ObjSense.kMaximize
    if not relaxed:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[one] for one in problem.whole]
    solver.passModel(lp)
    return solver


def _hint(solver: Any, start: Mapping[int, float]) -> None:
    import numpy as np

    columns = sorted(start)
    solver.setSolution(
        len(columns), np.asarray(columns, dtype=np.int32), np.asarray([start[one] for one in columns])
    )


def _answer(solver: Any, relaxed: bool, floor: float) -> Answer:
    import highspy

    status = solver.getModelStatus()
    info = solver.getInfo()
    if status in {highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible}:
        return Answer(None, -INF, floor, solved=True)
    solved = status == highspy.HighsModelStatus.kOptimal
    found = info.primal_solution_status == 2
    solution = solver.getSolution()
    values = list(solution.col_value) if found else None
    objective = info.objective_function_value if found else -INF
    if relaxed:
        return Answer(values, objective, objective if solved else INF, solved, list(solution.col_dual))
    bound = info.mip_dual_bound if math.isfinite(info.mip_dual_bound) else INF
    return Answer(values, objective, max(bound, floor), solved)
