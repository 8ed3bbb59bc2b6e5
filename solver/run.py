"""A run: how one joint, stack, rule or demand of a job is read along the positions, one after another.

Each run carries a state. At each position it reads the part standing there, as little of it as it needs, and steps
to the next state or to none. Parts that every run reads alike are interchangeable. The network turns runs into
tables; nothing else knows what a joint or a stack is.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import Any

from .part import Part

DEAD = object()
"""The state of a run that can't be completed."""


class Reader:
    """What a joint, stack, rule or demand of a job reads of the parts in its positions."""

    by_code = False
    """Whether a reading depends on the part's code."""

    of_shape = False
    """Whether joints and stacks are read, and not how the part looks or is called."""

    doubts = False
    """Whether a reading may be `impossible`."""

    def __init__(self, positions: Sequence[str]) -> None:
        self.positions = tuple(positions)

    def trait_names(self, position: str) -> Iterable[str]:
        """Return the traits that the reading of a part in this position may depend on."""
        return ()

    def read(self, position: str, part: Part) -> Any:
        """Return what is seen of a part here; it depends on its design and `trait_names` (`by_code`: code)."""
        raise NotImplementedError

    def gather(self, position: str, readings: tuple[Any, ...]) -> Hashable:
        """Return the reading of a position from those of its parts; there are none where it is absent."""
        return readings

    def impossible(self, position: str, reading: Any) -> bool:
        """Tell whether a reading can already be seen to go with nothing."""
        return False

    def covers(self, position: str, reading: Any, other: Any) -> bool:
        """Tell whether a part's reading plainly goes wherever the other does, whatever stands in other positions.

        What is not seen to may do so all the same.
        """
        return bool(reading == other)


class Run(Reader):
    """A reader that steps from position to position; every subclass says how."""

    def impossible(self, position: str, reading: Any) -> bool:
        """A step that is dead from the start stays so, where order does not matter."""
        start = self.start()
        return self.doubts and (start is DEAD or self.step(start, position, reading) is DEAD)

    def start(self) -> Any:
        """Return the state before the first position."""
        raise NotImplementedError

    def step(self, state: Any, position: str, reading: Any) -> Any:
        """Return the state after a position, or DEAD."""
        raise NotImplementedError

    def accepts(self, state: Any) -> bool:
        """Tell whether the state after the last position is a good one."""
        return True

    def prepare(self, readings: dict[str, list[Any]]) -> None:
        """Take note of every reading that will be met."""

    def steps(
        self, states: Sequence[Any], position: str, readings: Sequence[Any], last: bool
    ) -> Iterator[tuple[int, int, Any]]:
        """Yield (number of state, number of reading, next state) for every step that is not dead.

        Where it is the `last`, only accepted ones need be yielded.
        """
        for i, state in enumerate(states):
            for j, reading in enumerate(readings):
                following = self.step(state, position, reading)
                if following is not DEAD and (not last or self.accepts(following)):
                    yield i, j, following
