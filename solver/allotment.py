"""How the pieces of a part in hand are spread over the positions that it can stand in."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

Pieces = Mapping[Hashable, int]
"""How many pieces of each thing there are."""


@dataclass(frozen=True, slots=True)
class Allotment:
    """For each position, of things that several positions share: what is `left` for it, and what it `takes` of that.

    The earlier position takes as much as it can use. So every assembly goes with exactly one allotment, and within
    one of them what has to be bought adds up position by position.
    """

    left: Mapping[str, Pieces]
    takes: Mapping[str, Pieces]

    def admits(self, position: str, used: Pieces) -> bool:
        """Tell whether a position that uses so much takes what is allotted to it."""
        takes, left = self.takes.get(position, {}), self.left.get(position, {})
        return all(min(used.get(thing, 0), left[thing]) == number for thing, number in takes.items())


def allotments(stock: Pieces, uses: Mapping[Hashable, Mapping[str, set[int]]]) -> Iterator[Allotment]:
    """Yield every way of spreading the stock; `uses` says for each thing how many pieces each position may use."""
    spreads = [list(_spreads(stock[thing], list(own.items()))) for thing, own in uses.items()]
    for chosen in product(*spreads):
        left: dict[str, dict[Hashable, int]] = {}
        takes: dict[str, dict[Hashable, int]] = {}
        for thing, spread in zip(uses, chosen, strict=True):
            rest = stock[thing]
            for position, number in spread:
                left.setdefault(position, {})[thing] = rest
                takes.setdefault(position, {})[thing] = number
                rest -= number
        yield Allotment(left, takes)


def _spreads(rest: int, positions: list[tuple[str, set[int]]]) -> Iterator[tuple[tuple[str, int], ...]]:
    if not positions:
        yield ()
        return
    (name, uses), others = positions[0], positions[1:]
    for number in sorted({min(used, rest) for used in uses}):
        for following in _spreads(rest - number, others):
            yield ((name, number), *following)
