"""Walks over an answer graph that bring back one thing: a count, a least weight, the counts of each choice."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import reduce
from typing import Any, TypeVar

from .graph import Graph

Element = TypeVar("Element")
Ways = Mapping[Hashable, Sequence[int]]
"""For some variables, how many things each value stands for; values of other variables stand for one."""
Weights = Mapping[Hashable, Sequence[int]]
"""For some variables, what each value weighs at the least; values of other variables weigh nothing."""


def fold(
    graph: Graph,
    plus: Callable[[Element, Element], Element],
    times: Callable[[Element, Element], Element],
    weigh: Callable[[Hashable, Any], Element | None],
) -> Element | None:
    """Combine alternatives with `plus` and independent parts with `times`; None where there is no solution.

    `plus` and `times` must form a commutative semiring on the weights (count: + and x; least: min and +). Solutions
    with a value that weighs None are left out.
    """
    if not graph.roots:
        return None
    results: list[Element | None] = []
    for number, arcs in graph.nodes:
        variable = graph.variables[number]
        alternatives = []
        for values, children in arcs:
            own = [weight for value in values if (weight := weigh(variable, value)) is not None]
            below = [result for child in children if (result := results[child]) is not None]
            if own and len(below) == len(children):
                alternatives.append(reduce(times, below, reduce(plus, own)))
        results.append(reduce(plus, alternatives) if alternatives else None)
    found = [result for root in graph.roots if (result := results[root]) is not None]
    return reduce(times, found) if len(found) == len(graph.roots) else None


def counts(graph: Graph, ways: Ways) -> list[int]:
    """Return for each node the exact number of its solutions."""
    found: list[int] = []
    columns = [ways.get(variable) for variable in graph.variables]
    for variable, arcs in graph.nodes:
        column = columns[variable]
        total = 0
        for values, children in arcs:
            product = len(values) if column is None else sum([column[value] for value in values])
            for child in children:
                product *= found[child]
            total += product
        found.append(total)
    return found


def count(graph: Graph, ways: Ways) -> int:
    """Return the exact number of solutions, each value counted as often as it has ways."""
    if graph.roots is None:
        return 0
    found = counts(graph, ways)
    product = 1
    for root in graph.roots:
        product *= found[root]
    return product


def choices(graph: Graph, ways: Ways) -> dict[Hashable, dict[Any, int]]:
    """Return, for each variable, its possible values, each with the number of solutions per way of it."""
    found: dict[Hashable, dict[Any, int]] = {variable: {} for variable in graph.variables}
    if graph.roots is None:
        return found
    inside = counts(graph, ways)
    outside = [0] * len(graph.nodes)
    for root in graph.roots:
        outside[root] = 1
        for other in graph.roots:
            outside[root] *= inside[other] if other != root else 1
    columns = [ways.get(variable) for variable in graph.variables]
    for node in range(len(graph.nodes) - 1, -1, -1):
        variable, arcs = graph.nodes[node]
        own, column, above = found[graph.variables[variable]], columns[variable], outside[node]
        if not above:
            continue  # found on the way to a dead end: no solution passes here
        for values, children in arcs:
            below = above
            for child in children:
                below *= inside[child]
            for value in values:
                own[value] = own.get(value, 0) + below
            if children:
                share = below * (len(values) if column is None else sum([column[value] for value in values]))
                for child in children:
                    outside[child] += share // inside[child]
    return found


def leasts(graph: Graph, weights: Weights) -> list[int]:
    """Return for each node the least sum of weights of its solutions."""
    found: list[int] = []
    columns = [weights.get(variable) for variable in graph.variables]
    for variable, arcs in graph.nodes:
        column = columns[variable]
        found.append(
            min(
                [
                    (0 if column is None else min([column[value] for value in values]))
                    + sum([found[child] for child in children])
                    for values, children in arcs
                ]
            )
        )
    return found


def count_least(graph: Graph, weights: Weights, ways: Ways) -> tuple[int, int] | None:
    """Return the least sum of weights and exactly how many solutions have it, None where there is no solution.

    `ways` says how many things with its least weight each value stands for.
    """
    if graph.roots is None:
        return None
    found: list[tuple[int, int]] = []
    columns = [(weights.get(variable), ways.get(variable)) for variable in graph.variables]
    own: dict[tuple[int, tuple[Any, ...]], tuple[int, int]] = {}
    for variable, arcs in graph.nodes:
        best, number = -1, 0
        for values, children in arcs:
            if (variable, values) not in own:
                own[variable, values] = _least_of(values, *columns[variable])
            weight, times = own[variable, values]
            for child in children:
                weight += found[child][0]
                times *= found[child][1]
            if not number or weight < best:
                best, number = weight, times
            elif weight == best:
                number += times
        found.append((best, number))
    product = 1
    for root in graph.roots:
        product *= found[root][1]
    return sum(found[root][0] for root in graph.roots), product


def _least_of(values: Sequence[Any], weights: Sequence[int] | None, ways: Sequence[int] | None) -> tuple[int, int]:
    if weights is None:
        return 0, len(values) if ways is None else sum(ways[value] for value in values)
    least = min(weights[value] for value in values)
    return least, sum(1 if ways is None else ways[value] for value in values if weights[value] == least)


def least_with(graph: Graph, weights: Weights) -> dict[Hashable, dict[Any, int]]:
    """Return, for each variable, its possible values, each with the least sum of weights of a solution that has it.

    The weights above a node and below it meet at each value, as the counts do in `choices`.
    """
    found: dict[Hashable, dict[Any, int]] = {variable: {} for variable in graph.variables}
    if graph.roots is None:
        return found
    inside = leasts(graph, weights)
    total = sum(inside[root] for root in graph.roots)
    outside: list[int | None] = [None] * len(graph.nodes)
    for root in graph.roots:
        outside[root] = total - inside[root]
    columns = [weights.get(variable) for variable in graph.variables]
    for node in range(len(graph.nodes) - 1, -1, -1):
        variable, arcs = graph.nodes[node]
        own, column, above = found[graph.variables[variable]], columns[variable], outside[node]
        if above is None:
            continue  # found on the way to a dead end: no solution passes here
        for values, children in arcs:
            whole = above + sum([inside[child] for child in children])
            for value in values:
                weight = whole if column is None else whole + column[value]
                if value not in own or weight < own[value]:
                    own[value] = weight
            if children:
                whole += 0 if column is None else min([column[value] for value in values])
                for child in children:
                    known, new = outside[child], whole - inside[child]
                    outside[child] = new if known is None or new < known else known
    return found


def least(graph: Graph, weights: Weights) -> int | None:
    """Return the least sum of weights of a solution, None where there is none."""
    if graph.roots is None:
        return None
    found = leasts(graph, weights)
    return sum(found[root] for root in graph.roots)
