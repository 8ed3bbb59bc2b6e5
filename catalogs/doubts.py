"""What is not wrong in a catalog, but looks forgotten: a part may pass every check because it lacks what they read."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from ..solver.catalog import Catalog
from ..solver.finding import Source
from ..solver.part import Part
from .fault import Fault

FEW = 2
"""What at least so many entries of a kind have for each one that lacks it is taken to be forgotten there."""


def doubts(catalog: Catalog, files: Collection[str]) -> list[Fault]:
    """Return what entries in these files lack although nearly all others of their kind have it, in reading order.

    So do dimensions that no stack reads, and no other entry of the kind has.
    """
    kinds: dict[str, dict[Source, Part]] = {}
    for part in catalog.parts.values():
        if part.source:
            kinds.setdefault(part.kind, {}).setdefault(part.source, part)
    read = _read(catalog)
    found = [
        doubt
        for kind, entries in kinds.items()
        for doubt in (*_features(kind, entries), *_dimensions(kind, entries, read.get(kind, set())))
        if doubt.file in files
    ]
    return sorted(found)


def _features(kind: str, entries: Mapping[Source, Part]) -> Iterator[Fault]:
    for name in dict.fromkeys(name for part in entries.values() for name in part.design.features):
        lacking = [(source, part) for source, part in entries.items() if name not in part.design.features]
        others = len(entries) - len(lacking)
        for source, part in lacking if others >= FEW * len(lacking) else ():
            what = f"without the feature `{name}`, which the other {others} entries of the kind `{kind}` have"
            yield _doubt(source, part, what, "what checks it is passed unseen")


def _dimensions(kind: str, entries: Mapping[Source, Part], read: Collection[str]) -> Iterator[Fault]:
    for source, part in entries.items() if len(entries) > 1 else ():
        own = [name for name in part.design.dimensions if name not in read]
        for name in own:
            if not any(name in other.design.dimensions for place, other in entries.items() if place != source):
                what = f"the dimension `{name}` is read by no stack, and no other entry of the kind `{kind}` has it"
                yield _doubt(source, part, what, "a dimension that a joint reads belongs into a feature")


def _doubt(source: Source, part: Part, what: str, hint: str) -> Fault:
    return Fault(source.file, source.line, 1, f"parts > {part.code}", what, hint)


def _read(catalog: Catalog) -> dict[str, set[str]]:
    """Return for each kind the dimensions that stacks read of it."""
    found: dict[str, set[str]] = {}
    for application in catalog.applications.values():
        refs = [ref for stack in application.stacks for ref in stack.gap.refs()]
        for name, position in application.positions.items():
            for kind in position.kinds:
                found.setdefault(kind, set()).update(ref.name for ref in refs if ref.owner == name)
    return found
