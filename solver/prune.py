"""Taking out values that no row of some table supports, before any search."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Any

from .relation import Relation, Row

Domains = dict[Hashable, list[Any]]


def supported(domains: Mapping[Hashable, Sequence[Any]], tables: Iterable[object]) -> Domains | None:
    """Return the domains without the values that some table has no row for; None where a domain is left empty.

    Generalised arc consistency over the tables that are spelled out; no solution is lost.
    """
    left: Domains = {name: list(values) for name, values in domains.items()}
    relations = [table for table in tables if isinstance(table, Relation)]
    rows: list[list[Row]] = [list(table.rows) for table in relations]
    about: dict[Hashable, list[int]] = {}
    for number, table in enumerate(relations):
        for name in table.scope:
            about.setdefault(name, []).append(number)
    waiting = dict.fromkeys(range(len(relations)))
    while waiting:
        number, _ = waiting.popitem()
        table = relations[number]
        present = [
            {column[value] for value in left[name]} for name, column in zip(table.scope, table.readings, strict=True)
        ]
        own = rows[number] = [
            row for row in rows[number] if all(reading in seen for reading, seen in zip(row, present, strict=True))
        ]
        if not own:
            return None
        for name, column, seen, kept in zip(
            table.scope, table.readings, present, map(set, zip(*own, strict=True)), strict=True
        ):
            if len(kept) < len(seen):
                left[name] = [value for value in left[name] if column[value] in kept]
                waiting.update((other, None) for other in about[name] if other != number)
    return left
