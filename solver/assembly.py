"""One way of putting parts together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

from .application import Application
from .length import Length
from .part import Part


@dataclass(frozen=True, slots=True)
class Assembly:
    """The parts of each position (an absent one has none, a repeated one may have several), and the cut lengths."""

    parts: Mapping[str, tuple[Part, ...]]
    cuts: Mapping[str, Length] = field(default_factory=dict)

    @property
    def all_parts(self) -> tuple[Part, ...]:
        """Every part, in the order of the positions."""
        return tuple(part for parts in self.parts.values() for part in parts)

    def bill(self, application: Application) -> list[tuple[str, Part, int]]:
        """Return (position, part, quantity) for everything in the assembly."""
        return [
            (name, part, count * application.positions[name].quantity)
            for name, parts in self.parts.items()
            for part, count in Counter(parts).items()
        ]
