"""A library of binary decision diagrams, `dd`, on its backend in C (CUDD) or in Python (autoref).

A position is a number in binary; a diagram over all bits holds every solution. CUDD counts in double precision only,
which is lost where solutions are rare, so the count is a walk over its nodes in exact integers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import reduce
from importlib import import_module
from math import prod
from operator import and_
from typing import Any

from .raw import Raw, Table, Total


class Numbers:
    """Named numbers below their `sizes`, in binary, with the bits in the order of the names."""

    def __init__(self, sizes: Mapping[str, int], bdd: Any) -> None:
        bdd.configure(reordering=False)
        self.bdd = bdd
        self.false = bdd.false
        self._bits = {
            name: [f"{name}/{bit}" for bit in range(max(1, (size - 1).bit_length()))] for name, size in sizes.items()
        }
        for bits in self._bits.values():
            self.bdd.declare(*bits)
        self._cubes: dict[tuple[str, int], Any] = {}

    def one_of(self, name: str, values: Iterable[int]) -> Any:
        """Return the diagram of a number being one of these."""
        found = self.false
        for value in values:
            cube = self._cubes.get((name, value))
            if cube is None:
                cube = self._cubes[name, value] = self.bdd.cube(
                    {bit: bool(value >> place & 1) for place, bit in enumerate(reversed(self._bits[name]))}
                )
            found |= cube
        return found

    def count(self, top: Any) -> int:
        """Return the exact number of solutions over all bits."""
        depth = sum(len(bits) for bits in self._bits.values())
        memo: dict[int, int] = {}

        def level(node: Any) -> int:
            return depth if node.var is None else int(node.level)

        def walk(node: Any) -> int:
            """Count over the bits from the node's own downwards."""
            if node.negated:
                return int(1 << depth - level(node)) - walk(~node)
            if node.var is None:
                return 1
            key = int(node)
            if key not in memo:
                memo[key] = sum(walk(below) << level(below) - level(node) - 1 for below in (node.low, node.high))
            return memo[key]

        return walk(top) << level(top)


def count(raw: Raw, backend: str) -> int:
    """Build the diagram of the job over numbers of items, alike ones joined, and count.

    An item that stands for several has a second number for which of them. `backend` is a module of `dd`.
    """
    sizes = {name: len(domain) for name, domain in raw.domains.items()}
    scopes = [[*table.names, *([table.unless] if table.unless else [])] for table in raw.tables]
    scopes += [list(total.terms) for total in raw.totals]
    bits: dict[str, int] = {}
    for name in _order(sizes, scopes):
        bits[name] = sizes[name]
        if max(raw.ways[name]) > 1:
            bits[f"{name} which"] = max(raw.ways[name])
    numbers = Numbers(bits, import_module(f"dd.{backend}").BDD())
    absent = {
        name: numbers.one_of(name, [domain.index(None)]) for name, domain in raw.domains.items() if None in domain
    }
    parts = [_ways(numbers, name, own) for name, own in raw.ways.items()]
    parts += [_table(numbers, table, absent) for table in raw.tables]
    parts += [_total(numbers, total, absent) for total in raw.totals]
    return numbers.count(reduce(and_, parts))


def _ways(numbers: Numbers, name: str, ways: Sequence[int]) -> Any:
    alike: dict[int, list[int]] = {}
    for value, many in enumerate(ways):
        alike.setdefault(many, []).append(value)
    found = numbers.false
    for many, values in alike.items():
        which = numbers.one_of(f"{name} which", range(many)) if max(ways) > 1 else ~numbers.false
        found |= numbers.one_of(name, values) & which
    return found


def _order(sizes: Mapping[str, int], scopes: Iterable[Iterable[str]]) -> list[str]:
    """Return the names by greedy elimination, the one with the smallest table last, so that related bits stay close."""
    near: dict[str, set[str]] = {name: set() for name in sizes}
    for scope in scopes:
        for name in scope:
            near[name] |= set(scope) - {name}
    found: list[str] = []
    while near:
        first = min(near, key=lambda name: (prod(sizes[other] for other in near[name] | {name}), name))
        others = near.pop(first)
        for other in others:
            near[other] = (near[other] | others) - {first, other}
        found.append(first)
    return found[::-1]


def _table(numbers: Numbers, table: Table, absent: Mapping[str, Any]) -> Any:
    left, right = table.names
    found = numbers.false
    for lefts, rights in table.blocks():
        found |= numbers.one_of(left, lefts) & numbers.one_of(right, rights)
    return found if table.unless is None else found | ~absent[table.unless]


def _total(numbers: Numbers, total: Total, absent: Mapping[str, Any]) -> Any:
    """Carry the diagrams of all sums so far from position to position."""
    sums: dict[tuple[int, int], Any] = {(0, 0): ~numbers.false}
    for name, column in total.terms.items():
        alike: dict[tuple[int, int], list[int]] = {}
        for value, term in enumerate(column):
            alike.setdefault(term, []).append(value)
        terms = {term: numbers.one_of(name, values) for term, values in alike.items()}
        after: dict[tuple[int, int], Any] = {}
        for (low, high), diagram in sums.items():
            for (least, most), own in terms.items():
                key = (low + least, high + most)
                after[key] = after.get(key, numbers.false) | (diagram & own)
        sums = after
    found = numbers.false
    for (low, high), diagram in sums.items():
        if total.low <= low and high <= total.high:
            found |= diagram
    return found if total.when not in absent else found | absent[total.when or ""]
