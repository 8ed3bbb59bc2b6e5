"""A book of names: what has been defined, where, and what a reference to it means."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Generic, TypeVar

from .fault import suggestion
from .node import Node, Scalar, Table
from .reading import Misread, refuse, text

T = TypeVar("T")


class Names(Generic[T]):
    """The definitions of one sort (`interface`, `kind`...), across all files. A faulty one is known but never found."""

    def __init__(self, sort: str) -> None:
        self.sort = sort
        self.found: dict[str, T] = {}
        self._places: dict[str, Node] = {}

    def claim(self, name: str, place: Node) -> None:
        """Take a name for a definition; Misread, with both places in the fault, if it is taken."""
        first = self._places.setdefault(name, place)
        if first is not place:
            refuse(
                place,
                f"the {self.sort} `{name}` is defined twice, first in {first.source}",
                "keep one of the two",
                cause=("twice", self.sort, first.page.file, place.page.file),
            )

    def settle(self, name: str, meaning: T) -> None:
        """Say what a claimed name means."""
        self.found[name] = meaning

    def find(self, node: Node) -> T:
        """Return what a reference means; Misread if nothing of that name is defined, or nothing sound."""
        return self.meaning(text(node), node)

    def meaning(self, name: str, node: Node) -> T:
        """Return what a name means that is written somewhere in a node."""
        if name not in self.found:
            if name in self._places:
                raise Misread
            refuse(
                node,
                f"no {self.sort} is named `{name[:60]}`",
                suggestion(name, self._places),
                cause=(self, name),
            )
        return self.found[name]

    def known(self, node: Node) -> str:
        """Return the name of a reference that means something."""
        self.find(node)
        return text(node)

    def place(self, name: str) -> Node:
        """Return the table or value that a claimed name is defined by."""
        key = self._places[name]
        return key.above.fields.get(key.text, key) if isinstance(key, Scalar) and isinstance(key.above, Table) else key

    @property
    def sound(self) -> bool:
        """Whether every definition made sense."""
        return self._places.keys() <= self.found.keys()

    def __contains__(self, name: str) -> bool:
        return name in self._places

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)
