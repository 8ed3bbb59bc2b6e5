"""clingo, an answer set solver: the raw items as facts, the count by listing all models without showing them."""

from __future__ import annotations

from collections.abc import Iterator

from clingo import Control

from .raw import Raw

_RULES = """
1 { use(P, I) : item(P, I) } 1 :- place(P).
supported(T, J) :- joined(T, P, _), use(P, I), row(T, I, J).
:- joined(T, _, P), use(P, J), not supported(T, J), not waived(T).
waived(T) :- unless(T, P), use(P, I), not absent(P, I).
read(S) :- total(S, _, _), not when(S, _).
read(S) :- when(S, P), use(P, I), not absent(P, I).
:- read(S), total(S, B, _), #sum { V, P : use(P, I), least(S, P, I, V) } < B.
:- read(S), total(S, _, B), #sum { V, P : use(P, I), most(S, P, I, V) } > B.
"""


def count(raw: Raw) -> int:
    """Count by listing: items and the pairs that agree as facts, one choice per position, sums as aggregates.

    Every item must stand for itself alone: ValueError otherwise.
    """
    if any(set(own) != {1} for own in raw.ways.values()):
        raise ValueError("the models are counted, not weighed")
    control = Control(["0", "--warn=none"])
    control.add("base", [], _RULES + "\n".join(_facts(raw)))
    control.ground([("base", [])])
    control.solve()
    return int(control.statistics["summary"]["models"]["enumerated"])


def _facts(raw: Raw) -> Iterator[str]:
    for name, domain in raw.domains.items():
        yield f"place({name}). item({name}, 0..{len(domain) - 1})."
        yield from (f"absent({name}, {i})." for i, item in enumerate(domain) if item is None)
    for number, table in enumerate(raw.tables):
        yield f"joined({number}, {table.names[0]}, {table.names[1]})."
        if table.unless is not None:
            yield f"unless({number}, {table.unless})."
        yield from (f"row({number},{i},{j})." for i, j in table.rows())
    for number, total in enumerate(raw.totals):
        yield f"total({number}, {total.low}, {total.high})."
        if total.when is not None:
            yield f"when({number}, {total.when})."
        for name, column in total.terms.items():
            yield from (
                f"least({number},{name},{i},{low}). most({number},{name},{i},{high})."
                for i, (low, high) in enumerate(column)
            )
