"""In which order to decide variables so that what must be remembered stays small."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import log2, prod

Graph = dict[Hashable, set[Hashable]]


@dataclass(frozen=True, slots=True)
class Tree:
    """Variables from the top down, each with its parent (None for a root); a constraint's scope lies on one path."""

    order: tuple[Hashable, ...]
    parent: Mapping[Hashable, Hashable | None]


def decision_tree(sizes: Mapping[Hashable, int], scopes: Iterable[Iterable[Hashable]]) -> Tree:
    """Return a tree by the better of two greedy eliminations: least fill, and least size of the table made.

    `sizes` are numbers of values. Min-fill and min-weight are compared by the sum of their tables
    (Dechter, Reasoning with Probabilistic and Deterministic Graphical Models, ch. 3).
    """
    graph: Graph = {variable: set() for variable in sizes}
    for scope in scopes:
        for one, other in combinations(set(scope), 2):
            graph[one].add(other)
            graph[other].add(one)

    def weight(variable: Hashable, near: Graph) -> float:
        return log2(sizes[variable]) + sum(log2(sizes[other]) for other in near[variable])

    def fill(variable: Hashable, near: Graph) -> float:
        return sum(other not in near[one] for one, other in combinations(near[variable], 2))

    plans = [
        _eliminate(graph, sizes, lambda v, near: (fill(v, near), weight(v, near))),
        _eliminate(graph, sizes, lambda v, near: (weight(v, near), fill(v, near))),
    ]
    return min(plans, key=lambda plan: plan[0])[1]


def _eliminate(
    graph: Graph, sizes: Mapping[Hashable, int], cost: Callable[[Hashable, Graph], tuple[float, float]]
) -> tuple[float, Tree]:
    near = {variable: set(others) for variable, others in graph.items()}
    place = {variable: number for number, variable in enumerate(near)}
    separators: dict[Hashable, set[Hashable]] = {}
    total = 0.0
    costs = {variable: cost(variable, near) for variable in near}
    while near:
        variable = min(near, key=lambda v: (costs[v], place[v]))
        others = near.pop(variable)
        total += prod((float(sizes[other]) for other in others), start=float(sizes[variable]))
        separators[variable] = others
        touched = set(others)
        for one in others:
            near[one].discard(variable)
            near[one] |= others - {one}
            touched |= near[one]
        costs.pop(variable)
        costs.update((one, cost(one, near)) for one in touched)
    eliminated = {variable: number for number, variable in enumerate(separators)}
    parent = {
        variable: min(others, key=eliminated.__getitem__, default=None) for variable, others in separators.items()
    }
    return total, Tree(tuple(reversed(separators)), parent)
