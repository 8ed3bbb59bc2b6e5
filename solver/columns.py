"""What readers see of every filling of an application's positions, parts that they see alike being one class."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence

from .application import Position
from .choice import Choice
from .part import Part
from .reading import Gathering, classes_of, fillings
from .relation import Relation, Table
from .run import Reader
from .setting import Setting
from .shelf import Mask, Shelf
from .watch import Watch, watched

MOST_SHAPES = 100
"""A variable for the shape of a position pays where its shapes are few, and each has two choices or more (measured)."""


class Columns:
    """A setting's positions as variables over classes of interchangeable parts.

    `choices[position][value]` is what a value of the position's variable stands for, `columns[reader's number,
    position][value]` what a reader sees of it. Where many choices of a position have the same shape, joints and stacks
    are about a variable of its own, `shapes[position]`, and so are their columns. `domains` are the values, `tables`
    what ties shapes to positions. `dead_end` names a position that has no choice. Parts to which `label` gives
    different labels are never in one class.
    """

    def __init__(
        self, setting: Setting, readers: Sequence[Reader], watch: Watch, label: Callable[[Part], Hashable] | None = None
    ) -> None:
        self.setting = setting
        self.watch = watch
        self.choices: dict[str, list[Choice]] = {}
        self.shapes: dict[str, str] = {}
        self.domains: dict[str, frozenset[int]] = {}
        self.tables: list[Table] = []
        self.dead_end: str | None = None
        self.columns: dict[tuple[int, str], list[Hashable]] = {}
        self._readers, self._label = readers, label
        for name, position in setting.application.positions.items():
            self.watch.tick()
            self._choose(name, position)
            self._shape(name)

    def _choose(self, name: str, position: Position) -> None:
        """List the choices of a position and what every reader sees of each."""
        numbers = [number for number, reader in enumerate(self._readers) if name in reader.positions]
        readers: list[Reader] = [self._readers[number] for number in numbers]
        classes = classes_of(self.setting.catalog, name, readers, self._groups(name, position, readers))
        choices = self.choices[name] = []
        columns = [self.columns.setdefault((number, name), []) for number in numbers]
        gatherings = [Gathering(reader, name, [seen[at] for seen, _ in classes]) for at, reader in enumerate(readers)]
        doubters = [(at, reader) for at, reader in enumerate(readers) if reader.doubts]
        for members in watched(fillings(name, position, len(classes)), self.watch):
            read = [gathering.of(members) for gathering in gatherings]
            if not any(reader.impossible(name, read[at]) for at, reader in doubters):
                counts = Counter(members) if len(members) > 1 else dict.fromkeys(members, 1)
                choices.append(Choice(tuple([(classes[member][1], count) for member, count in counts.items()])))
                for column, seen in zip(columns, read, strict=True):
                    column.append(seen)
        self.domains[name] = frozenset(range(len(choices)))
        if not choices:
            self.dead_end = name

    def _groups(
        self, name: str, position: Position, readers: Sequence[Reader]
    ) -> Iterator[tuple[Shelf, Hashable, Iterable[Mask]]]:
        """Yield the admitted parts of each shelf and label, in groups that are alike in every trait that is read."""
        catalog = self.setting.catalog
        named = frozenset[str]().union(*(reader.trait_names(name) for reader in readers))
        traits = sorted(catalog.trait_names.intersection(named))
        admit = self.setting.admitted(position)
        for shelf in catalog.shelves(position.kinds):
            self.watch.tick()
            if admitted := admit(shelf):
                for label, group in shelf.by_label(admitted, self._label):
                    yield shelf, label, shelf.alike(group, traits)

    def _shape(self, name: str) -> None:
        """Give the position a variable for its shape, where it pays."""
        readers = [number for number, reader in enumerate(self._readers) if (number, name) in self.columns]
        of_shape = [number for number in readers if self._readers[number].of_shape]
        found = shapes_of([self.columns[number, name] for number in of_shape], len(of_shape) == len(readers))
        if found is None:
            return
        shapes, columns = found
        variable = self.shapes[name] = f"{name}:shape"
        every = range(len(columns[0]))
        self.domains[variable] = frozenset(every)
        self.tables.append(Relation((name, variable), (shapes, every), {(shape, shape) for shape in every}))
        for number, column in zip(of_shape, columns, strict=True):
            self.columns[number, name] = column


def shapes_of(columns: Sequence[Sequence[Hashable]], is_all: bool) -> tuple[list[int], list[list[Hashable]]] | None:
    """Return the number of each value's shape, and the columns over these numbers; None where it does not pay.

    `columns` are what each reader of shapes sees of the values; `is_all`: nobody else reads them.
    """
    numbers: dict[tuple[Hashable, ...], int] = {}
    shapes = [numbers.setdefault(shape, len(numbers)) for shape in zip(*columns, strict=True)]
    worth = 0 < 2 * len(numbers) <= len(shapes) and len(numbers) <= MOST_SHAPES
    return (shapes, [list(column) for column in zip(*numbers, strict=True)]) if worth and not is_all else None
