"""The solutions of tables over values, or the first of them, or the certainty that there is none."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import Any

from .compiler import compile_nodes
from .graph import Graph
from .order import Information, decision_tree
from .prune import supported
from .relation import Table
from .watch import Watch


def compiled(
    values: Mapping[Hashable, Sequence[Any]],
    tables: Sequence[Table],
    known: dict[int, Information],
    watch: Watch,
    first_only: bool,
) -> Graph:
    """Return the graph of all solutions, or of one where any will do.

    `known` keeps what each table says, by its identity, from one search to the next: the tables must be kept too.
    """
    left = supported(values, tables)
    if left is None:
        return Graph((), (), None)
    for table in tables:
        if id(table) not in known:
            known[id(table)] = table.information()
    tree = decision_tree({name: len(own) for name, own in left.items()}, [known[id(table)] for table in tables])
    constraints = [(table, table.scope) for table in tables]
    return Graph(tree.order, *compile_nodes(tree, left, constraints, watch, first_only))
