"""Reads the positions of an application."""

from __future__ import annotations

from functools import partial

from ..solver.application import OPENING, Position
from .draft import Draft
from .fault import listing
from .names import Names
from .node import Node
from .reading import Record, one_or_more, refuse, table, text
from .value import flag, name, times
from .vocabulary import define

MOST_POSITIONS = 60
"""More than any lock has; the search goes a call deeper with each."""


def positions(draft: Draft, node: Node) -> Names[Position]:
    """Read the positions; one at most is the host. A faulty one is known by its name."""
    found: Names[Position] = Names("position")
    if not table(node).fields:
        refuse(node, "an application without positions", "give at least one")
    define(node, found, _name, partial(_position, draft))
    if len(found.found) > MOST_POSITIONS:
        refuse(node, f"{len(found.found)} positions", f"an application has {MOST_POSITIONS} at most")
    hosts = [key for key, position in found.found.items() if position.host]
    if len(hosts) > 1:
        what = f"both `{hosts[0]}` and `{hosts[1]}` are the host"
        table(node).keys[hosts[1]].fault(what, "only one position receives the assembly")
    return found


def _name(node: Node) -> str:
    found = name(node)
    if found == OPENING:
        refuse(node, f"`{OPENING}` is the door itself, in every application", "choose another name")
    return found


def _position(draft: Draft, called: str, node: Node) -> Position:
    record = Record(node, ("kind",), ("title", "optional", "quantity", "up to", "host", "visible"))
    kinds = record.get("kind", one_or_more(draft.kinds.known), [])
    found = Position(
        called,
        frozenset(kinds),
        record.get("title", text, ""),
        record.get("optional", flag, False),
        record.get("quantity", times(), 1),
        record.get("up to", times(), None),
        record.get("host", flag, False),
        record.get("visible", flag, False),
    )
    if "quantity" in record and "up to" in record:
        record.fault(
            record.at("up to"),
            "`up to` and `quantity` of one position",
            "`quantity` for parts side by side, `up to` for parts stacked one on another",
        )
    if found.host and (found.optional or found.up_to):
        record.fault(
            record.at("host"), "a host that is optional or repeated", "one part, always there, receives the assembly"
        )
    cut = [entry.kind for entry, _ in draft.of_kinds(kinds) if entry.cut] if found.up_to else []
    if cut:
        record.fault(
            record.at("up to"),
            f"a part of the kind `{cut[0]}` is cut to measure, and each of several would be cut differently",
            "leave out `up to`, or write `quantity` for parts that are cut alike",
        )
    if record.sound and not found.optional and draft.sure_of(kinds) and not draft.of_kinds(kinds):
        record.fault(
            record.at("kind"),
            f"no part is of the kind {listing(kinds)}, and the position is not optional",
            "add such a part, or write optional: true",
        )
    record.close()
    return found
