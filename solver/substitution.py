"""All parts of a catalog that may take each other's place: found without trying every pair."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from .check import Tokens
from .interchange import Interchange, Relation
from .part import Part

_Had = tuple[Tokens | None, ...]
"""What a part has in each trait that a job can ask for."""


@dataclass(frozen=True, slots=True)
class Pair:
    """`relation` says whether `relation.other` may take the place of `relation.part`, `back` the other way round.

    `declared`: the catalog says that the part is replaced by the other.
    """

    relation: Relation
    back: Relation
    declared: bool = False

    @property
    def both_ways(self) -> bool:
        """Whether each may take the other's place everywhere."""
        return self.relation.everywhere and self.back.everywhere


def declared_pairs(interchange: Interchange, concerned: Collection[str]) -> Iterator[Pair]:
    """Yield each part that is replaced, with the last of those that follow it; one of them is concerned."""
    parts = interchange.catalog.parts
    for part in parts.values():
        chain = [part]
        while (following := chain[-1].replaced_by) and following in parts and parts[following] not in chain:
            chain.append(parts[following])
        if len(chain) > 1 and any(each.code in concerned for each in chain):
            yield Pair(interchange.replaces(part, chain[-1]), interchange.replaces(chain[-1], part), declared=True)


def pairs(interchange: Interchange, concerned: Collection[str]) -> Iterator[Pair]:
    """Yield each pair of which one may replace the other everywhere and one is concerned, a mutual one once.

    Raises `TooManyWays`, `OutOfTime`.
    """
    order = {code: place for place, code in enumerate(interchange.catalog.parts)}
    groups, kin = _by_traits(interchange), _kin(interchange)
    kinds = {part.kind for part in interchange.catalog.parts.values() if part.code in concerned}
    for part in interchange.catalog.parts.values():
        interchange.watch.tick()
        near = kin.get(part.kind, set()) if part.code in concerned else kin.get(part.kind, set()) & kinds
        if not near or not interchange.used(part):
            continue
        passes: dict[tuple[int, Tokens], bool] = {}
        for kind in sorted(near):
            for had, own in groups[kind].items():
                if not _passes(interchange, part, had, passes):
                    continue
                for other in own:
                    if other is part or not (part.code in concerned or other.code in concerned):
                        continue
                    if (relation := interchange.replaces(part, other)).everywhere:
                        back = interchange.replaces(other, part)
                        if not back.everywhere or order[part.code] < order[other.code]:
                            yield Pair(relation, back)


def _by_traits(interchange: Interchange) -> dict[str, dict[_Had, list[Part]]]:
    """Return the parts of each kind by what they have in each trait."""
    found: dict[str, dict[_Had, list[Part]]] = {}
    for part in interchange.catalog.parts.values():
        had = tuple([part.traits.get(trait.name) for trait in interchange.traits])
        found.setdefault(part.kind, {}).setdefault(had, []).append(part)
    return found


def _kin(interchange: Interchange) -> dict[str, set[str]]:
    """Return for each kind those that share a position with it, as far as there are parts of them."""
    kinds = {part.kind for part in interchange.catalog.parts.values()}
    found: dict[str, set[str]] = {}
    for application in interchange.applications:
        for position in application.positions.values():
            for kind in kinds & position.kinds:
                found.setdefault(kind, set()).update(kinds & position.kinds)
    return found


def _passes(interchange: Interchange, part: Part, had: _Had, known: dict[tuple[int, Tokens], bool]) -> bool:
    """Tell whether no want tells a part with these traits from the part; what it does not have tells nothing."""
    for place, (trait, tokens) in enumerate(zip(interchange.traits, had, strict=True)):
        if tokens is not None:
            if (place, tokens) not in known:
                known[place, tokens] = interchange.can_stand_in(part, trait, tokens)
            if not known[place, tokens]:
                return False
    return True
