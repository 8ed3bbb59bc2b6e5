"""Compiles catalogs: from the bytes of their files to the compiled form, or to everything that is wrong in them.

The passes: text to nodes, file by file; then section by section over all files, each looking up what the earlier
ones defined (kinds, traits, interfaces, preparations, parts, applications); then what parts say to each other, and the
codes of all items.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

from ..solver.catalog import Trait
from ..solver.length import Unit
from .advice import BEGIN, FORMAT
from .applications import application
from .codes import check_codes
from .compiled import Compiled
from .counterpart import check_counterparts
from .draft import Draft
from .fault import CatalogError, Faults
from .interface import interface, needs_of
from .node import Node, Page, Table, parse
from .parts import read_parts
from .preparation import preparation
from .reading import Misread, Record, refuse, text
from .value import choice, label, name
from .vocabulary import define, kind, trait

_SECTIONS = ("kinds", "traits", "interfaces", "preparations", "parts", "applications")


def compile_catalogs(files: Iterable[tuple[str, bytes]]) -> Compiled:
    """Compile files, each a name to show and its content. Raises CatalogError with every fault found.

    Where a file cannot be read at all, or says something unknown at its top, only that is reported: whatever
    it should have defined would be missed everywhere else.
    """
    faults = Faults()
    opened = [_open(Page(file, faults), content) for file, content in files]
    records = [record for record in opened if record is not None and record.sound]
    if len(records) < len(opened):
        raise CatalogError(faults.listed())
    draft = Draft()
    currency = _read(draft, lambda key: [record.node.fields[key] for record in records if key in record])
    for place, why in draft.unpriced if draft.priced else ():
        place.fault(f"without `price` ({why})", "give it, 0 where it costs nothing")
    check_counterparts(draft)
    check_codes(draft.entries)
    if len(faults):
        raise CatalogError(faults.listed())
    return Compiled(
        draft.kinds.found,
        draft.traits.found,
        draft.interfaces.found,
        draft.preparations.found,
        draft.applications.found,
        tuple(entry for entry, _ in draft.entries),
        currency,
    )


def _open(page: Page, content: bytes) -> Record | None:
    """Read the top of a file; None where there is nothing to go on with."""
    faults = len(page.faults)
    root = parse(content, page)
    if root is None:
        if len(page.faults) == faults:
            page.fault(1, 1, "an empty file", BEGIN)
        return None
    if not isinstance(root, Table):
        root.fault(f"this is no catalog: {root.sort}", BEGIN)
        return None
    record = Record(root, ("format",), ("unit", "currency", *_SECTIONS))
    record.get("format", _format, "")
    page.unit = record.get("unit", _unit, None)
    return record


def _format(node: Node) -> str:
    found = text(node)
    if found != FORMAT:
        refuse(node, f"the format `{found[:40]}`", f"this version reads {FORMAT}")
    return found


def _unit(node: Node) -> Unit:
    return "mm" if choice("in", "mm")(node) == "mm" else "in"


def _read(draft: Draft, sections: Callable[[str], list[Node]]) -> str:
    """Read every section into the draft, in the order in which they build on each other; return the currency."""
    for section in sections("kinds"):
        define(section, draft.kinds, name, kind)
    for section in sections("traits"):
        define(section, draft.traits, name, trait)
    for section in sections("interfaces"):
        define(section, draft.interfaces, name, interface)
    for found in draft.interfaces.found.values():
        draft.words.update(*(needs_of(found.checks, side).tokens for side in found.sides))
    for section in sections("preparations"):
        define(section, draft.preparations, label, partial(preparation, draft))
    for section in sections("parts"):
        read_parts(section, draft)
    for trait_name in [each for entry, _ in draft.entries for each in entry.trait_names()]:
        if trait_name not in draft.traits:  # options and words of interfaces are traits, declared or not
            draft.traits.settle(trait_name, Trait(trait_name, trait_name, declared=False))
    for section in sections("applications"):
        define(section, draft.applications, name, partial(application, draft))
    return _one_currency(sections("currency"))


def _one_currency(nodes: list[Node]) -> str:
    try:
        stated = [(text(node), node) for node in nodes]
    except Misread:
        return ""
    for currency, node in stated[1:]:
        first, place = stated[0]
        if currency != first:
            node.fault(
                f"prices in {currency[:40]}, but in {first[:40]} in {place.source}",
                "count in one currency",
                cause=("currency", currency),
            )
    return stated[0][0] if stated else ""
