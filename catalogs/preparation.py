"""Reads published door preparations: what an opening made by them offers."""

from __future__ import annotations

from dataclasses import replace

from ..solver.catalog import Preparation
from .draft import Draft
from .feature import feature
from .node import Node
from .reading import Misread, Record, map_of, named, text
from .value import name, span


def preparation(draft: Draft, called: str, node: Node) -> Preparation:
    """Read a preparation; its features must have every name that their interfaces read."""
    record = Record(node, ("title",), ("dimensions", "features"))
    title = record.get("title", text, "")
    dimensions = record.get("dimensions", map_of(name, span), {})
    wanting = record.get("features", named(name, lambda key, at: feature(draft, key, at)), {})
    features = {}
    for key, found in wanting.items():
        missing = [each for each in found.dimensions if each not in dimensions] + list(found.tokens)
        if missing and record.sound:
            found.place.fault(
                f"without `{missing[0]}`, which the interface `{found.feature.interface}` reads",
                "give it here, or a length among the preparation's dimensions",
            )
            raise Misread
        lent = {each: dimensions[each] for each in found.dimensions if each in dimensions}
        features[key] = replace(found.feature, dimensions={**found.feature.dimensions, **lent})
    record.close()
    return Preparation(called, title, dimensions, features, node.source)
