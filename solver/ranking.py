"""What a buyer would rather have, as one number for each filling of a position."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from .choice import Parts
from .setting import Setting

Leads = Mapping[str, Callable[[Parts], int]]
"""What counts before the preference: for some positions, a weight, not below 0, of the parts there."""


class Ranking:
    """Weights that add up over the positions, the less the better, no two assemblies with the same sum.

    First count the `leads`, where there are any, then the preference (stock status, then price) of what is bought.
    Among equals the parts decide, position by position: an empty place before any part, the preferred part before
    another, and then the codes; so the order depends on nothing but the catalog and the job.
    """

    def __init__(self, setting: Setting, leads: Leads | None = None) -> None:
        self._setting = setting
        self._leads = leads or {}
        self._ranks = setting.catalog.ranks
        self._bits = len(self._ranks).bit_length()
        self._shifts: dict[str, int] = {}
        shift = 0
        for name, position in reversed(list(setting.application.positions.items())):
            self._shifts[name] = shift
            shift += self._bits * (position.up_to or 1)
        self._ties = shift
        self._below_leads = shift + self._bits_of_preference() if leads else 0

    def weigh(self, position: str, parts: Parts) -> int:
        """Return the weight of these parts in the position."""
        place = self._setting.application.positions[position]
        weight = self.joined(sum([self._setting.preference(place, part) for part in parts]), position, parts)
        lead = self._leads.get(position)
        return lead(parts) << self._below_leads | weight if lead else weight

    def joined(self, weight: int, position: str, parts: Parts) -> int:
        """Return a weight with what decides among equals behind it."""
        digits = 0
        for number in sorted([self._ranks[part.code] + 1 for part in parts]):
            digits = digits << self._bits | number
        most = self._setting.application.positions[position].up_to or 1
        return weight << self._ties | digits << self._bits * (most - len(parts)) + self._shifts[position]

    def weight(self, joined: int) -> int:
        """Return the weight within a sum of joined ones, without leads."""
        return joined >> self._ties

    def _bits_of_preference(self) -> int:
        """Return how many bits hold the preference of any assembly."""
        places = sum(place.quantity * (place.up_to or 1) for place in self._setting.application.positions.values())
        most = max((part.preference for part in self._setting.catalog.parts.values()), default=0)
        return (most * places).bit_length()
