"""From a constraint problem to the nodes of its answer graph: a search from the top that never does a thing twice.

At each variable the search has a context: what the part of the problem below can see of the decisions above. Equal
contexts have equal continuations, so each is searched once; continuations that turn out equal share their node.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .order import Tree
from .relation import Index, Table
from .watch import Watch

Arc = tuple[tuple[Any, ...], tuple[int, ...]]
Node = tuple[int, tuple[Arc, ...]]
Constraints = Sequence[tuple[Any, Sequence[Any]]]

_UNSEEN = -2
_DEAD = -1


@dataclass(slots=True)
class _Level:
    """What the search needs to know at one variable."""

    values: Sequence[Any]
    children: list[int] = field(default_factory=list)
    context: list[tuple[int, Mapping[Any, int]]] = field(default_factory=list)
    lookups: list[tuple[Mapping[tuple[int, ...], frozenset[int]], list[tuple[int, Sequence[int]]]]] = field(
        default_factory=list
    )
    tests: list[tuple[Any, Sequence[Any]]] = field(default_factory=list)
    pool: frozenset[Any] | None = None
    seen_below: Mapping[Any, int] = field(default_factory=dict)
    memo: dict[tuple[int, ...], int] = field(default_factory=dict)


def compile_nodes(
    tree: Tree,
    domains: Mapping[Hashable, Sequence[Any]],
    constraints: Constraints,
    watch: Watch,
    first_only: bool = False,
) -> tuple[list[Node], tuple[int, ...] | None]:
    """Return the nodes, children before parents, and the numbers of the roots (None: no solution).

    With `first_only` the search stops at the first solution, and the nodes hold no more than that.
    """
    place = {variable: number for number, variable in enumerate(tree.order)}
    levels = _levels(tree, place, domains, constraints)
    search = _Search(domains, tree.order, levels, watch, first_only)
    roots = []
    for variable in tree.order:
        if tree.parent[variable] is None:
            root = search.solve(place[variable])
            if root == _DEAD:
                return [], None
            roots.append(root)
    return search.nodes, tuple(roots)


def _levels(
    tree: Tree, place: Mapping[Hashable, int], domains: Mapping[Hashable, Sequence[Any]], constraints: Constraints
) -> list[_Level]:
    levels = [_Level(list(domains[variable])) for variable in tree.order]
    path: list[set[int]] = []
    for number, variable in enumerate(tree.order):
        above = tree.parent[variable]
        path.append({number} if above is None else path[place[above]] | {number})
        if above is not None:
            levels[place[above]].children.append(number)
    seen: list[dict[int, list[Callable[[Any], Any]]]] = [{} for _ in levels]
    for constraint, variables in constraints:
        scope = [place[variable] for variable in variables]
        table = isinstance(constraint, Table)
        for number in scope:
            if not table:
                levels[number].tests.append((constraint, variables))
                continue
            known = tuple(at for at, other in enumerate(scope) if other < number)
            index = constraint.index(known, scope.index(number))
            if index is None:
                continue
            if known:
                levels[number].lookups.append((index, [(scope[at], constraint.readings[at]) for at in known]))
            else:
                allowed = index[()]
                levels[number].values = [value for value in levels[number].values if value in allowed]
        deepest = max(scope)
        for at, above_number in enumerate(scope):
            read = constraint.readings[at].__getitem__ if table else _itself
            for below in path[deepest]:
                if below > above_number:
                    seen[below].setdefault(above_number, []).append(read)
    for number, level in enumerate(levels):
        pool = frozenset(level.values)
        if not any(isinstance(index, Index) and index.within(pool) for index, _ in level.lookups):
            level.pool = pool
        level.context = [
            (above_number, _combined(levels[above_number].values, reads))
            for above_number, reads in sorted(seen[number].items())
        ]
    for number, level in enumerate(levels):
        reads = [read for child in level.children for read in seen[child].get(number, ())]
        level.seen_below = _combined(level.values, reads)
    return levels


def _itself(value: Any) -> Any:
    return value


def _combined(values: Sequence[Any], reads: list[Callable[[Any], Any]]) -> Mapping[Any, int]:
    """Number the values so that two have the same number exactly if every reader sees the same in both."""
    numbers: dict[tuple[Any, ...], int] = {}
    return {value: numbers.setdefault(tuple(read(value) for read in reads), len(numbers)) for value in values}


class _Search:
    def __init__(
        self,
        domains: Mapping[Hashable, Sequence[Any]],
        variables: Sequence[Hashable],
        levels: list[_Level],
        watch: Watch,
        first_only: bool,
    ) -> None:
        self._domains = domains
        self.variables = variables
        self.levels = levels
        self.watch = watch
        self.first_only = first_only
        self.nodes: list[Node] = []
        self._numbers: dict[Node, int] = {}
        self._path: list[Any] = [None] * len(levels)
        self._assigned: dict[Hashable, Any] = {}
        self._steps = 0
        self._tested = any(level.tests for level in levels)

    def solve(self, number: int) -> int:
        """Return the node for the variable in the present context, or _DEAD."""
        level, path = self.levels[number], self._path
        key = tuple([numbers[path[above]] for above, numbers in level.context])
        found = level.memo.get(key, _UNSEEN)
        if found == _UNSEEN:
            self._steps += 1
            if not self._steps & 1023:
                self.watch.tick()
            found = level.memo[key] = self._expand(number, level)
        return found

    def _expand(self, number: int, level: _Level) -> int:
        candidates = self._candidates(number, level)
        if not candidates:
            return _DEAD
        arcs: dict[tuple[int, ...], list[Any]] = {}
        groups: dict[int, list[Any]] = {}
        if level.children:
            seen_below = level.seen_below
            for value in candidates:
                groups.setdefault(seen_below[value], []).append(value)
        else:
            arcs[()] = list(candidates)
        children, path, solve = level.children, self._path, self.solve
        variable = self.variables[number]
        for values in groups.values():
            path[number] = values[0]
            if self._tested:
                self._assigned[variable] = values[0]
            nodes = []
            for child in children:
                node = solve(child)
                if node == _DEAD:
                    break
                nodes.append(node)
            else:
                arcs.setdefault(tuple(nodes), []).extend(values)
                if self.first_only:
                    break
        if self._tested:
            self._assigned.pop(variable, None)
        if not arcs:
            return _DEAD
        node_made: Node = (number, tuple([(tuple(values), nodes) for nodes, values in arcs.items()]))
        known = self._numbers.get(node_made)
        if known is None:
            known = self._numbers[node_made] = len(self.nodes)
            self.nodes.append(node_made)
        return known

    def _candidates(self, number: int, level: _Level) -> Sequence[Any] | frozenset[Any]:
        path = self._path
        rows = [] if level.pool is None else [level.pool]
        for index, known in level.lookups:
            row = index[tuple([readings[path[above]] for above, readings in known])]
            if not row:
                return ()
            rows.append(row)
        rows.sort(key=len)
        values = rows[0].intersection(*rows[1:])
        if level.tests:
            return [value for value in level.values if value in values and self._passes(number, value, level.tests)]
        return values

    def _passes(self, number: int, value: Any, tests: list[tuple[Any, Sequence[Any]]]) -> bool:
        assigned = self._assigned
        assigned[self.variables[number]] = value
        passed = all(constraint(variables, self._domains, assigned) for constraint, variables in tests)
        del assigned[self.variables[number]]
        return passed
