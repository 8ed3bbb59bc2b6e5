"""A generated job over items, as a general solver is given it: over all of them, or over one of each class.

It is read from the model anew, without the engine's runs and relations. Lengths are micrometres (every generated
length is a whole number of them), so that solvers with narrow integers can take part.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from operator import eq, itemgetter
from typing import Any

from fitwright.solver.application import OPENING, Joint, Position, Stack
from fitwright.solver.catalog import Catalog
from fitwright.solver.check import Gap, Ref, Same
from fitwright.solver.network import Network
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from fitwright.solver.statement import Into, Want

from .cylinder import UNIT

Item = Part | None
"""None stands for an absent position."""


@dataclass(frozen=True, slots=True)
class Table:
    """Two positions whose items must agree where both stand there and `unless` is absent.

    `left` and `right` hold what is compared of each item of the domain, None for an absent one; only things with
    equal `key` can agree.
    """

    names: tuple[str, str]
    left: Sequence[Any]
    right: Sequence[Any]
    agree: Callable[[Any, Any], bool]
    unless: str | None = None
    key: Callable[[Any], Hashable] = lambda _: None

    def holds(self, i: int, j: int) -> bool:
        """Tell whether the items of these numbers agree; an absent one agrees with everything."""
        one, other = self.left[i], self.right[j]
        return one is None or other is None or self.agree(one, other)

    def blocks(self) -> Iterator[tuple[list[int], list[int]]]:
        """Yield (numbers on the left, numbers on the right) that all agree; each left number comes once."""
        lefts, rights = _alike(self.left), _alike(self.right)
        near: dict[Hashable, list[tuple[Any, list[int]]]] = {}
        for other, numbers in rights.items():
            if other is not None:
                near.setdefault(self.key(other), []).append((other, numbers))
        for one, numbers in lefts.items():
            if one is None:
                yield numbers, list(range(len(self.right)))
                continue
            found = list(rights.get(None, ()))
            for other, more in near.get(self.key(one), ()):
                if self.agree(one, other):
                    found += more
            yield numbers, found

    def rows(self) -> list[tuple[int, int]]:
        """Return the numbers of the items that agree."""
        return [row for lefts, rights in self.blocks() for row in product(lefts, rights)]


def _alike(things: Sequence[Any]) -> dict[Any, list[int]]:
    found: dict[Any, list[int]] = {}
    for number, thing in enumerate(things):
        found.setdefault(thing, []).append(number)
    return found


@dataclass(frozen=True, slots=True)
class Total:
    """Sums over positions: the least must reach `low`, the greatest must not pass `high`; read with `when` filled.

    `terms[position]` holds (least, greatest) for each item of the domain.
    """

    terms: dict[str, list[tuple[int, int]]]
    low: int
    high: int
    when: str | None = None


@dataclass(frozen=True, slots=True)
class Raw:
    """`domains` are the items of each position, each standing for as many as `ways` says."""

    domains: dict[str, list[Item]]
    ways: dict[str, list[int]]
    tables: list[Table]
    totals: list[Total]

    @classmethod
    def of(cls, setting: Setting, stock: Mapping[str, list[Part]]) -> Raw:
        """Read the job over every item that the statements allow; `stock` are the items by kind."""
        domains: dict[str, list[Item]] = {}
        for name, position in setting.application.positions.items():
            parts = [part for kind in sorted(position.kinds) for part in stock[kind]]
            domains[name] = [*_allowed(setting, position, parts)]
            if position.optional:
                domains[name].append(None)
        return cls._read(setting, domains, {name: [1] * len(domain) for name, domain in domains.items()})

    @classmethod
    def of_classes(cls, setting: Setting) -> Raw:
        """Read the job over one item of each class that the engine makes."""
        choices = Network(setting).choices
        domains: dict[str, list[Item]] = {
            name: [choice.classes[0][0][0] if choice.classes else None for choice in own]
            for name, own in choices.items()
        }
        return cls._read(setting, domains, {name: [choice.ways for choice in own] for name, own in choices.items()})

    @classmethod
    def _read(cls, setting: Setting, domains: dict[str, list[Item]], ways: dict[str, list[int]]) -> Raw:
        """Raises ValueError where the job has a shape that the generator never makes."""
        tables = [table for joint in setting.application.joints for table in joint_tables(setting, joint, domains)]
        for trait in setting.application.match:
            tables += look_tables(setting, trait, domains)
        for rule in setting.rules:
            left, right = rule.check.left, rule.check.right
            rights = [item.traits[right.name] if item else None for item in domains[right.owner]]
            if left.owner != OPENING:
                lefts = [item.traits[left.name] if item else None for item in domains[left.owner]]
                tables.append(Table((left.owner, right.owner), lefts, rights, rule.check.holds))
            elif not all(had and rule.check.holds(setting.opening.traits[left.name], had) for had in rights):
                raise ValueError("the named host of a generated job suits its opening")
        return cls(domains, ways, tables, [total_of(setting, stack, domains) for stack in setting.stacks])


def by_kind(catalog: Catalog) -> dict[str, list[Part]]:
    """Return the items of each kind."""
    found: dict[str, list[Part]] = {}
    for part in catalog.parts.values():
        found.setdefault(part.kind, []).append(part)
    return found


def _allowed(setting: Setting, position: Position, parts: list[Part]) -> list[Part]:
    """Leave out what the two sorts of statement that a generated job makes about parts rule out."""
    for said in setting.statements:
        if isinstance(said, Into) and position.host:
            parts = [part for part in parts if part.code == said.code]
        elif isinstance(said, Want) and not position.host:
            trait, wanted = said.trait, set(said.values)
            if position.visible or not setting.catalog.traits[trait].visible:
                parts = [part for part in parts if trait not in part.traits or wanted & set(part.traits[trait])]
    return parts


def joint_tables(setting: Setting, joint: Joint, domains: dict[str, list[Item]]) -> Iterator[Table]:
    stops = joint.stops()
    if len(stops) == 2:
        yield _meeting(setting, domains, Ref(stops[0][0], stops[0][1][0]), Ref(stops[1][0], stops[1][1][0]))
    elif [len(features) for _, features in stops] == [1, 2, 1]:
        (first, (rear,)), (link, (front, back)), (last, (seat,)) = stops
        yield _meeting(setting, domains, Ref(first, rear), Ref(link, front))
        yield _meeting(setting, domains, Ref(link, back), Ref(last, seat))
        yield _meeting(setting, domains, Ref(first, rear), Ref(last, seat), unless=link)
    else:
        raise ValueError(f"the joint {joint.name} has a shape that the generator never makes")


def _meeting(
    setting: Setting, domains: dict[str, list[Item]], one: Ref, other: Ref, unless: str | None = None
) -> Table:
    sample = next(item for item in domains[one.owner] if item).design.features[one.name]
    checks = setting.catalog.interfaces[sample.interface].checks
    (gap,) = (check for check in checks if isinstance(check, Gap))
    (same,) = (check for check in checks if isinstance(check, Same))
    if sample.side != gap.terms[0].ref.owner:
        one, other = other, one
    low, high = _bounds(gap)

    def agree(outer: tuple[Hashable, int, int], inner: tuple[Hashable, int, int]) -> bool:
        return outer[0] == inner[0] and outer[1] - inner[2] >= low and outer[2] - inner[1] <= high

    return Table(
        (one.owner, other.owner),
        _faces(setting, domains, one, same),
        _faces(setting, domains, other, same),
        agree,
        unless,
        itemgetter(0),
    )


def _faces(
    setting: Setting, domains: dict[str, list[Item]], ref: Ref, same: Same
) -> list[tuple[Hashable, int, int] | None]:
    """Return for each item what must be equal and how large its feature is, from least to greatest."""
    found: list[tuple[Hashable, int, int] | None] = []
    quantity = setting.application.positions[ref.owner].quantity
    for item in domains[ref.owner]:
        if item is None:
            found.append(None)
            continue
        feature = item.design.features[ref.name]
        size = feature.dimensions["size"]
        found.append(((feature.tokens[same.left.name], feature.count * quantity), _whole(size.low), _whole(size.high)))
    return found


def look_tables(setting: Setting, trait: str, domains: dict[str, list[Item]]) -> Iterator[Table]:
    """All visible items look as one that is always there."""
    look = setting.catalog.traits[trait].look
    seen = [name for name, position in setting.application.positions.items() if position.visible]
    looks = {name: [item and look(item.traits[trait]) for item in domains[name]] for name in seen}
    first = next(name for name in seen if None not in domains[name])
    for name in seen:
        if name != first:
            yield Table((first, name), looks[first], looks[name], eq, key=lambda words: words)


def total_of(setting: Setting, stack: Stack, domains: dict[str, list[Item]]) -> Total:
    opening = setting.opening.design.dimensions
    low, high = _bounds(stack.gap)
    terms: dict[str, list[tuple[int, int]]] = {}
    for factor, ref in stack.gap.terms:
        if ref.owner == OPENING:
            span = opening[ref.name] * factor
            low, high = low - _whole(span.low), high - _whole(span.high)
            continue
        spans = [item and item.design.dimensions[ref.name] * factor for item in domains[ref.owner]]
        terms[ref.owner] = [(_whole(span.low), _whole(span.high)) if span else (0, 0) for span in spans]
    return Total(terms, low, high, stack.when[0] if stack.when else None)


def _bounds(gap: Gap) -> tuple[int, int]:
    if not isinstance(gap.at_least, int) or not isinstance(gap.at_most, int):
        raise ValueError("a generated gap lies between two lengths")
    return _whole(gap.at_least), _whole(gap.at_most)


def _whole(length: int) -> int:
    number, rest = divmod(length, UNIT)
    if rest:
        raise ValueError(f"a generated length must be whole micrometres, not {length}")
    return number
