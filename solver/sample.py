"""A solution through any one value of an answer graph, the least of them, without a search."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

from .compiler import Arc
from .folds import Weights, leasts
from .graph import Graph


class Sample:
    """One solution of the graph for each value that stands in any, of the least sum of weights that it stands in.

    A way up to the roots and the least way down, as `least_with` of the folds finds the sums.
    """

    def __init__(self, graph: Graph, weights: Weights) -> None:
        self._graph = graph
        self._columns = [weights.get(variable) for variable in graph.variables]
        self._inside = leasts(graph, weights)
        self._above: dict[int, tuple[int, Arc]] = {}
        self._arcs: dict[tuple[Hashable, Any], tuple[int, int, Arc]] = {}
        self._found: dict[tuple[Any, ...], dict[Hashable, Any] | None] = {}
        roots = graph.roots or ()
        total = sum(self._inside[root] for root in roots)
        self._outside = {root: total - self._inside[root] for root in roots}
        for number in range(len(graph.nodes) - 1, -1, -1):  # parents before children
            if number in self._outside:
                self._enter(number)

    def through(self, variable: Hashable, values: Sequence[Any]) -> dict[Hashable, Any] | None:
        """Return a solution in which the variable has one of the values, None where there is none."""
        if (variable, *values) not in self._found:
            self._found[variable, *values] = self._walk(variable, values)
        return self._found[variable, *values]

    def _walk(self, variable: Hashable, values: Sequence[Any]) -> dict[Hashable, Any] | None:
        arcs = [(*known, value) for value in values if (known := self._arcs.get((variable, value)))]
        if not arcs:
            return None
        _, number, arc, value = min(arcs, key=lambda each: each[0])
        found: dict[Hashable, Any] = {variable: value}
        self._go_down(arc[1], found)
        while number in self._above:
            below, (number, arc) = number, self._above[number]
            found[self._variable(number)] = self._least_of(number, arc[0])
            self._go_down(tuple(child for child in arc[1] if child != below), found)
        self._go_down(tuple(root for root in self._graph.roots or () if root != number), found)
        return found

    def _enter(self, number: int) -> None:
        """Note the arcs of a node by their values, and how its children are best reached from it."""
        place, arcs = self._graph.nodes[number]
        name, column, inside, outside = self._graph.variables[place], self._columns[place], self._inside, self._outside
        for arc in arcs:
            values, children = arc
            whole = outside[number] + sum([inside[child] for child in children])
            for value in values:
                weight = whole if column is None else whole + column[value]
                known = self._arcs.get((name, value))
                if known is None or weight < known[0]:
                    self._arcs[name, value] = weight, number, arc
            if children:
                whole += 0 if column is None else min([column[value] for value in values])
                for child in children:
                    weight = whole - inside[child]
                    if child not in outside or weight < outside[child]:
                        outside[child] = weight
                        self._above[child] = number, arc

    def _go_down(self, nodes: tuple[int, ...], found: dict[Hashable, Any]) -> None:
        waiting = list(nodes)
        while waiting:
            number = waiting.pop()
            values, children = min(self._graph.nodes[number][1], key=lambda arc: self._weight(number, arc))
            found[self._variable(number)] = self._least_of(number, values)
            waiting.extend(children)

    def _weight(self, number: int, arc: Arc) -> int:
        column = self._columns[self._graph.nodes[number][0]]
        own = 0 if column is None else min([column[value] for value in arc[0]])
        return own + sum([self._inside[child] for child in arc[1]])

    def _least_of(self, number: int, values: Sequence[Any]) -> Any:
        column = self._columns[self._graph.nodes[number][0]]
        return values[0] if column is None else min(values, key=column.__getitem__)

    def _variable(self, number: int) -> Hashable:
        return self._graph.variables[self._graph.nodes[number][0]]
