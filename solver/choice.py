"""Interchangeable parts, and what a position can hold of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, product
from math import comb, prod

from .part import Part

Parts = tuple[Part, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """A filling of a position: so many of each class of interchangeable parts; nothing for an absent position."""

    classes: tuple[tuple[Sequence[Part], int], ...] = ()

    @property
    def ways(self) -> int:
        """How many fillings it stands for: multisets, since the order of equal places does not matter."""
        return prod(comb(len(members) + count - 1, count) for members, count in self.classes)

    def fillings(self) -> Iterator[Parts]:
        """Yield each as a tuple of parts."""
        for parts in product(*(combinations_with_replacement(members, count) for members, count in self.classes)):
            yield tuple(part for group in parts for part in group)

    def ways_with(self, part: Part) -> int:
        """How many of the fillings use the part, which is a member of one of the classes."""
        without = prod(comb(len(members) - (part in members) + count - 1, count) for members, count in self.classes)
        return self.ways - without
