"""From a run to tables: positions that can only read one thing are stepped over, the others are joined."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Any

from .balance import Balance
from .relation import Relation, Table
from .run import DEAD, Run
from .stack_run import StackRun
from .tally import Tally
from .watch import Watch, watched

Columns = Mapping[str, Sequence[Hashable]]
"""For each position, what the run reads of each value of its variable."""

Variables = Mapping[str, str]
"""The variable of a position, where it is not the one named after it."""

TRIED_SUMS = 20_000
"""Two columns with more pairs than this are not added up to see whether their sums coincide."""

MOST_SUMS = 1_000_000
"""More sums than this are never written out."""


@dataclass(slots=True)
class Related:
    """Tables, the sizes of the running states they need, and the values that positions may keep."""

    tables: list[Table] = field(default_factory=list)
    states: dict[str, int] = field(default_factory=dict)
    kept: dict[str, frozenset[int]] = field(default_factory=dict)
    dead: bool = False


@dataclass(slots=True)
class _Column:
    """A position's variable as a run sees it: the distinct readings, and which of them each value has."""

    position: str
    name: str
    distinct: list[Any]
    reads: list[int]

    @classmethod
    def of(cls, position: str, readings: Sequence[Hashable], variables: Variables) -> _Column:
        numbers: dict[Hashable, int] = {}
        reads = [numbers.setdefault(reading, len(numbers)) for reading in readings]
        return cls(position, variables.get(position, position), list(numbers), reads)


def relate(run: Run, name: str, columns: Columns, variables: Variables, watch: Watch) -> Related:
    """Return the tables of a run that steps from position to position. `name` begins the names of its states."""
    found = Related()
    stops = [_Column.of(position, columns[position], variables) for position in run.positions]
    run.prepare({stop.position: stop.distinct for stop in stops})
    varying = [stop for stop in stops if len(stop.distinct) > 1]

    def pass_constants(state: Any, after: _Column | None) -> Any:
        for stop in stops[stops.index(after) + 1 if after else 0 :]:
            if state is DEAD or len(stop.distinct) > 1:
                break
            state = run.step(state, stop.position, stop.distinct[0])
        return state

    state = pass_constants(run.start(), None)
    if not varying or state is DEAD:
        found.dead = state is DEAD or not run.accepts(state)
        return found
    states, before = [state], _Column("", "", [], [])
    passed: tuple[_Column, set[tuple[int, int]]] | None = None
    for stop in varying:
        first, last = stop is varying[0], stop is varying[-1]
        rows = []
        numbers: dict[Any, int] = {}
        for i, j, following in watched(run.steps(states, stop.position, stop.distinct, stop is stops[-1]), watch):
            following = pass_constants(following, stop)
            if following is not DEAD and (not last or run.accepts(following)):
                rows.append((i, j, numbers.setdefault(None if last else following, len(numbers))))
        if not rows:
            found.dead = True
            return found
        states = list(numbers)
        if passed:
            found.tables.append(_neighbours(*passed, stop, {(i, j) for i, j, _ in rows}))
            passed = None
        if first:
            # What the first position reads fixes the state: its own values stand for the state after it.
            goes = {j: k for _, j, k in rows}
            found.kept[stop.name] = frozenset(value for value, j in enumerate(stop.reads) if j in goes)
            before = _Column(stop.position, stop.name, states, [goes.get(j, -1) for j in stop.reads])
        elif last:
            scope, reads = (before.name, stop.name), (before.reads, stop.reads)
            found.tables.append(Relation(scope, reads, {(i, j) for i, j, _ in rows}))
        else:
            state_column = _Column("", f"{name}:{stop.position}", states, list(range(len(states))))
            found.states[state_column.name] = len(states)
            scope3 = (before.name, stop.name, state_column.name)
            found.tables.append(Relation(scope3, (before.reads, stop.reads, state_column.reads), rows))
            before = state_column
            passed = stop, {(j, k) for _, j, k in rows}
    return found


def _neighbours(one: _Column, leads: set[tuple[int, int]], other: _Column, goes: set[tuple[int, int]]) -> Relation:
    """Return what two neighbouring stops alone say of each other; it follows from the rest, and spares the search.

    `leads` are pairs (reading of one, state after it), `goes` pairs (that state, reading of the other).
    """
    following: dict[int, set[int]] = {}
    for state, reading in goes:
        following.setdefault(state, set()).add(reading)
    rows = {(reading, j) for reading, state in leads for j in following.get(state, ())}
    return Relation((one.name, other.name), (one.reads, other.reads), rows)


def balance(run: StackRun, name: str, columns: Columns, variables: Variables, watch: Watch) -> Related:
    """Return the tables of a stack: sums that coincide are carried as states, the last two or three are balanced."""
    found = Related()
    start = run.start
    varying = []
    for position in run.positions:
        column = _Column.of(position, columns[position], variables)
        if len(column.distinct) == 1:
            start = Tally.total((start, column.distinct[0]))
        else:
            varying.append(column)
    if not varying:
        found.dead = not run.accepts(start)
        return found
    varying.sort(key=lambda column: (column.position == run.cut_position, len(column.distinct)))
    varying[0].distinct = [Tally.total((start, tally)) for tally in varying[0].distinct]
    if len(varying) == 1:
        (column,) = varying
        good = [run.accepts(tally) for tally in column.distinct]
        found.kept[column.name] = frozenset(value for value, j in enumerate(column.reads) if good[j])
        found.dead = not found.kept[column.name]
        return found
    while len(varying) > 2 and _worth_a_state(varying):
        one, other = varying[:2]
        numbers: dict[Tally, int] = {}
        pairs = watched(product(enumerate(one.distinct), enumerate(other.distinct)), watch)
        rows = [(i, j, numbers.setdefault(Tally.total((tally, add)), len(numbers))) for (i, tally), (j, add) in pairs]
        state = _Column("", f"{name}:{other.name}", list(numbers), list(range(len(numbers))))
        found.states[state.name] = len(numbers)
        found.tables.append(Relation((one.name, other.name, state.name), (one.reads, other.reads, state.reads), rows))
        varying[:2] = [state]
    found.tables.append(
        Balance(
            [column.name for column in varying],
            [column.reads for column in varying],
            [column.distinct for column in varying],
            run.accepts,
            run.monotone,
        )
    )
    return found


def _worth_a_state(varying: list[_Column]) -> bool:
    """Tell whether the sums of the first two columns should be a variable: where they coincide, or many are left."""
    one, other = varying[:2]
    pairs = len(one.distinct) * len(other.distinct)
    if len(varying) > 3 or pairs > TRIED_SUMS:
        return len(varying) > 3 and pairs <= MOST_SUMS
    return 4 * len({Tally.total(pair) for pair in product(one.distinct, other.distinct)}) <= pairs
