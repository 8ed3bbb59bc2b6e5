"""A solution through any one value of an answer graph, without a search."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from .compiler import Arc
from .graph import Graph


class Sample:
    """One solution of the graph for each value that stands in any: a way up to the roots, and the first way down."""

    def __init__(self, graph: Graph) -> None:
        self._graph = graph
        self._above: dict[int, tuple[int, Arc]] = {}
        self._arcs: dict[tuple[Hashable, Any], tuple[int, Arc]] = {}
        roots = graph.roots or ()
        seen = set(roots)
        for number in range(len(graph.nodes) - 1, -1, -1):  # parents before children
            if number not in seen:
                continue
            variable = graph.variables[graph.nodes[number][0]]
            for arc in graph.nodes[number][1]:
                for value in arc[0]:
                    self._arcs.setdefault((variable, value), (number, arc))
                for child in arc[1]:
                    if child not in seen:
                        seen.add(child)
                        self._above[child] = number, arc

    def through(self, variable: Hashable, value: Any) -> dict[Hashable, Any] | None:
        """Return a solution in which the variable has the value, None where there is none."""
        if (variable, value) not in self._arcs:
            return None
        found: dict[Hashable, Any] = {}
        number, arc = self._arcs[variable, value]
        found[variable] = value
        self._go_down(arc[1], found)
        while number in self._above:
            below, (number, arc) = number, self._above[number]
            found[self._variable(number)] = arc[0][0]
            self._go_down(tuple(child for child in arc[1] if child != below), found)
        self._go_down(tuple(root for root in self._graph.roots or () if root != number), found)
        return found

    def _go_down(self, nodes: tuple[int, ...], found: dict[Hashable, Any]) -> None:
        waiting = list(nodes)
        while waiting:
            number = waiting.pop()
            values, children = self._graph.nodes[number][1][0]
            found[self._variable(number)] = values[0]
            waiting.extend(children)

    def _variable(self, number: int) -> Hashable:
        return self._graph.variables[self._graph.nodes[number][0]]
