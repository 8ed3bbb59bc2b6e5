"""The run of a stack, or of several that share a cut dimension: sums are carried from part to part."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from .application import OPENING, Stack
from .check import Demand
from .cutting import Window
from .part import Cut, Part
from .run import Run
from .setting import Setting
from .span import Span


class _Reading(NamedTuple):
    present: bool
    adds: tuple[int, ...]
    cut: Cut | None = None


class _State(NamedTuple):
    """What is left of each demand so far (None: its stack is not read), and the cut part that was met."""

    sums: tuple[int | None, ...]
    cut: Cut | None = None


class StackRun(Run):
    """State: the sums so far. Reading of a position: whether it is filled, what it adds, how it can be cut."""

    def __init__(self, setting: Setting, stacks: Sequence[Stack], cut_position: str | None) -> None:
        demands = [(stack, demand) for stack in stacks for demand in stack.gap.demands()]
        self._stacks = [stack for stack, _ in demands]
        self._demands = [demand for _, demand in demands]
        self._selective = setting.selective
        self.cut_position = cut_position
        owners = {ref.owner for demand in self._demands for _, ref in demand.terms}
        conditions = {name for stack in stacks for name in (*stack.when, *stack.unless)}
        super().__init__([name for name in setting.application.positions if name in owners | conditions])
        self._start = _State(
            tuple(self._worst(demand, OPENING, setting.opening, None) + demand.constant for demand in self._demands)
        )
        self._unread = (None,) * len(self._demands)

    def _worst(self, demand: Demand, position: str, part: Part, cut: Cut | None) -> int:
        spans = [
            part.design.dimensions[ref.name] * factor
            for factor, ref in demand.terms
            if ref.owner == position and not (cut and cut.dimension == ref.name)
        ]
        total = Span.total(spans)
        return total.high if self._selective else total.low

    def read(self, position: str, part: Part) -> _Reading:
        """Return what the part adds to each demand, the cut dimension apart."""
        cut = part.design.cut if position == self.cut_position else None
        return _Reading(True, tuple(self._worst(demand, position, part, cut) for demand in self._demands), cut)

    def gather(self, position: str, readings: tuple[Any, ...]) -> _Reading:
        """Repeated parts add up; an absent position adds nothing."""
        adds = tuple(sum(column) for column in zip(*(reading.adds for reading in readings), strict=True))
        return _Reading(bool(readings), adds or (0,) * len(self._demands), readings[0].cut if readings else None)

    def start(self) -> _State:
        """The constants and what the opening adds."""
        return self._start

    def step(self, state: Any, position: str, reading: Any) -> _State:
        """Add up, and drop the stacks that are not read with this position filled or absent."""
        sums = tuple(
            None if done is None or position in (stack.unless if reading.present else stack.when) else done + add
            for done, add, stack in zip(state.sums, reading.adds, self._stacks, strict=True)
        )
        return _State(sums, None if sums == self._unread else state.cut or reading.cut)

    def accepts(self, state: Any) -> bool:
        """No demand may be short; where something is cut, one length must satisfy them all."""
        if state.cut is None:
            return all(left is None or left >= 0 for left in state.sums)
        return bool(
            Window.of(
                state.cut,
                self._selective,
                [
                    (left, self._factor(demand, state.cut))
                    for left, demand in zip(state.sums, self._demands, strict=True)
                    if left is not None
                ],
            )
        )

    def _factor(self, demand: Demand, cut: Cut) -> int:
        return sum(
            factor for factor, ref in demand.terms if ref.owner == self.cut_position and ref.name == cut.dimension
        )

    def steps(
        self, states: Sequence[Any], position: str, readings: Sequence[Any], last: bool
    ) -> Iterator[tuple[int, int, Any]]:
        """At the last position, look up how much is needed instead of trying every sum."""
        plain = all(reading.cut is None for reading in readings) and all(state.cut is None for state in states)
        conditional = any(stack.when or stack.unless for stack in self._stacks)
        if not last or not plain or conditional:
            yield from super().steps(states, position, readings, last)
            return
        order = sorted(range(len(readings)), key=lambda j: readings[j].adds[0])
        firsts = [readings[j].adds[0] for j in order]
        done = _State(self._unread)
        for i, state in enumerate(states):
            for j in order[bisect_left(firsts, -state.sums[0]) :]:
                if all(left + add >= 0 for left, add in zip(state.sums, readings[j].adds, strict=True)):
                    yield i, j, done


def stack_runs(setting: Setting, cut_parts: Mapping[str, set[str]]) -> Iterator[StackRun]:
    """Yield a run for each stack; stacks that read the same cut dimension share one.

    `cut_parts` names, for each position, the dimensions that some part there is cut in.
    """
    shared: dict[str, list[Stack]] = {}
    for stack in setting.stacks:
        cuts = {ref.owner for ref in stack.gap.refs() if ref.name in cut_parts.get(ref.owner, ())}
        if cuts:
            shared.setdefault(min(cuts), []).append(stack)
        else:
            yield StackRun(setting, [stack], None)
    for position, stacks in shared.items():
        yield StackRun(setting, stacks, position)
