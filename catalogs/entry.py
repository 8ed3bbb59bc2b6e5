"""An entry of a catalog, as written once, and the orderable items that its options multiply it into."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import product
from math import prod

from ..solver.check import Tokens
from ..solver.finding import Source
from ..solver.part import Cut, Design, Feature, Part
from ..solver.span import Span
from .fault import listing
from .template import Template


@dataclass(frozen=True, slots=True)
class Choice:
    """A value of an option and what it changes. `code` and `title` are what stands for it in those texts."""

    value: str
    code: str
    title: str
    traits: Mapping[str, Tokens]
    price: int | None = None
    surcharge: int = 0
    status: str | None = None
    caution: str | None = None
    replaced_by: Template | None = None
    dimensions: Mapping[str, Span] = field(default_factory=dict)
    marks: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Option:
    """A choice that a buyer has."""

    name: str
    choices: tuple[Choice, ...]

    @property
    def shapes(self) -> bool:
        """Whether the choice changes a dimension."""
        return any(choice.dimensions for choice in self.choices)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. `borrows` names, for a feature, the dimensions that its interface reads and the entry gives."""

    code: Template
    kind: str
    title: Template
    traits: Mapping[str, Tokens]
    options: tuple[Option, ...]
    dimensions: Mapping[str, Span]
    features: Mapping[str, Feature]
    borrows: Mapping[str, tuple[str, ...]]
    cut: Cut | None
    price: int
    status: str
    replaced_by: Template | None
    caution: str | None
    marks: Mapping[str, str]
    source: Source

    @property
    def count(self) -> int:
        """How many items it stands for."""
        return prod(len(option.choices) for option in self.options)

    @property
    def is_replaced(self) -> bool:
        """Whether some of its items name what replaces them."""
        return self.replaced_by is not None or any(
            choice.replaced_by for option in self.options for choice in option.choices
        )

    def tells(self, trait: str) -> bool:
        """Whether each of its items has the trait."""
        return trait in self.traits or any(
            option.name == trait or all(trait in choice.traits for choice in option.choices) for option in self.options
        )

    def gives(self, dimension: str) -> bool:
        """Tell whether each of its items has the dimension, fixed or cut to measure."""
        return (
            dimension in self.dimensions
            or (self.cut is not None and self.cut.dimension == dimension)
            or any(all(dimension in choice.dimensions for choice in option.choices) for option in self.options)
        )

    def lacking(self, dimension: str) -> str:
        """Say, in brackets, which values of an option lack a dimension that others give; nothing if none gives it."""
        for option in self.options:
            lacking = [choice.value for choice in option.choices if dimension not in choice.dimensions]
            if len(lacking) < len(option.choices):
                return f" (given by the option `{option.name}`, but not for {listing(lacking, 4)})"
        return ""

    def given(self) -> set[str]:
        """Return the dimensions that some of its items have."""
        choices = (choice for option in self.options for choice in option.choices)
        cut = {self.cut.dimension} if self.cut else set()
        return cut.union(self.dimensions, *(choice.dimensions for choice in choices))

    def says(self, trait: str) -> bool:
        """Tell whether each of its items has the trait."""
        return trait in self.traits or any(
            all(trait in choice.traits for choice in option.choices) for option in self.options
        )

    def trait_names(self) -> list[str]:
        """Return the traits that some of its items have, options among them."""
        choices = [choice for option in self.options for choice in option.choices]
        return list(dict.fromkeys([*self.traits, *(trait for choice in choices for trait in choice.traits)]))

    def items(self) -> Iterator[Part]:
        """Yield the items; those alike in every dimension share one design."""
        shaping = [index for index, option in enumerate(self.options) if option.shapes]
        designs: dict[tuple[str, ...], Design] = {}
        features: dict[tuple[object, ...], Feature] = {}
        names = [option.name for option in self.options]
        for chosen in product(*(option.choices for option in self.options)):
            shape = tuple([chosen[index].value for index in shaping])
            design = designs.get(shape)
            if design is None:
                design = designs[shape] = self._design([chosen[index] for index in shaping], features)
            yield self._item(names, chosen, design)

    def _design(self, chosen: list[Choice], made: dict[tuple[object, ...], Feature]) -> Design:
        dimensions = dict(self.dimensions)
        for choice in chosen:
            dimensions.update(choice.dimensions)
        features = dict(self.features)
        for name, borrowed in self.borrows.items():
            lent = {dimension: dimensions[dimension] for dimension in borrowed}
            key = (name, *lent.values())
            if key not in made:
                own = self.features[name]
                made[key] = replace(own, dimensions={**own.dimensions, **lent})
            features[name] = made[key]
        return Design(self.kind, dimensions, features, self.cut)

    def _item(self, names: list[str], chosen: tuple[Choice, ...], design: Design) -> Part:
        if not chosen:
            return Part(
                self.code.literals[0],
                self.title.literals[0],
                design,
                self.traits,
                self.price,
                self.status,
                self.replaced_by.fill({}) if self.replaced_by else None,
                self.caution,
                self.marks,
                self.source,
            )
        traits, marks = dict(self.traits), self.marks
        price, surcharge, status = self.price, 0, self.status
        replaced_by, cautions = self.replaced_by, [self.caution] if self.caution else []
        codes, titles = {}, {}
        for name, choice in zip(names, chosen, strict=True):
            codes[name], titles[name] = choice.code, choice.title
            traits.update(choice.traits)
            surcharge += choice.surcharge
            if choice.price is not None:
                price = choice.price
            if choice.marks:
                marks = {**marks, **choice.marks}
            status = choice.status or status
            replaced_by = choice.replaced_by or replaced_by
            if choice.caution:
                cautions.append(choice.caution)
        return Part(
            self.code.fill(codes),
            self.title.fill(titles),
            design,
            traits,
            price + surcharge,
            status,
            replaced_by.fill(codes) if replaced_by else None,
            " ".join(cautions) or None,
            marks,
            self.source,
        )
