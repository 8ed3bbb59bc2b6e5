"""Solutions of an answer graph in order of preference, none computed before it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from heapq import heapify, heappop, heappush, merge
from operator import itemgetter
from typing import Any, NamedTuple

from .folds import Weights, leasts
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


def in_order(graph: Graph, least_weights: Weights, options: Callable[[int, Any], Iterable[Option]]) -> Iterator[Option]:
    """Yield (total weight, solution), the least first; a solution maps a variable's place to what was chosen.

    `options(place, value)` gives what a value of the variable in that place stands for, in ascending order of
    weight, and `least_weights` the first of these. Nodes share their lists, as in k-best parsing (Huang and Chiang
    2005, algorithm 3), and are opened only when their least weight comes up: the work for the next answer is a few
    heap operations on the way down.
    """
    if graph.roots is None:
        return
    least = leasts(graph, least_weights)
    columns = [least_weights.get(variable) for variable in graph.variables]
    nodes: dict[int, _Sorted] = {}
    drawn: dict[tuple[int, tuple[Any, ...]], _Sorted] = {}

    def node(number: int) -> _Sorted:
        if number not in nodes:
            place, arcs = graph.nodes[number]
            nodes[number] = _Sorted(_least_first([_Product(bound(place, *arc), opener(place, *arc)) for arc in arcs]))
        return nodes[number]

    def bound(place: int, values: tuple[Any, ...], children: tuple[int, ...]) -> int:
        column = columns[place]
        own_least = 0 if column is None else min([column[value] for value in values])
        return own_least + sum([least[child] for child in children])

    def opener(place: int, values: tuple[Any, ...], children: tuple[int, ...]) -> Callable[[], list[_Sorted]]:
        return lambda: [own(place, values), *map(node, children)]

    def own(place: int, values: tuple[Any, ...]) -> _Sorted:
        if (place, values) not in drawn:
            lists = [placed(place, value) for value in values]
            drawn[place, values] = _Sorted(merge(*lists, key=itemgetter(0)))
        return drawn[place, values]

    def placed(place: int, value: Any) -> Iterator[Option]:
        return ((weight, (place, option)) for weight, option in options(place, value))

    roots = graph.roots
    everything = _Product(sum(least[root] for root in roots), lambda: [node(root) for root in roots])
    for weight, nested in _least_first([everything]):
        yield weight, dict(_flatten(nested))


class _Product(NamedTuple):
    """A product of sorted lists that is not opened yet, and its least sum of weights."""

    least: int
    open: Callable[[], list[_Sorted]]


def _flatten(nested: Any) -> Iterator[tuple[int, Any]]:
    """Yield the (place, option) pairs of a solution; a tuple that starts with a place is one."""
    if nested and isinstance(nested[0], int):
        yield nested
    else:
        for part in nested:
            yield from _flatten(part)


def _least_first(products: Sequence[_Product]) -> Iterator[Option]:
    """Merge products of sorted lists: yield (sum of weights, tuple of members) in ascending order."""
    opened: dict[int, list[_Sorted]] = {}
    heap: list[tuple[int, int, tuple[int, ...], tuple[Any, ...]]]
    heap = [(product.least, number, (), ()) for number, product in enumerate(products)]
    heapify(heap)

    def push(number: int, at: tuple[int, ...]) -> None:
        members = []
        for found, place in zip(opened[number], at, strict=True):
            member = found.get(place)
            if member is None:
                return
            members.append(member)
        heappush(heap, (sum([weight for weight, _ in members]), number, at, tuple([chosen for _, chosen in members])))

    while heap:
        weight, number, at, chosen = heappop(heap)
        if number not in opened:
            opened[number] = products[number].open()
            push(number, (0,) * len(opened[number]))
            continue
        yield weight, chosen
        # Only places from the last one that has moved may move, so that each combination is reached once.
        moved = max((place for place, step in enumerate(at) if step), default=0)
        for place in range(moved, len(at)):
            push(number, (*at[:place], at[place] + 1, *at[place + 1 :]))
