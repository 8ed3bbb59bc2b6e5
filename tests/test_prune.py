"""Taking out values without support loses no solution, and leaves none that a table has no row for."""

from __future__ import annotations

from itertools import product

from constraint import Problem
from fitwright.solver.graph import graph_of
from fitwright.solver.prune import supported
from fitwright.solver.relation import Relation
from hypothesis import given
from hypothesis import strategies as st

_NAMES = ("a", "b", "c", "d")


@st.composite
def _problems(draw: st.DrawFn) -> tuple[dict[str, list[int]], list[Relation]]:
    sizes = {name: draw(st.integers(1, 4)) for name in _NAMES}
    domains = {name: draw(st.lists(st.integers(0, size - 1), min_size=1, unique=True)) for name, size in sizes.items()}
    tables = []
    for _ in range(draw(st.integers(1, 4))):
        scope = draw(st.lists(st.sampled_from(_NAMES), min_size=2, max_size=3, unique=True))
        readings = [draw(st.lists(st.integers(0, 2), min_size=sizes[name], max_size=sizes[name])) for name in scope]
        every = list(product(range(3), repeat=len(scope)))
        tables.append(Relation(scope, readings, draw(st.lists(st.sampled_from(every), unique=True))))
    return domains, tables


def _solutions(domains: dict[str, list[int]], tables: list[Relation]) -> set[tuple[int, ...]]:
    found = set()
    for values in product(*(domains[name] for name in _NAMES)):
        assigned = dict(zip(_NAMES, values, strict=True))
        if all(table(list(table.scope), domains, assigned) for table in tables):
            found.add(values)
    return found


@given(_problems())
def test_no_solution_is_lost_and_every_value_has_support(problem: tuple[dict[str, list[int]], list[Relation]]) -> None:
    domains, tables = problem
    wanted = _solutions(domains, tables)
    left = supported(domains, tables)
    if left is None:
        assert not wanted
        return
    kept = {name: list(left[name]) for name in _NAMES}
    assert all(set(kept[name]) <= set(domains[name]) for name in _NAMES)
    assert _solutions(kept, tables) == wanted
    for table in tables:
        for place, name in enumerate(table.scope):
            for value in kept[name]:
                others = [kept[other] if other != name else [value] for other in table.scope]
                rows = {
                    tuple(column[each] for column, each in zip(table.readings, values, strict=True))
                    for values in product(*others)
                }
                assert rows & table.rows, (table.scope, place, value)


@given(_problems())
def test_the_graph_has_the_solutions_of_the_problem(problem: tuple[dict[str, list[int]], list[Relation]]) -> None:
    domains, tables = problem
    stated = Problem()
    for name, values in domains.items():
        stated.addVariable(name, values)
    for table in tables:
        stated.addConstraint(table, table.scope)
    graph = graph_of(stated)
    assert {tuple(solution[name] for name in _NAMES) for solution in graph} == _solutions(domains, tables)
