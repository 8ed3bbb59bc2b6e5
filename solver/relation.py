"""A constraint that is a table over what it reads of its variables."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from constraint import Constraint

Reading = int
Row = tuple[Reading, ...]


class Relation(Constraint):  # type: ignore[misc]
    """The allowed rows over readings: variable `scope[i]` with value v is read as `readings[i][v]`.

    Values are integers, readings small integers. Values with equal readings are interchangeable here, so a table
    stays small however many values there are. Works in any python-constraint solver.
    """

    def __init__(self, scope: Sequence[str], readings: Sequence[Sequence[Reading]], rows: Collection[Row]) -> None:
        self.scope = tuple(scope)
        self.readings = tuple(readings)
        self.rows = frozenset(rows)
        self._indexes: dict[tuple[tuple[int, ...], int], Mapping[Row, frozenset[int]]] = {}
        self._supported: dict[tuple[int, ...], frozenset[Row]] = {}

    def index(self, known: tuple[int, ...], target: int) -> Mapping[Row, frozenset[int]]:
        """Return, for readings of the `known` places of the scope, the values of the `target` place that go."""
        found = self._indexes.get((known, target))
        if found is None:
            values: dict[Reading, list[int]] = {}
            for value, reading in enumerate(self.readings[target]):
                values.setdefault(reading, []).append(value)
            seen: dict[Row, set[Reading]] = {}
            for row in self.rows:
                seen.setdefault(tuple(row[place] for place in known), set()).add(row[target])
            shared: dict[frozenset[Reading], frozenset[int]] = {}
            found = {}
            for key, reads in seen.items():
                frozen = frozenset(reads)
                if frozen not in shared:
                    shared[frozen] = frozenset(value for reading in frozen for value in values.get(reading, ()))
                found[key] = shared[frozen]
            self._indexes[known, target] = found
        return found

    def supports(self, known: tuple[int, ...], row: Row) -> bool:
        """Tell whether some allowed row has these readings in the `known` places."""
        if known not in self._supported:
            self._supported[known] = frozenset(tuple(full[place] for place in known) for full in self.rows)
        return row in self._supported[known]

    def __call__(
        self,
        variables: Sequence[Any],
        domains: Mapping[Any, Any],
        assignments: Mapping[Any, int],
        forwardcheck: bool = False,
    ) -> bool:
        """Check a whole or partial assignment, as python-constraint asks; hide what no longer goes."""
        known = tuple(place for place, variable in enumerate(variables) if variable in assignments)
        row = tuple(self.readings[place][assignments[variables[place]]] for place in known)
        if not self.supports(known, row):
            return False
        if forwardcheck and len(known) == len(variables) - 1:
            (place,) = set(range(len(variables))) - set(known)
            allowed = self.index(known, place)[row]
            domain = domains[variables[place]]
            for value in [value for value in domain if value not in allowed]:
                domain.hideValue(value)
            return bool(domain)
        return True
