"""Reads interfaces: two sides and the checks between them."""

from __future__ import annotations

from typing import NamedTuple

from ..solver.catalog import Interface
from ..solver.check import Check, Gap, Ref
from .checks import check
from .fault import suggestion
from .node import Node
from .reading import Record, list_of, refuse, text
from .value import Look, name

RESERVED = ("interface", "side", "mate", "count")
"""Keys of a feature that no check can read."""


def interface(called: str, node: Node) -> Interface:
    """Read an interface."""
    record = Record(node, ("sides", "checks"), ("title",))
    title = record.get("title", text, "")
    sides = record.get("sides", _sides, None)
    checks: list[Check] = []
    if sides is not None:
        checks = record.get("checks", list_of(lambda item: check(item, _look(called, sides), sides)), [])
        both = sorted({each for side in sides for each in frozenset.intersection(*needs_of(checks, side))})
        if both:
            what = f"`{both[0]}` of one side is read both as a word and as a dimension"
            record.fault(record.node, what, "give the two different names")
    record.close()
    return Interface(called, title, sides or ("", ""), tuple(checks), node.source)


class Needs(NamedTuple):
    """The names that the checks read of one side."""

    tokens: frozenset[str]
    dimensions: frozenset[str]


def needs_of(checks: list[Check] | tuple[Check, ...], side: str) -> Needs:
    """Return what the checks read of a side."""
    tokens: set[str] = set()
    dimensions: set[str] = set()
    for one in checks:
        if isinstance(one, Gap):
            dimensions.update(ref.name for ref in one.refs() if ref.owner == side)
        else:
            tokens.update(ref.name for ref in (one.left, one.right) if ref.owner == side)
    return Needs(frozenset(tokens), frozenset(dimensions))


def _sides(node: Node) -> tuple[str, str]:
    found = list_of(name)(node)
    if len(found) != 2 or found[0] == found[1]:
        refuse(node, "not two different sides", "write sides: [one, other]")
    return found[0], found[1]


def _look(called: str, sides: tuple[str, str]) -> Look:
    def look(ref: Ref, node: Node) -> None:
        if ref.owner not in sides:
            refuse(node, f"the interface `{called}` has no side `{ref.owner}`", suggestion(ref.owner, sides))
        if ref.name in RESERVED:
            refuse(node, f"`{ref.name}` is a key of every feature", "read another name")

    return look
