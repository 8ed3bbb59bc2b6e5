"""The items of one design, found by their traits without looking at each."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from typing import overload

from .check import Tokens
from .part import Design, Part

Mask = int
"""A set of items of a shelf: bit n is its item n."""


class Shelf:
    """Items of one design in order of preference; sets of them are bit masks."""

    def __init__(self, design: Design, parts: Sequence[Part]) -> None:
        self.design = design
        self.parts = parts
        self.everything: Mask = (1 << len(parts)) - 1
        self._by_trait: dict[str, dict[Tokens | None, Mask]] = {}
        self._by_code: dict[str, int] | None = None

    def by_trait(self, trait: str) -> dict[Tokens | None, Mask]:
        """Return the items by their value of a trait; None: they have none."""
        if trait not in self._by_trait:
            found: dict[Tokens | None, Mask] = {}
            for place, part in enumerate(self.parts):
                value = part.traits.get(trait)
                found[value] = found.get(value, 0) | 1 << place
            self._by_trait[trait] = found
        return self._by_trait[trait]

    def alike(self, among: Mask, traits: Iterable[str]) -> Iterator[Mask]:
        """Part the items among these into those that are alike in the traits."""
        groups = [among] if among else []
        for trait in traits:
            values = self.by_trait(trait).values()
            groups = [both for group in groups for value in values if (both := group & value)]
        yield from groups

    def by_label(self, among: Mask, label: Callable[[Part], Hashable] | None) -> Iterator[tuple[Hashable, Mask]]:
        """Part the items among these by a label that is asked of each; all in one where there is none."""
        if label is None:
            yield None, among
            return
        groups: dict[Hashable, Mask] = {}
        for place in places(among):
            own = label(self.parts[place])
            groups[own] = groups.get(own, 0) | 1 << place
        yield from groups.items()

    def holding(self, codes: Collection[str]) -> Mask:
        """Return the items with one of these codes."""
        if not codes:
            return 0
        if self._by_code is None:
            self._by_code = {part.code: place for place, part in enumerate(self.parts)}
        return sum({1 << self._by_code[code] for code in codes if code in self._by_code})

    def matching(self, among: Mask, test: Callable[[Part], bool]) -> Mask:
        """Return those among these that pass a test, which is asked of each."""
        return sum(1 << place for place in places(among) if test(self.parts[place]))


def places(mask: Mask) -> Iterator[int]:
    """Yield the places of the bits that are set, the lowest first."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


class Members(Sequence[Part]):
    """Interchangeable parts from one or more shelves, the preferred first; they are listed only when asked for."""

    def __init__(self) -> None:
        self.taken: list[tuple[Shelf, Mask]] = []
        self._listed: list[Part] | None = None

    def take(self, shelf: Shelf, mask: Mask) -> None:
        """Add items of a shelf."""
        self.taken.append((shelf, mask))
        self._listed = None

    def within(self, admit: Callable[[Shelf], Mask]) -> Members:
        """Return those that are among the items admitted of each shelf."""
        left = Members()
        for shelf, mask in self.taken:
            if both := mask & admit(shelf):
                left.take(shelf, both)
        return left

    def left(self, refused: Mapping[Shelf, Mask]) -> int:
        """Return how many there are without those that are refused."""
        return sum([(mask & ~refused.get(shelf, 0)).bit_count() for shelf, mask in self.taken])

    @property
    def first(self) -> Part:
        """The most preferred one."""
        lowest = (shelf.parts[next(places(mask))] for shelf, mask in self.taken)
        return min(lowest, key=_by_preference)

    @property
    def first_alike(self) -> int:
        """How many are preferred as much as the first."""
        first = self._list()[0].preference
        return next((place for place, part in enumerate(self._list()) if part.preference != first), len(self))

    def __len__(self) -> int:
        return sum(mask.bit_count() for _, mask in self.taken)

    @overload
    def __getitem__(self, place: int) -> Part: ...
    @overload
    def __getitem__(self, place: slice) -> list[Part]: ...
    def __getitem__(self, place: int | slice) -> Part | list[Part]:
        return self._list()[place]

    def __iter__(self) -> Iterator[Part]:
        return iter(self._list())

    def _list(self) -> list[Part]:
        if self._listed is None:
            parts = [shelf.parts[place] for shelf, mask in self.taken for place in places(mask)]
            self._listed = parts if len(self.taken) == 1 else sorted(parts, key=_by_preference)
        return self._listed


def _by_preference(part: Part) -> tuple[int, str]:
    return part.preference, part.code
