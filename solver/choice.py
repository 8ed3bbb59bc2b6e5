"""Interchangeable parts, and what a position can hold of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations_with_replacement, product
from math import comb, prod
from operator import itemgetter

from .part import Part
from .shelf import Mask, Members, Shelf

Parts = tuple[Part, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """A filling of a position: so many of each class of interchangeable parts; nothing for an absent position."""

    classes: tuple[tuple[Members, int], ...] = ()

    @property
    def first(self) -> Parts:
        """The filling with the most preferred parts."""
        return tuple([members.first for members, count in self.classes for _ in range(count)])

    @property
    def ways(self) -> int:
        """How many fillings it stands for: multisets, since the order of equal places does not matter."""
        return prod(comb(len(members) + count - 1, count) for members, count in self.classes)

    def within(self, left_of: Callable[[Members], Members]) -> Choice | None:
        """Return what is left where less is left of its classes; None where nothing is left of one."""
        left = tuple([(left_of(members), count) for members, count in self.classes])
        return Choice(left) if all(len(members) for members, _ in left) else None

    def ways_left(self, refused: Mapping[Shelf, Mask]) -> int:
        """How many of the fillings do without the items that are refused."""
        return prod([comb(members.left(refused) + count - 1, count) for members, count in self.classes])

    def fillings(self) -> Iterator[Parts]:
        """Yield each as a tuple of parts."""
        for parts in product(*(combinations_with_replacement(members, count) for members, count in self.classes)):
            yield tuple(part for group in parts for part in group)

    def ways_with(self, part: Part) -> int:
        """How many of the fillings use the part, which is a member of one of the classes."""
        without = prod(comb(len(members) - (part in members) + count - 1, count) for members, count in self.classes)
        return self.ways - without

    def least(self, weigh: Callable[[Parts], int]) -> int:
        """Return the weight of the filling with the most preferred parts."""
        return weigh(self.first)

    @property
    def least_ways(self) -> int:
        """How many of the fillings have none but the most preferred parts of each class."""
        return prod(comb(members.first_alike + count - 1, count) for members, count in self.classes)

    def in_order(self, weigh: Callable[[Parts], int]) -> Iterator[tuple[int, Parts]]:
        """Yield (weight, filling), the least first; single parts as they are asked for."""
        if len(self.classes) == 1 and self.classes[0][1] == 1:
            yield from ((weigh((part,)), (part,)) for part in self.classes[0][0])
        else:
            yield from self.ranked(weigh)

    def ranked(self, weigh: Callable[[Parts], int]) -> list[tuple[int, Parts]]:
        """Return every (weight, filling), the least first, whatever the weights say of single parts."""
        return sorted([(weigh(parts), parts) for parts in self.fillings()], key=itemgetter(0))
