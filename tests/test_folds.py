"""Folds over an answer graph bring back what a walk over every solution would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from itertools import islice, product
from math import prod
from operator import add, mul
from typing import Any, NamedTuple

from constraint import Problem
from fitwright.solver.folds import choices, count, fold, least
from fitwright.solver.graph import Graph, graph_of
from fitwright.solver.ranked import in_order
from hypothesis import given
from hypothesis import strategies as st

_Solutions = frozenset[frozenset[tuple[Hashable, Any]]]


class _Case(NamedTuple):
    """A graph, its solutions by brute force, and numbers for each value of each variable."""

    graph: Graph
    solutions: list[dict[str, int]]
    ways: Mapping[Hashable, Sequence[int]]
    weights: Mapping[Hashable, Sequence[int]]

    def ways_of(self, solution: Mapping[str, int]) -> int:
        return prod(self.ways[name][value] for name, value in solution.items() if name in self.ways)

    def weight_of(self, solution: Mapping[str, int]) -> int:
        return sum(self.weights[name][value] for name, value in solution.items() if name in self.weights)


@st.composite
def _cases(draw: st.DrawFn) -> _Case:
    names = "abcdef"[: draw(st.integers(1, 6))]
    sizes = {name: draw(st.integers(1, 3)) for name in names}
    pairs = [(one, other) for place, one in enumerate(names) for other in names[place + 1 :]]
    tables: dict[tuple[str, str], set[tuple[int, int]]] = {}
    for one, other in draw(st.lists(st.sampled_from(pairs), max_size=6, unique=True)) if pairs else []:
        every = list(product(range(sizes[one]), range(sizes[other])))
        tables[one, other] = set(draw(st.lists(st.sampled_from(every), min_size=1)))
    problem = Problem()
    for name, size in sizes.items():
        problem.addVariable(name, range(size))
    for scope, rows in tables.items():
        problem.addConstraint(lambda a, b, rows=rows: (a, b) in rows, scope)
    solutions = [dict(zip(names, values, strict=True)) for values in product(*map(range, sizes.values()))]
    solutions = [
        each for each in solutions if all((each[one], each[other]) in rows for (one, other), rows in tables.items())
    ]
    # Some variables have no numbers of their own: they count once and weigh nothing.
    told = [name for name in names if draw(st.integers(0, 3))]
    ways: dict[Hashable, list[int]] = {name: [draw(st.integers(1, 4)) for _ in range(sizes[name])] for name in told}
    weights: dict[Hashable, list[int]] = {name: [draw(st.integers(0, 9)) for _ in range(sizes[name])] for name in told}
    return _Case(graph_of(problem), solutions, ways, weights)


@given(_cases())
def test_count_counts_every_solution_as_often_as_it_has_ways(case: _Case) -> None:
    assert count(case.graph, {}) == len(case.solutions)
    assert count(case.graph, case.ways) == sum(map(case.ways_of, case.solutions))


@given(_cases())
def test_choices_count_the_solutions_of_each_value_per_way_of_it(case: _Case) -> None:
    found = choices(case.graph, case.ways)
    expected: dict[Hashable, Counter[int]] = {name: Counter() for name in case.graph.variables}
    for solution in case.solutions:
        for name, value in solution.items():
            expected[name][value] += case.ways_of(solution) // case.ways.get(name, [1] * (value + 1))[value]
    assert found == expected


@given(_cases())
def test_each_variables_choices_add_up_to_the_count(case: _Case) -> None:
    total = count(case.graph, case.ways)
    for name, counted in choices(case.graph, case.ways).items():
        ways = case.ways.get(name)
        assert sum(each * (ways[value] if ways else 1) for value, each in counted.items()) == total


@given(_cases())
def test_least_is_the_weight_of_the_lightest_solution(case: _Case) -> None:
    assert least(case.graph, case.weights) == min(map(case.weight_of, case.solutions), default=None)


@given(_cases())
def test_counting_and_least_are_folds(case: _Case) -> None:
    def ways(variable: Hashable, value: int) -> int:
        return case.ways[variable][value] if variable in case.ways else 1

    def weight(variable: Hashable, value: int) -> int:
        return case.weights[variable][value] if variable in case.weights else 0

    assert (fold(case.graph, add, mul, ways) or 0) == count(case.graph, case.ways)
    assert fold(case.graph, min, add, weight) == least(case.graph, case.weights)
    assert fold(case.graph, max, add, weight) == max(map(case.weight_of, case.solutions), default=None)


@given(_cases())
def test_a_fold_into_sets_of_solutions_is_the_set_of_solutions(case: _Case) -> None:
    """The freest semiring: whatever another fold does, this one shows what it works on."""

    def plus(one: _Solutions, other: _Solutions) -> _Solutions:
        return one | other

    def times(one: _Solutions, other: _Solutions) -> _Solutions:
        return frozenset(a | b for a in one for b in other)

    def single(variable: Hashable, value: int) -> _Solutions:
        return frozenset([frozenset([(variable, value)])])

    found = fold(case.graph, plus, times, single)
    assert (found or frozenset()) == {frozenset(solution.items()) for solution in case.solutions}


@given(_cases())
def test_the_order_is_ascending_complete_and_without_repetition(case: _Case) -> None:
    names = case.graph.variables

    def options(place: int, value: int) -> list[tuple[int, tuple[int, int]]]:
        """Make an option of every way of a value: the first weighs what the value does, the next one more each."""
        weight = case.weights[names[place]][value] if names[place] in case.weights else 0
        return [(weight + way, (value, way)) for way in range(case.ways.get(names[place], [1] * (value + 1))[value])]

    ranked = list(in_order(case.graph, case.weights, options))
    assert [weight for weight, _ in ranked] == sorted(weight for weight, _ in ranked)
    listed = [tuple(sorted((names[place], *option) for place, option in chosen.items())) for _, chosen in ranked]
    assert len(listed) == len(set(listed)) == count(case.graph, case.ways)
    assert all(
        weight == case.weight_of({name: value for name, value, _ in each}) + sum(way for _, _, way in each)
        for (weight, _), each in zip(ranked, listed, strict=True)
    )


def test_the_first_in_order_are_found_among_very_many() -> None:
    problem = Problem()
    problem.addVariables(range(30), range(10))
    for number in range(29):
        problem.addConstraint(lambda a, b: a != b, (number, number + 1))
    graph = graph_of(problem)
    assert count(graph, {}) == 10 * 9**29
    opened = []

    def options(place: int, value: int) -> list[tuple[int, int]]:
        opened.append((place, value))
        return [(value, value)]

    weights = {variable: range(10) for variable in graph.variables}
    ranked = in_order(graph, weights, options)
    first = list(islice(ranked, 1))
    # Effort is pinned: of 300 values, little more than those of the first answer have been looked at.
    assert len(opened) <= 2 * 30
    first += islice(ranked, 99)
    # Zeros and ones by turns, from either end; then one of the odd places may hold a two.
    assert [weight for weight, _ in first[:3]] == [15, 15, 16]
    assert [weight for weight, _ in first] == sorted(weight for weight, _ in first)
    assert least(graph, weights) == 15
