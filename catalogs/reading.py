"""Readers: functions from a node to what it means. They combine, and none of them stops at the first fault.

A reader that cannot make sense of its node notes the fault there and raises `Misread`; whoever reads a list or a
table goes on with the next child and raises `Misread` at its end.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from typing import NoReturn, TypeAlias, TypeVar

from .fault import listing, suggestion
from .node import Listing, Node, Scalar, Table

T = TypeVar("T")
U = TypeVar("U")
Reader: TypeAlias = Callable[[Node], T]


class Misread(Exception):
    """A node made no sense; the fault has been noted."""


def refuse(node: Node, what: str, hint: str = "", *, shift: int = 0, cause: object = None) -> NoReturn:
    """Note a fault and give the node up."""
    node.fault(what, hint, shift=shift, cause=cause)
    raise Misread


def _mismatch(node: Node, wanted: type[Node]) -> NoReturn:
    if node.sort == Node.sort:
        raise Misread  # refused already, when the text was read
    if isinstance(node, Scalar) and not node.text:
        refuse(node, "nothing is given", f"give {wanted.sort}, or leave the key out")
    refuse(node, f"{node.sort} instead of {wanted.sort}", f"write {wanted.sort}")


def text(node: Node) -> str:
    """Read a value that is not empty, as one line without needless blanks."""
    if type(node) is Scalar:
        words = " ".join(node.text.split())
        if words:
            return words
    if type(node) is Scalar and node.text:
        refuse(node, "nothing but blanks", "write a text, or leave the key out")
    _mismatch(node, Scalar)


def scalar(node: Node) -> Scalar:
    """Read a value as the node itself, where the reader still needs its place."""
    text(node)
    return node  # type: ignore[return-value]  # text() refuses everything else


def table(node: Node) -> Table:
    """Read a table; nothing where one could stand is an empty table."""
    if isinstance(node, Table):
        return node
    _mismatch(node, Table)


def items(node: Node) -> list[Node]:
    """Read a list that is not empty."""
    if not isinstance(node, Listing):
        _mismatch(node, Listing)
    if not node.items:
        refuse(node, "an empty list", "give at least one, or leave the key out")
    return node.items


def attempt(reader: Reader[T], nodes: Iterable[Node]) -> list[T]:
    """Read each node; Misread, after the last, if any of them was."""
    found: list[T] = []
    sound = True
    for node in nodes:
        try:
            found.append(reader(node))
        except Misread:
            sound = False
    if not sound:
        raise Misread
    return found


def list_of(reader: Reader[T]) -> Reader[list[T]]:
    """Make a reader of lists."""
    return lambda node: attempt(reader, items(node))


def one_or_more(reader: Reader[T]) -> Reader[list[T]]:
    """Make a reader of lists in which a single value may stand for a list of one."""
    return lambda node: attempt(reader, items(node) if isinstance(node, Listing) else [node])


def named(key: Reader[str], reader: Callable[[str, Node], T]) -> Reader[dict[str, T]]:
    """Make a reader of tables whose keys are the author's own; `reader` is told the key."""

    def read(node: Node) -> dict[str, T]:
        found: dict[str, T] = {}
        sound = True
        section = table(node)
        for written, value in section.fields.items():
            try:
                name = key(section.keys[written])
                found[name] = reader(name, value)
            except Misread:
                sound = False
        if not sound:
            raise Misread
        return found

    return read


def map_of(key: Reader[str], reader: Reader[T]) -> Reader[dict[str, T]]:
    """Make a reader of tables whose keys are the author's own."""
    return named(key, lambda _, node: reader(node))


class Record:
    """A table with known keys. Read them all, then `close`: it raises Misread if any of it made no sense."""

    def __init__(
        self,
        node: Node,
        required: Collection[str],
        optional: Collection[str] = (),
        extra: Callable[[str], bool] = lambda key: False,
    ) -> None:
        self.node = table(node)
        self.sound = True
        fields = self.node.fields
        for key in fields:
            if key not in required and key not in optional and not extra(key):
                self.fault(
                    self.node.keys[key],
                    f"the key `{key[:60]}` is not known here",
                    suggestion(key, [*required, *optional]),
                )
        missing = [key for key in required if key not in fields]
        if missing:
            self.fault(
                self.node,
                f"without {listing([f'`{key}`' for key in missing])}",
                "add it" if len(missing) == 1 else "add them",
            )

    def __contains__(self, key: str) -> bool:
        return key in self.node.fields

    def get(self, key: str, reader: Reader[T], blank: U) -> T | U:
        """Read a key's value. `blank` stands in for one that is missing or faulty."""
        node = self.node.fields.get(key)
        if node is None:
            return blank
        try:
            return reader(node)
        except Misread:
            self.sound = False
            return blank

    def at(self, key: str) -> Node:
        """Return the place of a key's value, or of the table where it has none."""
        return self.node.fields.get(key, self.node)

    def fault(self, node: Node, what: str, hint: str = "", cause: object = None) -> None:
        """Note a fault and go on."""
        self.sound = False
        node.fault(what, hint, cause=cause)

    def close(self) -> None:
        """Give the record up if anything in it was faulty."""
        if not self.sound:
            raise Misread
