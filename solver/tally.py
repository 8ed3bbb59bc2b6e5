"""What part of an assembly adds to the demands of its stacks."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .part import Cut


class Tally(NamedTuple):
    """A sum for each demand (None: its stack is not read, whatever the rest adds), and the part that is to be cut."""

    sums: tuple[int | None, ...]
    cut: Cut | None = None

    @classmethod
    def total(cls, tallies: Iterable[Tally]) -> Tally:
        """Add up tallies of different positions; at most one of them is to be cut."""
        sums: list[int | None] | None = None
        cut = None
        for tally in tallies:
            cut = cut or tally.cut
            if sums is None:
                sums = list(tally.sums)
            else:
                for place, add in enumerate(tally.sums):
                    done = sums[place]
                    sums[place] = None if done is None or add is None else done + add
        return cls(tuple(sums or ()), cut)
