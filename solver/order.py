"""In which order to decide variables so that what must be remembered stays small."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import log2

Information = Mapping[frozenset[Hashable], float]
"""How many bits a constraint says of its scope, and of those parts of it that it says something of alone."""

CONTEXT_WORK = 4.0
"""What it costs to open a context, in candidates tried there (measured)."""

MOST_BITS = 1000.0
"""Tables larger than two to the power of this are equally hopeless."""

_Near = dict[Hashable, set[Hashable]]


@dataclass(frozen=True, slots=True)
class Tree:
    """Variables from the top down, each with its parent (None for a root); a constraint's scope lies on one path."""

    order: tuple[Hashable, ...]
    parent: Mapping[Hashable, Hashable | None]


def decision_tree(sizes: Mapping[Hashable, int], constraints: Iterable[Information]) -> Tree:
    """Return a tree by the better of two greedy eliminations: least fill, and least work.

    `sizes` are numbers of values. The work at a variable is its table (the combinations with all that it is still
    connected to, less what the constraints among them rule out) and the contexts in which it must be opened; the two
    plans are compared by the sum of the work (min-fill and min-weight: Dechter, Reasoning with Probabilistic and
    Deterministic Graphical Models, ch. 3).
    """
    known = list(constraints)
    near: _Near = {variable: set() for variable in sizes}
    for information in known:
        for one, other in combinations(frozenset[Hashable]().union(*information), 2):
            near[one].add(other)
            near[other].add(one)
    bits = {variable: log2(size) for variable, size in sizes.items() if size} | {
        variable: 0.0 for variable, size in sizes.items() if not size
    }
    plans = [_eliminate(near, bits, known, fill_first) for fill_first in (True, False)]
    return min(plans, key=lambda plan: plan[0])[1]


def _eliminate(
    start: _Near, bits: Mapping[Hashable, float], known: Sequence[Information], fill_first: bool
) -> tuple[float, Tree]:
    near = {variable: set(others) for variable, others in start.items()}
    place = {variable: number for number, variable in enumerate(near)}
    scopes = [(frozenset[Hashable]().union(*information), information) for information in known]

    def table(members: set[Hashable]) -> float:
        said = sum(information.get(scope & members, 0.0) for scope, information in scopes)
        return max(0.0, sum(bits[member] for member in members) - said)

    def work(variable: Hashable) -> float:
        contexts = min(table(near[variable]), MOST_BITS)
        return float(2.0 ** min(table(near[variable] | {variable}), MOST_BITS) + CONTEXT_WORK * 2.0**contexts)

    def cost(variable: Hashable) -> tuple[float, float]:
        fill = sum(other not in near[one] for one, other in combinations(near[variable], 2))
        return (fill, work(variable)) if fill_first else (work(variable), fill)

    separators: dict[Hashable, set[Hashable]] = {}
    total = 0.0
    costs = {variable: cost(variable) for variable in near}
    while near:
        variable = min(near, key=lambda v: (costs[v], place[v]))
        total += work(variable)
        # What the variable leaves behind: no more combinations of the others than its table has.
        left = table(near[variable]) - table(near[variable] | {variable})
        others = separators[variable] = near.pop(variable)
        if left > 0:
            scopes.append((frozenset(others), {frozenset(others): left}))
        touched = set(others)
        for one in others:
            near[one].discard(variable)
            near[one] |= others - {one}
            touched |= near[one]
        costs.pop(variable)
        costs.update((one, cost(one)) for one in touched)
    eliminated = {variable: number for number, variable in enumerate(separators)}
    parent = {
        variable: min(others, key=eliminated.__getitem__, default=None) for variable, others in separators.items()
    }
    return total, Tree(tuple(reversed(separators)), parent)
