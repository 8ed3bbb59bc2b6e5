"""Checks that need the items themselves: that codes are codes, each is given once, and replacements exist."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..solver.part import Part
from .entry import Entry
from .fault import suggestion
from .node import Node, Table
from .value import is_code

MOST_ITEMS = 1_000_000
"""The most items that catalogs read together may hold."""


def check_codes(entries: Sequence[tuple[Entry, Node]]) -> None:
    """Expand every entry and note what is wrong with the codes, once for each entry."""
    items: dict[str, tuple[Part, Node]] = {}
    total = 0
    for entry, place in entries:
        total += entry.count
        if total > MOST_ITEMS:
            place.fault(f"more than {MOST_ITEMS} items up to here", "split the catalogs")
            return
        for part in entry.items():
            if not is_code(part.code):
                place.fault(f"`{part.code[:60]}` is no code", "a code starts with a capital or a digit")
                break
            first = items.setdefault(part.code, (part, place))
            if first[0] is not part:
                _refuse_repeated(part, place, first[1])
                break
    for entry, place in entries:
        if entry.is_replaced:
            _check_replacements(entry, place, items)


def _refuse_repeated(part: Part, place: Node, first: Node) -> None:
    if first is place:
        place.fault(f"two of its items get the code `{part.code}`", "set the options apart in the code")
    else:
        what = f"the code `{part.code}` is defined twice, first in {first.source}"
        files = ("code", first.page.file, place.page.file)  # a copied file is one fault
        place.fault(what, "give one of the two another", cause=files)


def _check_replacements(entry: Entry, place: Node, items: Mapping[str, tuple[Part, Node]]) -> None:
    above = place.above
    at = above.fields.get("replaced by", place) if isinstance(above, Table) else place
    for part in entry.items():
        code, seen = part.replaced_by, {part.code}
        if code is not None and code not in items:
            what = f"`{part.code}` is replaced by `{code}`, which is no code of a part"
            at.fault(what, suggestion(code, items))
            return
        while code is not None and code in items and code not in seen:
            seen.add(code)
            code = items[code][0].replaced_by
        if code == part.code:
            at.fault(f"`{part.code}` is in the end replaced by itself", "name a part that is still made")
            return
