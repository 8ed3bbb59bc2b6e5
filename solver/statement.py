"""The facts of a job, each of which can be dropped, undone or blamed."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field
from typing import Any

from .application import Position
from .catalog import Catalog
from .check import Tokens
from .length import Length
from .part import Part
from .span import Span

OPENING_TRAITS = ("hand", "material", "fire", "egress", "preparation")
"""What can be said of an opening besides its thickness."""


@dataclass(frozen=True, slots=True)
class Sieve:
    """A test that is true of what is ruled out: of the value of a trait that a part has, or of the part itself.

    One that is `of_bought` parts spares those in hand. `codes`: the parts, where it rules out those with these codes.
    """

    trait: str | None
    test: Callable[[Any], bool]
    of_bought: bool = False
    codes: tuple[str, ...] | None = None

    def refuses(self, part: Part) -> bool:
        """Tell whether a part that would have to be bought is ruled out."""
        if self.trait is None:
            return self.test(part)
        return self.trait in part.traits and self.test(part.traits[self.trait])


@dataclass(frozen=True, slots=True)
class Statement:
    """A fact that the user stated; `text` is how."""

    text: str = field(default="", kw_only=True)

    def __str__(self) -> str:
        return self.text or repr(self)

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Return what the fact rules out in this position; None where it rules out nothing."""
        return None


@dataclass(frozen=True, slots=True)
class Use(Statement):
    """Which application the job is about."""

    application: str


@dataclass(frozen=True, slots=True)
class Door(Statement):
    """How thick the door is, as measured."""

    thickness: Span


@dataclass(frozen=True, slots=True)
class OpeningIs(Statement):
    """A trait of the opening: hand, material, fire label, egress side, preparation."""

    trait: str
    values: Tokens


@dataclass(frozen=True, slots=True)
class Into(Statement):
    """Which lock body or housing receives the assembly."""

    code: str

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Only the named host may stand in the host's position."""
        return Sieve(None, lambda part: part.code != self.code) if position.host else None


@dataclass(frozen=True, slots=True)
class Want(Statement):
    """A trait that every bought part which has it must take from these values.

    A trait that applies to visible parts is asked of visible positions only.
    """

    trait: str
    values: Tokens

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Refuse a part that has the trait with none of the values."""
        if position.host or (catalog.traits[self.trait].visible and not position.visible):
            return None
        return Sieve(self.trait, frozenset(self.values).isdisjoint, of_bought=True)


@dataclass(frozen=True, slots=True)
class Measure(Statement):
    """A dimension that the part in a position must have, if it has it at all: nominally within the span.

    A part that is cut to measure is cut to a length within it.
    """

    position: str
    dimension: str
    span: Span

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Refuse a part that has the dimension otherwise, or can't be cut to it."""
        return Sieve(None, self._refuses) if position.name == self.position else None

    def _refuses(self, part: Part) -> bool:
        design = part.design
        if design.cut and design.cut.dimension == self.dimension:
            return design.cut.between(self.span.low, self.span.high) is None
        had = design.dimensions.get(self.dimension)
        return had is not None and not self.admits(had.nominal)

    def admits(self, length: Length) -> bool:
        """Tell whether a nominal length is one that is asked for."""
        return self.span.low <= length <= self.span.high


@dataclass(frozen=True, slots=True)
class Keep(Statement):
    """Parts in hand that must be used."""

    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Used(Statement):
    """Parts that must be used, and are bought like any other."""

    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Without(Statement):
    """Parts that must not be used."""

    codes: tuple[str, ...]

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Refuse the named parts."""
        return Sieve(None, lambda part: part.code in self.codes, codes=self.codes)


@dataclass(frozen=True, slots=True)
class WithoutTrait(Statement):
    """Trait values that no bought part may have."""

    trait: str
    values: Tokens

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Refuse a part that has one of the values."""
        unwanted = frozenset(self.values)
        return None if position.host else Sieve(self.trait, lambda had: not unwanted.isdisjoint(had), of_bought=True)


@dataclass(frozen=True, slots=True)
class OfStatus(Statement):
    """Every bought part must be of one of these stock statuses."""

    statuses: tuple[str, ...]

    def sieve(self, catalog: Catalog, position: Position) -> Sieve | None:
        """Refuse a part of any other status."""
        return None if position.host else Sieve(None, lambda part: part.status not in self.statuses, of_bought=True)


@dataclass(frozen=True, slots=True)
class Selective(Statement):
    """Assemblies that fit if parts are selected are welcome too."""


def subject(said: Statement) -> Hashable:
    """Return what a statement is about; a later one about the same takes its place. None: it stands beside others."""
    if isinstance(said, OpeningIs):
        return said.trait
    if isinstance(said, Measure):
        return said.position, said.dimension
    return type(said).__name__ if isinstance(said, Use | Door | Into | Selective) else None


def in_force(statements: Iterable[Statement]) -> tuple[Statement, ...]:
    """Return what stands: a later statement takes the place of an earlier one about the same."""
    last: dict[Hashable, Statement] = {}
    for said in statements:
        about = subject(said)
        key: Hashable = id(said) if about is None else about
        last.pop(key, None)
        last[key] = said
    return tuple(last.values())
