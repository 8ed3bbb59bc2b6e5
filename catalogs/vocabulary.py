"""Reads what a catalog's words mean: kinds, traits and their values."""

from __future__ import annotations

from collections.abc import Callable

from ..solver.catalog import Trait, TraitValue
from .names import Names, T
from .node import Listing, Node, Scalar
from .reading import Misread, Reader, Record, list_of, named, table, text
from .value import choice, flag, word


def define(section: Node, names: Names[T], key: Reader[str], reader: Callable[[str, Node], T]) -> None:
    """Read a section in which each key defines a name and each value says what it means."""
    try:
        found = table(section)
    except Misread:
        return
    for written, value in found.fields.items():
        place = found.keys[written]
        try:
            name = key(place)
            names.claim(name, place)
            names.settle(name, reader(name, value))
        except Misread:
            continue


def kind(name: str, node: Node) -> str:
    """Read a kind's plain name."""
    return text(node)


def trait(name: str, node: Node) -> Trait:
    """Read a trait; one without `values` is open."""
    record = Record(node, (), ("title", "applies to", "values", "keyed"))
    title = record.get("title", text, "")
    reach = record.get("applies to", choice("visible", "all"), "all")
    values = record.get("values", _values, {})
    keyed = record.get("keyed", flag, False)
    record.close()
    return Trait(name, title, reach == "visible", values, keyed)


def _values(node: Node) -> dict[str, TraitValue]:
    if isinstance(node, Listing):
        return {value: TraitValue(value) for value in list_of(word)(node)}
    return named(word, _value)(node)


def _value(value: str, node: Node) -> TraitValue:
    if isinstance(node, Scalar):
        return TraitValue(value, node.text.strip())
    record = Record(node, (), ("symbol", "title"))
    symbol, title = record.get("symbol", word, None), record.get("title", text, "")
    record.close()
    return TraitValue(value, title, symbol)
