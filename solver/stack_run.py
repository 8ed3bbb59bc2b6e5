"""How stacks are read along the positions: each adds its tally, and the whole must meet every demand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from .application import OPENING, Stack
from .check import Demand
from .cutting import Window
from .part import Cut, Part
from .run import Reader
from .setting import Setting
from .tally import Tally


class StackRun(Reader):
    """A stack, or several that read the same cut dimension. What a part reads as is its tally, in the worst case.

    Where parts may be selected, the best case takes its place.
    """

    of_shape = True

    monotone = True
    """Whether more is never refused where less is accepted."""

    def __init__(self, setting: Setting, stacks: Sequence[Stack], cut_position: str | None) -> None:
        self.stacks = tuple(stacks)
        demands = [(stack, demand) for stack in stacks for demand in stack.gap.demands()]
        self._owners = [stack for stack, _ in demands]
        self._demands = [demand for _, demand in demands]
        self._selective, self._setting = setting.selective, setting
        self.cut_position = cut_position
        owners = {ref.owner for demand in self._demands for _, ref in demand.terms}
        conditions = {name for stack in stacks for name in (*stack.when, *stack.unless)}
        super().__init__([name for name in setting.application.positions if name in owners | conditions])
        self.start = self.begun(setting.opening)

    def begun(self, opening: Part) -> Tally:
        """Return what the opening and the constants add; a stack that reads what it does not have is left open."""
        known = opening.design.dimensions
        unread = {
            stack.name
            for stack in self.stacks
            if any(ref.owner == OPENING and ref.name not in known for ref in stack.gap.refs())
        }
        return Tally(
            tuple(
                None if stack.name in unread else self._share(demand, OPENING, opening, None) + demand.constant
                for stack, demand in zip(self._owners, self._demands, strict=True)
            )
        )

    def _share(self, demand: Demand, position: str, part: Part, cut: Cut | None) -> int:
        return demand.share(position, part.design.dimensions, self._selective, cut.dimension if cut else None)

    def read(self, position: str, part: Part) -> Tally:
        """Return what the part adds to each demand, the cut dimension apart."""
        cut = self._setting.cut(position, part) if position == self.cut_position else None
        return Tally(tuple(self._share(demand, position, part, cut) for demand in self._demands), cut)

    def gather(self, position: str, readings: tuple[Tally, ...]) -> Tally:
        """Return what a filled or absent position adds: stacks that are not read with it are dropped."""
        total = Tally.total((Tally((0,) * len(self._demands)), *readings))
        sums = [
            None if position in (stack.unless if readings else stack.when) else left
            for left, stack in zip(total.sums, self._owners, strict=True)
        ]
        return Tally(tuple(sums), total.cut)

    def covers(self, position: str, reading: Any, other: Any) -> bool:
        """It leaves every demand as much, and can be cut to every length that the other can."""
        enough = all(new >= old for new, old in zip(reading.sums, other.sums, strict=True))
        return enough and (reading.cut == other.cut or (reading.cut and other.cut and reading.cut.spans(other.cut)))

    def accepts(self, total: Tally) -> bool:
        """No demand may be short; where something is cut, one length must satisfy them all."""
        if total.cut is None:
            return all(left is None or left >= 0 for left in total.sums)
        demands = [
            (left, self._factor(demand, total.cut))
            for left, demand in zip(total.sums, self._demands, strict=True)
            if left is not None
        ]
        return bool(Window.of(total.cut, self._selective, demands))

    def _factor(self, demand: Demand, cut: Cut) -> int:
        return sum(
            factor for factor, ref in demand.terms if ref.owner == self.cut_position and ref.name == cut.dimension
        )


def stack_runs(
    setting: Setting, cut_parts: Mapping[str, set[str]], stacks: Sequence[Stack] | None = None
) -> Iterator[StackRun]:
    """Yield a run for each of the stacks (if not said, those that can be read); a cut dimension has one for all.

    `cut_parts` names, for each position, the dimensions that some part there is cut in.
    """
    shared: dict[str, list[Stack]] = {}
    for stack in setting.stacks if stacks is None else stacks:
        cuts = {ref.owner for ref in stack.gap.refs() if ref.name in cut_parts.get(ref.owner, ())}
        if cuts:
            shared.setdefault(min(cuts), []).append(stack)
        else:
            yield StackRun(setting, [stack], None)
    for position, own in shared.items():
        yield StackRun(setting, own, position)
