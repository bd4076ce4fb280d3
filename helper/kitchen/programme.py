"""A small face for the integer programme solver: numbers to choose, limits, and what to make least.

The solver (HiGHS) is imported when the first programme is solved, because loading it takes longer
than most answers do.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

# A whole number may miss itself by this much in the solver's arithmetic.
_HAIR = 1e-6


class Best(NamedTuple):
    """The best choice found: a value for every number, what it comes to, and the bound below it.

    `proved` True when nothing can be lower by a whole `step`.
    """

    values: list[float]
    total: float
    bound: float
    proved: bool

    def whole(self, number: int) -> int:
        """The value of a number that was to be whole."""
        return round(self.values[number])

    @property
    def gap(self) -> float:
        """How far the bound lies below the total, as a part of the total."""
        return max(0.0, self.total - self.bound) / max(abs(self.total), 1e-9)


class Programme:
    """Numbers between bounds, some of them whole, under linear limits.

    Goals are given one after the other: `least` finds the lowest value of one, `hold` keeps it
    there, and the next goal chooses among what is still open.
    """

    def __init__(self) -> None:
        self._low: list[float] = []
        self._high: list[float] = []
        self._whole: list[bool] = []
        self._rows: list[tuple[float, float, dict[int, float]]] = []
        self._start: list[float] | None = None

    def number(self, most: float = math.inf, least: float = 0.0, whole: bool = False) -> int:
        """A number to be chosen; returns its place."""
        self._low.append(least)
        self._high.append(most)
        self._whole.append(whole)
        return len(self._low) - 1

    def bound(self, number: int, most: float) -> None:
        """Moves the upper bound of a number."""
        self._high[number] = most

    def bounds(self, number: int) -> float:
        """The upper bound of a number."""
        return self._high[number]

    def limit(
        self, parts: Mapping[int, float], least: float = -math.inf, most: float = math.inf
    ) -> None:
        """Keeps a sum of numbers, each times its factor, between two values."""
        self._rows.append((least, most, dict(parts)))

    def hold(self, goal: Mapping[int, float], best: Best, slack: float = _HAIR) -> None:
        """Keeps a goal at the value found for it, and starts the next search from there."""
        self.limit(goal, most=best.total + slack)
        self._start = best.values

    def begin_at(self, best: Best) -> None:
        """Starts the next search from a choice that was found."""
        self._start = best.values

    def least(self, goal: Mapping[int, float], seconds: float, step: float = 0.0) -> Best | None:
        """The choice with the lowest goal, or None where nothing keeps within the limits.

        Also None where none was found in the `seconds` given. `step` is the smallest difference
        that counts (a cent): what is proved to within less than it is proved.
        """
        found, status = self._found(goal, seconds, step)
        if found is not None and status == "optimal" and not found.proved and self._start:
            # Given a starting point, the solver has been seen to hand that back as its optimum
            # while its own bound lies far below: what does not add up is sought again without.
            self._start = None
            found, status = self._found(goal, seconds, step)
        return found

    def _found(
        self, goal: Mapping[int, float], seconds: float, step: float
    ) -> tuple[Best | None, str]:
        solver, status = self._solve(goal, seconds, step)
        info = solver.getInfo()
        if status in ("infeasible", "empty") or not info.primal_solution_status:
            return None, status
        values = list(solver.getSolution().col_value)
        if not values or any(math.isnan(value) for value in values) or not self._keeps(values):
            return None, status
        total = sum(factor * values[number] for number, factor in goal.items())
        bound = info.mip_dual_bound if any(self._whole) else total
        proved = total - bound < max(step, _HAIR * max(1.0, abs(total)))
        return Best(values, total, bound, proved), status

    def _solve(self, goal: Mapping[int, float], seconds: float, step: float) -> tuple[Any, str]:
        import highspy
        import numpy as np

        class Quiet(highspy.Highs):
            """The solver, which else greets on standard output before it can be told not to."""

            def enableCallbacks(self) -> None:
                self.setOptionValue("output_flag", False)
                super().enableCallbacks()  # type: ignore[no-untyped-call]

        solver = Quiet()  # type: ignore[no-untyped-call]
        solver.setOptionValue("output_flag", False)
        # Programmes of this size leave a second thread nothing to do but to wait busily, an
        # eighth more work for the same answer; and other work on the machine pays for it.
        solver.setOptionValue("threads", 1)
        solver.setOptionValue("time_limit", max(seconds, 0.05))
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", max(step * 0.99, _HAIR))
        count = len(self._low)
        high = [min(value, highspy.kHighsInf) for value in self._high]
        solver.addVars(count, np.array(self._low), np.array(high))
        costs = np.zeros(count)
        for number, factor in goal.items():
            costs[number] = factor
        places = np.arange(count, dtype=np.int32)
        solver.changeColsCost(count, places, costs)
        kinds = np.array(
            [
                highspy.HighsVarType.kInteger if whole else highspy.HighsVarType.kContinuous
                for whole in self._whole
            ]
        )
        solver.changeColsIntegrality(count, places, kinds)
        starts, indices, factors = _flat([row[2] for row in self._rows])
        solver.addRows(
            len(self._rows),
            np.array([max(row[0], -highspy.kHighsInf) for row in self._rows]),
            np.array([min(row[1], highspy.kHighsInf) for row in self._rows]),
            len(indices),
            np.array(starts, dtype=np.int32),
            np.array(indices, dtype=np.int32),
            np.array(factors),
        )
        if self._start is not None:
            known = highspy.HighsSolution()
            known.col_value = self._start + [0.0] * (count - len(self._start))
            solver.setSolution(known)
        solver.run()
        statuses = highspy.HighsModelStatus
        names = {
            statuses.kOptimal: "optimal",
            statuses.kInfeasible: "infeasible",
            statuses.kUnboundedOrInfeasible: "infeasible",
            statuses.kModelEmpty: "empty",
        }
        return solver, names.get(solver.getModelStatus(), "stopped")

    def _keeps(self, values: Sequence[float]) -> bool:
        """Whether values really keep to every limit: nothing is believed that was not looked at."""
        for low, high, parts in self._rows:
            total = sum(factor * values[number] for number, factor in parts.items())
            hair = 1e-5 * max(1.0, *(abs(factor * values[n]) for n, factor in parts.items()))
            if not low - hair <= total <= high + hair:
                return False
        return True


def _flat(rows: Sequence[Mapping[int, float]]) -> tuple[list[int], list[int], list[float]]:
    starts: list[int] = []
    indices: list[int] = []
    factors: list[float] = []
    for parts in rows:
        starts.append(len(indices))
        indices.extend(parts.keys())
        factors.extend(parts.values())
    return starts, indices, factors
