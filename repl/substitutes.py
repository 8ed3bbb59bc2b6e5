"""The question `substitutes`: which parts may take each other's place in every job, and whether successors do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..solver.part import Part
from ..solver.statement import Use
from .answer import Answer, Row
from .instead import EVERYWHERE, ONE_WAY
from .job import MOST_ROWS, Job
from .lookup import described
from .question import Question
from .status import Status
from .wording import counted, price

if TYPE_CHECKING:
    from ..solver.interchange import Interchange, Relation, Witness
    from ..solver.substitution import Pair


@dataclass(frozen=True, slots=True)
class Substitutes(Question):
    """Which parts may replace which in every job; with a word, those with it in their code, title, kind or traits."""

    word: str | None

    def answer(self, job: Job) -> Answer:
        """List the pairs, those of the same two entries in one row, and what became of what the catalog replaced."""
        from ..solver.interchange import Interchange  # few questions need it
        from ..solver.substitution import declared_pairs, pairs

        catalog, word = job.catalog, (self.word or "").casefold()
        concerned = {part.code for part in catalog.parts.values() if word in described(catalog, part)}
        used = next((said.application for said in reversed(job.setting.facts) if isinstance(said, Use)), None)
        applications = None if used is None else [job.application.name]
        interchange = job.interchange if used is None else Interchange(catalog, applications, watch=job.watch)
        declared, found = list(declared_pairs(interchange, concerned)), list(pairs(interchange, concerned))
        said = {(pair.relation.part.code, pair.relation.other.code) for pair in declared}
        others = [pair for pair in found if (pair.relation.part.code, pair.relation.other.code) not in said]
        rows = [_row(interchange, group) for group in _families([*declared, *others])]
        kept, first = job.shortened(rows, MOST_ROWS)
        where = f"in {used}" if used else f"over all {len(interchange.applications)} applications"
        counts = [
            counted(sum(pair.both_ways for pair in found), "pair", "pairs") + f" {EVERYWHERE}",
            f"{sum(not pair.both_ways for pair in found):,} {ONE_WAY}",
        ]
        if declared:
            confirmed = sum(pair.relation.everywhere for pair in declared)
            counts.append(f"{confirmed:,} of {counted(len(declared), 'successor', 'successors')} confirmed")
        message = [f"{', '.join(counts)}, {where}", f"{counted(len(rows), 'row', 'rows')}{first}"]
        concern = [catalog.applications[each.name] for each in interchange.applications]
        cautions = (caution.text for each in concern for caution in each.cautions if caution.when is None)
        return replace(
            job.plain(self.text),
            message=tuple(message) if rows else tuple(message[:1]),
            count=len(found),
            rows=kept,
            cautions=tuple(dict.fromkeys(cautions)),
            status=Status.YES if rows else Status.NO,
        )


def _families(found: Iterable[Pair]) -> Iterator[Sequence[Pair]]:
    """Yield the pairs of the same two entries that are related alike, what the catalog declares first."""
    groups: dict[tuple[object, ...], list[Pair]] = {}
    for pair in found:
        part, other = pair.relation.part, pair.relation.other
        key = not pair.declared, not pair.both_ways, part.design, other.design, _relation(pair), part.status
        groups.setdefault((*key, other.status), []).append(pair)
    yield from (groups[key] for key in sorted(groups, key=lambda key: key[:2]))


def _row(interchange: Interchange, group: Sequence[Pair]) -> Row:
    pair, currency = group[0], interchange.catalog.currency
    part, other = pair.relation.part, pair.relation.other
    prices = [_range(own) for own in _sides(group)]
    return {
        "part": part.code,
        "may be": other.code,
        "pairs": len(group),
        "relation": f"successor: {_relation(pair)}" if pair.declared else _relation(pair),
        "status": f"{part.status} / {other.status}",
        "price": f"{' / '.join(prices)} {currency}".rstrip(),
        "counter-example": _counter_example(pair),
        "beyond the checks": ", ".join(_beyond(interchange, part, other)),
    }


def _relation(pair: Pair) -> str:
    if pair.both_ways:
        return EVERYWHERE
    if pair.relation.everywhere:
        return ONE_WAY
    if not pair.relation.shared:
        return "no common position"
    return "not everywhere" if pair.relation.used else "the part is in no assembly"


def _beyond(interchange: Interchange, part: Part, other: Part) -> list[str]:
    """Say in which dimensions that no check ever reads the parts differ, and which traits the other part is without."""
    one, another = part.design.dimensions, other.design.dimensions
    read = {
        ref.name
        for application in interchange.applications
        for stack in application.stacks
        for ref in stack.gap.refs()
        if ref.owner in application.positions and part.kind in application.positions[ref.owner].kinds
    }
    differing = [name for name in {**one, **another} if name not in read and one.get(name) != another.get(name)]
    lost = [trait.name for trait in interchange.traits if trait.name in part.traits and trait.name not in other.traits]
    return [*(f"{name} differs" for name in differing), *(f"no {name}" for name in lost)]


def _counter_example(pair: Pair) -> str:
    """Write out the job that the other part spoils, or else that the part itself would spoil."""
    relation = pair.back if pair.relation.everywhere else pair.relation
    witness = relation.witness
    return "" if witness is None else _refusal(relation, witness)


def _refusal(relation: Relation, witness: Witness) -> str:
    job = "; ".join(map(str, witness.statements))
    return f"not {relation.other.code} in `{job}`: {witness.finding.where}"


def _sides(group: Sequence[Pair]) -> tuple[list[int], list[int]]:
    return [pair.relation.part.price for pair in group], [pair.relation.other.price for pair in group]


def _range(prices: Sequence[int]) -> str:
    low, high = min(prices), max(prices)
    return price(low) if low == high else f"{price(low)} to {price(high)}"
