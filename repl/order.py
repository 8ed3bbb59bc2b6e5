"""The orders in which assemblies can be put and numbered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..solver.application import Position
from ..solver.choice import Parts
from ..solver.part import Part
from ..solver.ranking import Leads
from ..solver.setting import Setting
from .near import natural

STATUS, PRICE = "status", "price"


@dataclass(frozen=True, slots=True)
class Order:
    """What counts first, before stock status and price: nothing, the price, or the code in a position."""

    by: str = STATUS

    @property
    def words(self) -> str:
        """How the assemblies are put, for after `by`."""
        return (
            "stock and price" if self.by == STATUS else "price" if self.by == PRICE else f"{self.by}, stock and price"
        )

    def leads(self, setting: Setting) -> Leads:
        """Return the weights that count first."""
        if self.by == STATUS:
            return {}
        positions = setting.application.positions
        if self.by == PRICE:
            return {name: _price(position, setting) for name, position in positions.items() if not position.host}
        return {self.by: _codes(positions[self.by], setting)}


PREFERENCE = Order()
"""Stock status, then price."""


def _price(position: Position, setting: Setting) -> Callable[[Parts], int]:
    """Weigh parts by what those of them cost that are not in hand."""
    kept = frozenset(setting.kept)
    return lambda parts: sum([part.price for part in parts if part.code not in kept]) * position.quantity


def _codes(position: Position, setting: Setting) -> Callable[[Parts], int]:
    """Weigh fillings as lists of codes, numbers in them as numbers: an empty place comes before any."""
    codes = sorted(setting.catalog.parts, key=lambda code: (natural(code), code))
    ranks = {code: rank for rank, code in enumerate(codes, 1)}
    bits = len(ranks).bit_length()

    def weigh(parts: Parts) -> int:
        digits = 0
        for rank in sorted([ranks[part.code] for part in parts]):
            digits = digits << bits | rank
        return digits << bits * ((position.up_to or 1) - len(parts))

    return weigh


def led_by(position: str, part: Part | None) -> Leads:
    """Return the weights that put assemblies with a part in a position (None: with nothing there) before others."""
    return {position: lambda parts: int(bool(parts) if part is None else part not in parts)}
