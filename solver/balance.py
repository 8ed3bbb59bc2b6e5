"""A constraint that a sum must meet: what is known tells what the rest must add, and that is looked up, not tried."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Hashable, Mapping, Sequence

from .relation import Index, Row, Table
from .tally import Tally

GUESSED_INFORMATION = 2.0
"""Bits that a balance is taken to say when variables are ordered; counting would cost more than it brings."""


class Balance(Table):
    """The tallies of all places together must be accepted. `tallies[i][r]` is what reading r of place i adds.

    `monotone`: more is never refused where less is accepted; what is not is tried one by one.
    """

    def __init__(
        self,
        scope: Sequence[str],
        readings: Sequence[Sequence[int]],
        tallies: Sequence[Sequence[Tally]],
        accepts: Callable[[Tally], bool],
        monotone: bool = True,
    ) -> None:
        super().__init__(scope, readings)
        self.tallies = tuple(tallies)
        self.accepts = accepts
        self._complements = [_Complement(*pair, accepts, monotone) for pair in zip(tallies, readings, strict=True)]

    def index(self, known: tuple[int, ...], target: int) -> Mapping[Row, frozenset[int]] | None:
        """Return the values that balance the rest, once all the rest is known."""
        if len(known) < len(self.scope) - 1:
            return None
        return _BalancedIndex([self.tallies[place] for place in known], self._complements[target])

    def information(self) -> dict[frozenset[Hashable], float]:
        """Return the same guess for all."""
        return {frozenset(self.scope): GUESSED_INFORMATION}


class _BalancedIndex(Index):
    """Filled as it is asked."""

    def within(self, pool: frozenset[int]) -> bool:
        """What it will lead to is not known beforehand."""
        return False

    def __init__(self, tallies: list[Sequence[Tally]], complement: _Complement) -> None:
        super().__init__()
        self._tallies = tallies
        self._complement = complement

    def __missing__(self, key: Row) -> frozenset[int]:
        total = Tally.total([own[reading] for own, reading in zip(self._tallies, key, strict=True)])
        found = self[key] = self._complement.values(total)
        return found


class _Complement:
    """Which values of one place bring a tally into balance."""

    def __init__(
        self, tallies: Sequence[Tally], readings: Sequence[int], accepts: Callable[[Tally], bool], monotone: bool
    ) -> None:
        self._accepts = accepts
        by_reading: list[list[int]] = [[] for _ in tallies]
        for value, reading in enumerate(readings):
            by_reading[reading].append(value)
        entries = [(tally, values) for tally, values in zip(tallies, by_reading, strict=True) if values]
        self._odd: list[tuple[Tally, list[int]]] = []
        self._plain: list[tuple[Tally, list[int]]] = []
        for tally, values in entries:
            plain = monotone and not tally.cut and None not in tally.sums
            (self._plain if plain else self._odd).append((tally, values))
        self._everything = frozenset(value for _, values in self._plain for value in values)
        self._sorted: dict[int, tuple[list[int], list[tuple[list[int], list[int]]]]] = {}
        sums = [[left or 0 for left in tally.sums] for tally, _ in self._plain]
        # Where two sums are each other's negative but for tolerances, as the two limits of one gap are, the sorted
        # sum bounds a window on both ends.
        size = len(tallies[0].sums) if tallies else 0
        self._opposite = {
            one: other
            for one in range(size)
            for other in range(size)
            if one != other and all(own[other] <= -own[one] for own in sums)
        }
        self._found: dict[Tally, frozenset[int]] = {}

    def values(self, total: Tally) -> frozenset[int]:
        found = self._found.get(total)
        if found is None:
            found = self._found[total] = self._odd_values(total) | self._plain_values(total)
        return found

    def _odd_values(self, total: Tally) -> frozenset[int]:
        return frozenset(
            [value for tally, values in self._odd if self._accepts(Tally.total((total, tally))) for value in values]
        )

    def _plain_values(self, total: Tally) -> frozenset[int]:
        live = [(place, left) for place, left in enumerate(total.sums) if left is not None]
        if not live:
            return self._everything
        if total.cut:
            accepted = [values for tally, values in self._plain if self._accepts(Tally.total((total, tally)))]
            return frozenset([value for values in accepted for value in values])
        place, left = live[0]
        firsts, entries = self._by_sum(place)
        low, high = bisect_left(firsts, -left), len(firsts)
        opposite = self._opposite.get(place)
        if opposite is not None and (limit := total.sums[opposite]) is not None:
            high = bisect_right(firsts, limit, low) if low < high else low
        return frozenset(
            [
                value
                for sums, values in entries[low:high]
                if all(left + sums[place] >= 0 for place, left in live)
                for value in values
            ]
        )

    def _by_sum(self, place: int) -> tuple[list[int], list[tuple[list[int], list[int]]]]:
        if place not in self._sorted:
            entries = sorted(
                (([left or 0 for left in tally.sums], values) for tally, values in self._plain),
                key=lambda entry: entry[0][place],
            )
            self._sorted[place] = [sums[place] for sums, _ in entries], entries
        return self._sorted[place]
