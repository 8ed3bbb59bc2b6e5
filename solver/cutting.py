"""To which length a part is cut: computed, not tried."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from typing import NamedTuple

from .application import OPENING, Stack
from .assembly import Assembly
from .check import Ref
from .length import Length
from .part import Cut, Part
from .setting import Setting
from .span import Span


class Window(NamedTuple):
    """The lengths low..high, on the cut's steps, that satisfy every demand; empty where low > high."""

    cut: Cut
    low: Length
    high: Length

    @classmethod
    def of(cls, cut: Cut, selective: bool, demands: Iterable[tuple[int, int]]) -> Window:
        """Return the window that `demands` leave: each (left, factor) asks left + factor x length >= 0.

        The cut's own tolerance counts against the demand in the worst case, and for it where parts are selected.
        """
        low, high = cut.low, cut.high
        for left, factor in demands:
            slack = left + abs(factor) * cut.tolerance * (1 if selective else -1)
            if factor > 0:
                low = max(low, -(slack // factor))
            elif factor < 0:
                high = min(high, slack // -factor)
            elif slack < 0:
                high = low - cut.step
        low = cut.low - (cut.low - low) // cut.step * cut.step
        high = cut.low + (high - cut.low) // cut.step * cut.step
        return cls(cut, low, high)

    def __bool__(self) -> bool:
        return self.low <= self.high

    def common(self, other: Window) -> Window:
        """Return the lengths that are in both; empty where there are none."""
        return Window(self.cut, max(self.low, other.low), min(self.high, other.high))

    @property
    def middle(self) -> Length:
        """The step nearest the middle: the most room on both sides; the longer of two, as it can be shortened."""
        steps = (self.high - self.low) // self.cut.step
        return self.low + (steps + 1) // 2 * self.cut.step


def cut_to_fit(setting: Setting, parts: dict[str, tuple[Part, ...]]) -> Assembly:
    """Return the assembly with each cut part at the best length: one that fits, or else one that can.

    Where not every stack can be satisfied outright, as many are as go together, the first ones first. Where no length
    will do, the part's nearest length is taken, so that the judge can say what is wrong.
    """
    cuts = {}
    for position, own in parts.items():
        if own and (cut := setting.cut(position, own[0])):
            possible = Window.of(cut, True, _demands(setting, parts, position, cut, True))
            window = possible
            for demand in _demands(setting, parts, position, cut, False):
                narrower = window.common(Window.of(cut, False, [demand]))
                window = narrower if narrower else window
            cuts[position] = window.middle if window else _nearest(possible)
    return Assembly(parts, cuts)


def window_of(
    setting: Setting,
    parts: dict[str, tuple[Part, ...]],
    position: str,
    cut: Cut,
    selective: bool,
    stacks: Sequence[Stack],
) -> Window:
    """Return the lengths that some of the stacks leave for the part of a position, which may be cut so."""
    return Window.of(cut, selective, _demands(setting, parts, position, cut, selective, stacks))


def _nearest(window: Window) -> Length:
    return max(window.cut.low, min(window.low, window.cut.high - (window.cut.high - window.cut.low) % window.cut.step))


def _demands(
    setting: Setting,
    parts: dict[str, tuple[Part, ...]],
    position: str,
    cut: Cut,
    selective: bool,
    stacks: Sequence[Stack] | None = None,
) -> list[tuple[int, int]]:
    """Return what each demand leaves for the cut part, and the factor that its length counts with."""
    demands = []
    for stack in setting.stacks if stacks is None else stacks:
        if all(parts.get(name) for name in stack.when) and not any(parts.get(name) for name in stack.unless):
            for demand in stack.gap.demands():
                factor = sum(factor for factor, ref in demand.terms if ref == Ref(position, cut.dimension))
                if factor:
                    rest = demand._replace(
                        terms=tuple(term for term in demand.terms if term.ref != Ref(position, cut.dimension))
                    )
                    span = rest.span(partial(_dimension, setting, parts))
                    demands.append((span.high if selective else span.low, factor))
    return demands


def _dimension(setting: Setting, parts: dict[str, tuple[Part, ...]], ref: Ref) -> Span:
    own = (setting.opening,) if ref.owner == OPENING else parts.get(ref.owner, ())
    return Span.total(part.design.dimensions[ref.name] for part in own if ref.name in part.design.dimensions)
