"""A part as a catalog describes it: its design (shape and mating features) and the orderable items of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from .check import Tokens
from .finding import Source
from .length import Length
from .span import Span

STATUSES = ("stocked", "to order", "discontinued")
"""From the most to the least welcome."""

_OUTWEIGHS = 10**15
"""One part of a worse status weighs more than all prices, and than all parts of better status, of an assembly."""


@dataclass(frozen=True, slots=True)
class Feature:
    """A mating feature: the interface it follows, the side it plays, and what the interface asks for.

    `count` equal features stand side by side (screw holes); a `required` one is a fault when it has no mate.
    """

    name: str
    interface: str
    side: str
    dimensions: Mapping[str, Span]
    tokens: Mapping[str, Tokens]
    count: int = 1
    required: bool = True
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """A dimension that is cut to measure: from `low` to `high` in steps from `low`, each up to `tolerance` off."""

    dimension: str
    low: Length
    high: Length
    step: Length
    tolerance: Length

    def between(self, low: Length, high: Length) -> Cut | None:
        """Return the cut limited to its lengths from `low` to `high`, None where there is none of them."""
        first = self.low + max(0, -((self.low - low) // self.step)) * self.step
        last = self.low + (min(high, self.high) - self.low) // self.step * self.step
        return replace(self, low=first, high=last) if first <= last else None

    def spans(self, other: Cut) -> bool:
        """Tell whether it can be cut to every length that the other can, as closely."""
        return (
            self.dimension == other.dimension
            and self.low <= other.low
            and other.high <= self.high
            and other.step % self.step == (other.low - self.low) % self.step == 0
            and self.tolerance <= other.tolerance
        )


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """What items of one entry share: kind, dimensions, features and cut. Equal only to itself."""

    kind: str
    dimensions: Mapping[str, Span]
    features: Mapping[str, Feature]
    cut: Cut | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """An orderable item. `price` is in hundredths of the catalog's currency; `marks` help to identify it."""

    code: str
    title: str
    design: Design
    traits: Mapping[str, Tokens]
    price: int = 0
    status: str = STATUSES[0]
    replaced_by: str | None = None
    caution: str | None = None
    marks: Mapping[str, str] = field(default_factory=dict)
    source: Source | None = None
    preference: int = field(init=False)
    """What a buyer would rather not have, as one number: worse status first, then the price."""

    def __post_init__(self) -> None:
        rank = STATUSES.index(self.status)
        object.__setattr__(self, "preference", (_OUTWEIGHS**rank if rank else 0) + self.price)

    @property
    def kind(self) -> str:
        """What sort of part it is."""
        return self.design.kind

    def tokens(self, feature: Feature, name: str) -> Tokens:
        """Return a feature's token; one that the feature does not give is the part's trait. Empty: neither has it."""
        return feature.tokens.get(name) or self.traits.get(name, ())

    def __repr__(self) -> str:
        return f"<{self.code}>"
