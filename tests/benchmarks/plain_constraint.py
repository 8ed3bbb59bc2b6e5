"""python-constraint2 with its own solver: over items with functions, and on the engine's own problem."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import prod
from typing import Any

from constraint import Problem
from fitwright.solver.network import Network

from .raw import Raw, Table, Total


def count(raw: Raw) -> int:
    """Count by listing: a variable per position, whose values are items, and a function per check."""
    problem = Problem()
    for name, domain in raw.domains.items():
        problem.addVariable(name, range(len(domain)))
    for table in raw.tables:
        if table.unless is None:
            problem.addConstraint(table.holds, table.names)
        else:
            problem.addConstraint(_unless(table, raw), (*table.names, table.unless))
    for total in raw.totals:
        problem.addConstraint(_bounded(total, raw), tuple(total.terms))
    return _total(problem, raw.ways)


def count_network(network: Network) -> int:
    """Count on the engine's own problem with the library's solver."""
    if network.dead_end is not None:
        return 0
    return _total(network.problem(), {name: [choice.ways for choice in own] for name, own in network.choices.items()})


def _total(problem: Problem, ways: Mapping[str, Sequence[int]]) -> int:
    """Each solution stands for its number of ways."""
    columns = [(name, own) for name, own in ways.items() if set(own) != {1}]
    return sum(prod([own[solution[name]] for name, own in columns]) for solution in problem.getSolutionIter())


def _unless(table: Table, raw: Raw) -> Callable[[int, int, int], bool]:
    through = raw.domains[table.unless or ""]
    holds = table.holds
    return lambda one, other, middle: through[middle] is not None or holds(one, other)


def _bounded(total: Total, raw: Raw) -> Callable[..., bool]:
    names, columns = list(total.terms), list(total.terms.values())
    needed = names.index(total.when) if total.when else None
    domain = raw.domains[total.when] if total.when else []

    def holds(*values: Any) -> bool:
        if needed is not None and domain[values[needed]] is None:
            return True
        terms = [column[value] for column, value in zip(columns, values, strict=True)]
        least, most = (sum([term[end] for term in terms]) for end in (0, 1))
        return bool(total.low <= least and most <= total.high)

    return holds
