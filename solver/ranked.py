"""Solutions of an answer graph in order of preference, none computed before it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from heapq import heappop, heappush, merge
from typing import Any

from .graph import Graph

Option = tuple[int, Any]
"""A weight (an integer, the less the better) and what it stands for."""


class _Sorted:
    """A list in ascending order that is drawn from an iterator as far as it is read."""

    def __init__(self, source: Iterator[Option]) -> None:
        self._source = source
        self._drawn: list[Option] = []

    def get(self, place: int) -> Option | None:
        while len(self._drawn) <= place:
            drawn = next(self._source, None)
            if drawn is None:
                return None
            self._drawn.append(drawn)
        return self._drawn[place]


def in_order(graph: Graph, options: Callable[[int, Any], Sequence[Option]]) -> Iterator[Option]:
    """Yield (total weight, solution), the least first; a solution maps a variable's place to what was chosen.

    `options(place, value)` gives what a value of the variable in that place stands for, in ascending order of
    weight. Nodes share their lists, as in k-best parsing (Huang and Chiang 2005, algorithm 3): the work for the
    next answer is a few heap operations on the way down.
    """
    nodes: dict[int, _Sorted] = {}
    drawn: dict[tuple[int, tuple[Any, ...]], _Sorted] = {}

    def node(number: int) -> _Sorted:
        if number not in nodes:
            nodes[number] = _Sorted(alternatives(number))
        return nodes[number]

    def alternatives(number: int) -> Iterator[Option]:
        place, arcs = graph.nodes[number]
        return _cheapest_first([[own(place, values), *map(node, children)] for values, children in arcs])

    def own(place: int, values: tuple[Any, ...]) -> _Sorted:
        if (place, values) not in drawn:
            drawn[place, values] = _Sorted(
                merge(
                    *([(weight, (place, option)) for weight, option in options(place, value)] for value in values),
                    key=lambda option: option[0],
                )
            )
        return drawn[place, values]

    if graph.roots is not None:
        for weight, nested in _cheapest_first([[node(root) for root in graph.roots]]):
            yield weight, dict(_flatten(nested))


def _flatten(nested: Any) -> Iterator[tuple[int, Any]]:
    """Yield the (place, option) pairs of a solution; a tuple that starts with a place is one."""
    if nested and isinstance(nested[0], int):
        yield nested
    else:
        for part in nested:
            yield from _flatten(part)


def _cheapest_first(products: list[list[_Sorted]]) -> Iterator[Option]:
    """Merge products of sorted lists: yield (sum of weights, tuple of members) in ascending order."""
    heap: list[tuple[int, int, tuple[int, ...], tuple[Any, ...]]] = []

    def push(number: int, at: tuple[int, ...]) -> None:
        members = [found.get(place) for found, place in zip(products[number], at, strict=True)]
        if None not in members:
            heappush(
                heap,
                (
                    sum(member[0] for member in members if member),
                    number,
                    at,
                    tuple(member[1] for member in members if member),
                ),
            )

    for number, lists in enumerate(products):
        push(number, (0,) * len(lists))
    while heap:
        weight, number, at, chosen = heappop(heap)
        yield weight, chosen
        # Only places from the last one that has moved may move, so that each combination is reached once.
        moved = max((place for place, step in enumerate(at) if step), default=0)
        for place in range(moved, len(at)):
            push(number, (*at[:place], at[place] + 1, *at[place + 1 :]))
