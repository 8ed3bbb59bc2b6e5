"""A constraint that is a table over what it reads of its variables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Mapping, Sequence
from itertools import chain, combinations
from math import log2, prod
from typing import Any

from constraint import Constraint

Reading = int
Row = tuple[Reading, ...]
NOTHING: frozenset[int] = frozenset()


class Index(dict[Row, frozenset[int]]):
    """From readings of some places of a table to the values of another; what is not there has none."""

    def __missing__(self, key: Row) -> frozenset[int]:
        return NOTHING

    def within(self, pool: frozenset[int]) -> bool:
        """Tell whether every value that it leads to is in the pool."""
        return pool.issuperset(chain.from_iterable(self.values()))


class Table(Constraint):  # type: ignore[misc]
    """What the answer graph asks of a constraint so that it need not try values one by one.

    Variable `scope[i]` with value v is read as `readings[i][v]`; values are integers, readings small integers. Values
    with equal readings are interchangeable here. Works in any python-constraint solver.
    """

    def __init__(self, scope: Sequence[str], readings: Sequence[Sequence[Reading]]) -> None:
        self.scope = tuple(scope)
        self.readings = tuple(readings)

    def index(self, known: tuple[int, ...], target: int) -> Mapping[Row, frozenset[int]] | None:
        """Return, for readings of the `known` places, the values that the `target` place may still take.

        None where that much tells nothing.
        """
        raise NotImplementedError

    def information(self) -> dict[frozenset[Hashable], float]:
        """Return how many bits are said of the whole scope, and of parts of it: the share ruled out as -log2."""
        raise NotImplementedError

    def __call__(
        self,
        variables: Sequence[Any],
        domains: Mapping[Any, Any],
        assignments: Mapping[Any, int],
        forwardcheck: bool = False,
    ) -> bool:
        """Check a whole or partial assignment, as python-constraint asks; hide what no longer goes."""
        known = tuple(place for place, variable in enumerate(variables) if variable in assignments)
        if not known:
            return True
        row = tuple(self.readings[place][assignments[variables[place]]] for place in known)
        if len(known) == len(variables) - 1:
            (place,) = set(range(len(variables))).difference(known)
            index = self.index(known, place)
            allowed = NOTHING if index is None else index[row]
            if not forwardcheck:
                return bool(allowed)
            domain = domains[variables[place]]
            for value in [value for value in domain if value not in allowed]:
                domain.hideValue(value)
            return bool(domain)
        last = known[-1]
        index = self.index(known[:-1], last)
        return index is None or assignments[variables[last]] in index[row[:-1]]


class Relation(Table):
    """The allowed rows, spelled out."""

    def __init__(self, scope: Sequence[str], readings: Sequence[Sequence[Reading]], rows: Collection[Row]) -> None:
        merged, self.rows = _merged([list(column) for column in readings], frozenset(rows))
        super().__init__(scope, merged)
        self._indexes: dict[tuple[tuple[int, ...], int], Index] = {}

    def index(self, known: tuple[int, ...], target: int) -> Index:
        """Return the values by the readings; made once."""
        if (known, target) not in self._indexes:
            values: dict[Reading, list[int]] = {}
            for value, reading in enumerate(self.readings[target]):
                values.setdefault(reading, []).append(value)
            seen: dict[Row, set[Reading]] = {}
            for row in self.rows:
                seen.setdefault(tuple([row[place] for place in known]), set()).add(row[target])
            shared: dict[frozenset[Reading], frozenset[int]] = {}
            found = self._indexes[known, target] = Index()
            for key, reads in seen.items():
                frozen = frozenset(reads)
                if frozen not in shared:
                    shared[frozen] = frozenset([value for reading in frozen for value in values.get(reading, ())])
                found[key] = shared[frozen]
        return self._indexes[known, target]

    def information(self) -> dict[frozenset[Hashable], float]:
        """Count the combinations of values that the rows allow, for two places of the scope and more."""
        places = range(len(self.scope))
        times = [Counter(column) for column in self.readings]
        found: dict[frozenset[Hashable], float] = {}
        for some in chain.from_iterable(combinations(places, size) for size in range(2, len(self.scope) + 1)):
            rows = self.rows if len(some) == len(self.scope) else {tuple([row[i] for i in some]) for row in self.rows}
            allowed = sum([prod([times[i][reading] for i, reading in zip(some, row, strict=True)]) for row in rows])
            every = prod(len(self.readings[i]) for i in some)
            found[frozenset(self.scope[i] for i in some)] = log2(every / allowed) if allowed else 0.0
        return found


def _merged(readings: list[list[Reading]], rows: frozenset[Row]) -> tuple[list[list[Reading]], frozenset[Row]]:
    """Give readings that go with the very same others one number, so that contexts that differ in nothing coincide."""
    for place, column in enumerate(readings):
        others: dict[Reading, set[Row]] = {}
        for row in rows:
            others.setdefault(row[place], set()).add(row[:place] + row[place + 1 :])
        numbers: dict[frozenset[Row], Reading] = {}
        merged = {reading: numbers.setdefault(frozenset(own), reading) for reading, own in others.items()}
        if len(numbers) < len(merged):
            rows = frozenset(row for row in rows if merged[row[place]] == row[place])
            readings[place] = [merged.get(reading, reading) for reading in column]
    return readings, rows
