"""OR-Tools CP-SAT, listing all solutions."""

from __future__ import annotations

from collections.abc import Callable
from math import prod
from typing import Any

from ortools.sat.python import cp_model

from .raw import Raw, Total


def count(raw: Raw) -> int:
    """Count by listing: numbers of items as variables, tables for pairs, elements and linear bounds for sums."""
    model = cp_model.CpModel()
    items = {name: model.new_int_var(0, len(domain) - 1, name) for name, domain in raw.domains.items()}
    absent: dict[str, Any] = {}
    for name, domain in raw.domains.items():
        if None in domain:
            absent[name] = model.new_bool_var(f"no {name}")
            model.add(items[name] == domain.index(None)).only_enforce_if(absent[name])
            model.add(items[name] != domain.index(None)).only_enforce_if(~absent[name])
    for table in raw.tables:
        left, right = table.names
        rows = table.rows()
        one: Any = items[left]
        if table.unless is not None:
            # A copy that is only tied to the item while nothing stands between; otherwise it meets everything.
            one = model.new_int_var(-1, len(raw.domains[left]) - 1, f"{left} meets {right}")
            model.add(one == items[left]).only_enforce_if(absent[table.unless])
            model.add(one == -1).only_enforce_if(~absent[table.unless])
            rows += [(-1, j) for j in range(len(raw.domains[right]))]
        model.add_allowed_assignments([one, items[right]], rows)
    for total in raw.totals:
        _bound(model, items, absent, total)
    ways = [(items[name], own) for name, own in raw.ways.items() if set(own) != {1}]
    return _enumerate(model, lambda value: prod([own[value(item)] for item, own in ways]))


def _bound(model: Any, items: dict[str, Any], absent: dict[str, Any], total: Total) -> None:
    for end, sense in ((0, 1), (1, -1)):
        terms = []
        for name, column in total.terms.items():
            values = [each[end] for each in column]
            term = model.new_int_var(min(values), max(values), f"{name} adds")
            model.add_element(items[name], values, term)
            terms.append(term)
        bound = total.low if sense == 1 else total.high
        demand = model.add(sum(terms) >= bound) if sense == 1 else model.add(sum(terms) <= bound)
        if total.when in absent:
            demand.only_enforce_if(~absent[total.when])


class _Counter(cp_model.CpSolverSolutionCallback):
    def __init__(self, weigh: Callable[[Callable[[Any], int]], int]) -> None:
        super().__init__()
        self._weigh = weigh
        self.total = 0

    def on_solution_callback(self) -> None:
        self.total += self._weigh(self.value)


def _enumerate(model: Any, weigh: Callable[[Callable[[Any], int]], int]) -> int:
    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    counter = _Counter(weigh)
    status = solver.solve(model, counter)
    if status not in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
        raise RuntimeError(f"the listing ended as {solver.status_name(status)}")
    return counter.total
