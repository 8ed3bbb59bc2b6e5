"""In which order to decide variables so that what must be remembered stays small."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log2
from operator import itemgetter

from .shelf import places

Information = Mapping[frozenset[Hashable], float]
"""How many bits a constraint says of its scope, and of those parts of it that it says something of alone."""

CONTEXT_WORK = 4.0
"""What it costs to open a context, in candidates tried there (measured)."""

MOST_BITS = 1000.0
"""Tables larger than two to the power of this are equally hopeless."""

_Mask = int
"""A set of variables: bit n is variable n."""

_Told = tuple[_Mask, dict[_Mask, float]]
"""A scope, with the bits that are said of it and of parts of it."""


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
    variables = list(sizes)
    place = {variable: number for number, variable in enumerate(variables)}

    def mask(some: Iterable[Hashable]) -> _Mask:
        return sum(1 << place[variable] for variable in some)

    told: list[_Told] = [
        (mask(frozenset[Hashable]().union(*information)), {mask(some): said for some, said in information.items()})
        for information in constraints
    ]
    near = [0] * len(variables)
    for scope, _ in told:
        for one in places(scope):
            near[one] |= scope & ~(1 << one)
    bits = [log2(size) if size else 0.0 for size in sizes.values()]
    _, separators = min((_eliminate(near, bits, told, fill_first) for fill_first in (True, False)), key=itemgetter(0))
    eliminated = {number: at for at, number in enumerate(separators)}
    above = {
        number: min(places(others), key=eliminated.__getitem__, default=None) for number, others in separators.items()
    }
    return Tree(
        tuple([variables[number] for number in reversed(separators)]),
        {variables[number]: None if parent is None else variables[parent] for number, parent in above.items()},
    )


def _eliminate(
    start: Sequence[_Mask], bits: Sequence[float], told: Sequence[_Told], fill_first: bool
) -> tuple[float, dict[int, _Mask]]:
    """Return the work of a plan, and for each variable, the first to be eliminated first, what it is left joined to."""
    near = dict(enumerate(start))
    left_behind: list[tuple[_Mask, float]] = []
    known: dict[_Mask, float] = {}

    def table(members: _Mask) -> float:
        found = known.get(members)
        if found is None:
            found = sum([bits[member] for member in places(members)])
            found -= sum([said.get(scope & members, 0.0) for scope, said in told])
            found -= sum([said for scope, said in left_behind if not scope & ~members])
            known[members] = found
        return max(0.0, found)

    def work(variable: int) -> float:
        contexts = min(table(near[variable]), MOST_BITS)
        return float(2.0 ** min(table(near[variable] | 1 << variable), MOST_BITS) + CONTEXT_WORK * 2.0**contexts)

    def cost(variable: int) -> tuple[float, float]:
        own = near[variable]
        fill = sum([(own & ~near[one]).bit_count() - 1 for one in places(own)])
        return (fill, work(variable)) if fill_first else (work(variable), fill)

    separators: dict[int, _Mask] = {}
    total = 0.0
    costs = {variable: cost(variable) for variable in near}
    while near:
        variable = min(near, key=lambda v: (costs[v], v))
        total += work(variable)
        # What the variable leaves behind: no more combinations of the others than its table has.
        left = table(near[variable]) - table(near[variable] | 1 << variable)
        others = separators[variable] = near.pop(variable)
        if left > 0:
            left_behind.append((others, left))
            known = {members: found - (0.0 if others & ~members else left) for members, found in known.items()}
        touched = others
        for one in places(others):
            near[one] = (near[one] | others) & ~(1 << one | 1 << variable)
            touched |= near[one]
        costs.pop(variable)
        costs.update((one, cost(one)) for one in places(touched))
    return total, separators
