"""Everything that the loaded catalogs hold, by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from .application import Application
from .check import Check, Tokens
from .finding import Source
from .part import Design, Feature, Part
from .shelf import Shelf
from .span import Span


@dataclass(frozen=True, slots=True)
class Interface:
    """A named way of mating: two sides and the checks between them."""

    name: str
    title: str
    sides: tuple[str, str]
    checks: tuple[Check, ...]
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class TraitValue:
    """A value that a trait may take. Values that share a `symbol` look alike."""

    value: str
    title: str = ""
    symbol: str | None = None


@dataclass(frozen=True, slots=True)
class Trait:
    """A trait that parts may have; with `values` the list is closed. `visible`: wants speak of visible parts only.

    A part that has a `keyed` one is pinned to keys: with another value of it the keys change too.
    One that is not `declared` is an option of some entry, or a word that an interface reads.
    """

    name: str
    title: str = ""
    visible: bool = False
    values: Mapping[str, TraitValue] = field(default_factory=dict)
    keyed: bool = False
    declared: bool = True

    def named(self, word: str) -> Tokens:
        """Return the values that a word stands for: itself, or every value with that symbol."""
        if word in self.values:
            return (word,)
        return tuple(
            value.value
            for value in self.values.values()
            if value.symbol is not None and value.symbol.casefold() == word.casefold()
        )

    def look(self, tokens: Tokens) -> Tokens:
        """Return the tokens with each replaced by its symbol, so that equal looks compare equal."""
        return tuple(
            sorted({self.values[token].symbol or token if token in self.values else token for token in tokens})
        )


@dataclass(frozen=True, slots=True)
class Preparation:
    """A published door preparation: what the opening then offers."""

    name: str
    title: str
    dimensions: Mapping[str, Span]
    features: Mapping[str, Feature]
    source: Source | None = None


@dataclass(frozen=True)
class Catalog:
    """One or several catalogs read together; codes are unique."""

    kinds: Mapping[str, str]
    traits: Mapping[str, Trait]
    interfaces: Mapping[str, Interface]
    preparations: Mapping[str, Preparation]
    applications: Mapping[str, Application]
    parts: Mapping[str, Part]
    currency: str = ""

    @cached_property
    def ranks(self) -> Mapping[str, int]:
        """The place of each code when all parts are put in order of preference, then of the alphabet."""
        ordered = sorted(self.parts.values(), key=lambda part: (part.preference, part.code))
        return {code: place for place, code in enumerate(dict.fromkeys(part.code for part in ordered))}

    @cached_property
    def trait_names(self) -> frozenset[str]:
        """Every trait that some part has."""
        return frozenset().union(*(part.traits for part in self.parts.values()))

    @cached_property
    def values_by_kind(self) -> Mapping[str, Mapping[str, frozenset[str]]]:
        """For each kind of part and each trait that parts of it have, the values that they have."""
        found: dict[str, dict[str, set[str]]] = {}
        for part in self.parts.values():
            own = found.setdefault(part.kind, {})
            for trait, tokens in part.traits.items():
                own.setdefault(trait, set()).update(tokens)
        return {kind: {trait: frozenset(values) for trait, values in own.items()} for kind, own in found.items()}

    @cached_property
    def _shelves(self) -> Mapping[str, list[Shelf]]:
        grouped: dict[str, dict[Design, list[Part]]] = {}
        for part in sorted(self.parts.values(), key=lambda part: (part.preference, part.code)):
            grouped.setdefault(part.kind, {}).setdefault(part.design, []).append(part)
        return {kind: [Shelf(design, parts) for design, parts in own.items()] for kind, own in grouped.items()}

    def parts_of(self, kinds: Iterable[str]) -> Iterator[Part]:
        """Yield the parts of these kinds, kind by kind."""
        for kind in sorted(kinds):
            yield from self._by_kind.get(kind, ())

    @cached_property
    def _by_kind(self) -> Mapping[str, list[Part]]:
        grouped: dict[str, list[Part]] = {}
        for part in self.parts.values():
            grouped.setdefault(part.kind, []).append(part)
        return grouped

    def shelves(self, kinds: Iterable[str]) -> Iterator[Shelf]:
        """Yield a shelf for each design of these kinds."""
        for kind in sorted(kinds):
            yield from self._shelves.get(kind, ())
