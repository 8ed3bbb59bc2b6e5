"""Reads mating features, and what is still to be found for them among a part's dimensions and traits."""

from __future__ import annotations

from typing import NamedTuple

from ..solver.catalog import Interface
from ..solver.check import Tokens
from ..solver.part import Feature
from ..solver.span import Span
from .draft import Draft
from .fault import suggestion
from .interface import RESERVED, Needs, needs_of
from .node import Node
from .reading import Misread, Record, refuse, text
from .value import choice, span, thread, times, words


class Wanting(NamedTuple):
    """A feature, and the names that its interface reads and it does not give itself."""

    feature: Feature
    place: Node
    dimensions: tuple[str, ...]
    tokens: tuple[str, ...]


def feature(draft: Draft, called: str, node: Node) -> Wanting:
    """Read a feature."""
    record = Record(node, ("interface", "side"), ("mate", "count"), extra=lambda key: True)
    meets: Interface | None = record.get("interface", draft.interfaces.find, None)
    mate = record.get("mate", choice("required", "optional"), "required")
    count = record.get("count", times(), 1)
    if meets is None:
        raise Misread
    side = record.get("side", lambda at: _side(at, meets), "")
    if not side:
        raise Misread
    needs = needs_of(meets.checks, side)
    tokens: dict[str, Tokens] = {}
    dimensions: dict[str, Span] = {}
    if "thread" in record and _threaded(needs):
        read = record.get("thread", thread, None)
        if read is not None:
            tokens["thread"] = (read.designation,)
            dimensions.update((key, limits) for key, limits in read.limits().items() if key in needs.dimensions)
    for key in record.node.fields:
        if key in RESERVED or (key == "thread" and _threaded(needs)):
            continue
        if key in needs.tokens:
            tokens[key] = record.get(key, lambda at, key=key: _allowed(draft, key, at), ())  # type: ignore[misc]
        elif key in needs.dimensions:
            limits = record.get(key, span, None)
            if limits is not None:
                dimensions[key] = limits
        else:
            known = sorted({*needs.tokens, *needs.dimensions})
            near = suggestion(key, [*known, *RESERVED]) if known else "leave it out"
            record.fault(
                record.node.keys[key],
                f"no check of the interface `{meets.name}` reads `{key[:60]}` of its side `{side}`",
                near,
                cause=("unread", meets.name, side, key),
            )
    record.close()
    made = Feature(called, meets.name, side, dimensions, tokens, count, mate == "required", node.source)
    return Wanting(
        made, node, tuple(sorted(needs.dimensions - dimensions.keys())), tuple(sorted(needs.tokens - tokens.keys()))
    )


def _side(node: Node, meets: Interface) -> str:
    found = text(node)
    if found not in meets.sides:
        refuse(
            node,
            f"the interface `{meets.name}` has no side `{found[:60]}`",
            suggestion(found, meets.sides),
            cause=("side", meets.name, found),
        )
    return found


def _threaded(needs: Needs) -> bool:
    return "thread" in needs.tokens or not needs.dimensions.isdisjoint(("major", "pitch", "minor"))


def _allowed(draft: Draft, trait: str, node: Node) -> Tokens:
    found = words(node)
    draft.allow(trait, found, node)
    return found
