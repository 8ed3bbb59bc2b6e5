"""What the readers of a job see of the parts and the fillings of a position, each thing read once."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from itertools import combinations_with_replacement
from math import comb

from .application import Position
from .catalog import Catalog
from .run import Reader
from .setting import TooManyWays
from .shelf import Mask, Members, Shelf, places

MOST_CHOICES = 300_000
"""More fillings than this of one repeated position are refused; a finish or a keyway in the job makes them few."""

Classes = list[tuple[tuple[Hashable, ...], Members]]
"""Parts that all readers see alike, each class with what they see."""


def classes_of(
    catalog: Catalog,
    position: str,
    readers: Sequence[Reader],
    groups: Iterable[tuple[Shelf, Hashable, Iterable[Mask]]],
) -> Classes:
    """Return the classes of the parts in a position, which stand in groups of one label, alike in every trait read."""
    named = [sorted(catalog.trait_names.intersection(reader.trait_names(position))) for reader in readers]
    classes: dict[tuple[Hashable, ...], Members] = {}
    for shelf, label, masks in groups:
        seen: list[dict[object, Hashable]] = [{} for _ in readers]
        for mask in masks:
            part = shelf.parts[next(places(mask))]
            reads = []
            for reader, traits, own in zip(readers, named, seen, strict=True):
                key: object = part if reader.by_code else tuple([part.traits.get(trait) for trait in traits])
                if key not in own:
                    own[key] = reader.read(position, part)
                reads.append(own[key])
            classes.setdefault((*reads, label), Members()).take(shelf, mask)
    return list(classes.items())


class Gathering:
    """What one reader sees of the fillings of a position; those of members that it sees alike are gathered once."""

    def __init__(self, reader: Reader, position: str, seen: Sequence[Hashable]) -> None:
        numbers: dict[Hashable, int] = {}
        self._reader, self._position = reader, position
        self._alike = [numbers.setdefault(each, len(numbers)) for each in seen]
        self._seen = list(numbers)
        self._known: dict[tuple[int, ...], Hashable] = {}

    def of(self, members: tuple[int, ...]) -> Hashable:
        """Return the reading of a filling, given as the numbers of its classes."""
        alike = self._alike
        key = tuple([alike[member] for member in members])
        if key not in self._known:
            self._known[key] = self._reader.gather(self._position, tuple([self._seen[number] for number in key]))
        return self._known[key]


def fillings(name: str, position: Position, classes: int) -> Iterator[tuple[int, ...]]:
    """Yield what the position may hold, as classes in order; the empty filling where it is optional."""
    most = position.up_to or 1
    if comb(classes + most, most) > MOST_CHOICES:
        raise TooManyWays(name)
    for count in range(0 if position.optional else 1, most + 1):
        yield from combinations_with_replacement(range(classes), count)
