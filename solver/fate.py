"""What becomes of every part when one assembly is changed into another: it stays, moves, is cut, goes or comes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from .application import Application
from .held import Held
from .length import Length
from .nearest import Near
from .part import Part


@dataclass(frozen=True, slots=True)
class Fate:
    """So many pieces of a part that stood in the position `old`, if any, and stand in the position `new`, if any.

    `was` is the length that they were cut to, `cut` the one that they are cut to now.
    """

    part: Part
    pieces: int
    old: str | None
    new: str | None
    was: Length | None = None
    cut: Length | None = None
    host: bool = False

    @property
    def shortened(self) -> bool:
        """Whether they are cut shorter than they were."""
        return self.was is not None and self.cut is not None and self.cut < self.was

    @property
    def word(self) -> Literal["stays", "is cut", "moves", "goes", "comes"]:
        """What becomes of them, in a word."""
        if self.old is None:
            return "comes"
        if self.new is None:
            return "goes"
        return "is cut" if self.shortened else "stays" if self.old == self.new else "moves"


def fates(held: Sequence[Held], near: Near, application: Application) -> list[Fate]:
    """Return what becomes of each part: what stays in place is told before what moves, and that before what comes."""
    left = Counter({each: each.pieces for each in held})
    bill = near.assembly.bill(application)
    wanting = [pieces for _, _, pieces in bill]
    hosts = {name for name, position in application.positions.items() if position.host}
    cuts = near.assembly.cuts
    found: list[Fate] = []
    for in_place in (True, False):
        for place, (name, part, _) in enumerate(bill):
            for each in _same(left, part, near.reused.get(name)):
                number = min(left[each], wanting[place])
                if number and (each.position == name if in_place else not each.host and name not in hosts):
                    left[each] -= number
                    wanting[place] -= number
                    found.append(Fate(part, number, each.position, name, each.cut, cuts.get(name), name in hosts))
    for (name, part, _), number in zip(bill, wanting, strict=True):
        if number:
            found.append(Fate(part, number, None, name, None, cuts.get(name), name in hosts))
    gone = [(each, number) for each, number in left.items() if number]
    return [*found, *(Fate(each.part, number, each.position, None, each.cut, None, each.host) for each, number in gone)]


def _same(held: Counter[Held], part: Part, reused: Held | None) -> Iterator[Held]:
    """Yield what is there that can be the part: the one that was cut, or those that were not."""
    for each in held:
        if each == reused if reused else each.part is part and each.cut is None:
            yield each
