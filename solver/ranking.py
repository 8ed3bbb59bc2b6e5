"""What a buyer would rather have, as one number for each filling of a position."""

from __future__ import annotations

from .choice import Parts
from .setting import Setting


class Ranking:
    """Weights that add up over the positions, the less the better, no two assemblies with the same sum.

    First counts the preference (stock status, then price) of what is bought. Among equals the parts decide, position by
    position: an empty place before any part, the preferred part before another, and then the codes; so the order
    depends on nothing but the catalog and the job.
    """

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self._ranks = setting.catalog.ranks
        self._bits = len(self._ranks).bit_length()
        self._shifts: dict[str, int] = {}
        shift = 0
        for name, position in reversed(list(setting.application.positions.items())):
            self._shifts[name] = shift
            shift += self._bits * (position.up_to or 1)
        self._ties = shift

    def weigh(self, position: str, parts: Parts) -> int:
        """Return the weight of these parts in the position."""
        place = self._setting.application.positions[position]
        digits = 0
        for number in sorted([self._ranks[part.code] + 1 for part in parts]):
            digits = digits << self._bits | number
        digits <<= self._bits * ((place.up_to or 1) - len(parts)) + self._shifts[position]
        return sum([self._setting.preference(place, part) for part in parts]) << self._ties | digits

    def preference(self, weight: int) -> int:
        """Return the preference within a sum of weights."""
        return weight >> self._ties
