"""What looks over the solver's shoulder: progress, and a limit on time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from time import monotonic
from typing import TypeVar

Item = TypeVar("Item")


class OutOfTime(Exception):
    """The question took longer than its limit; everything that was there before is as it was."""


class Watch:
    """An observer that does nothing. `tick` is called every thousand or so steps of work."""

    def tick(self) -> None:
        """Note that work goes on; may raise to stop it."""


class Deadline(Watch):
    """Stops the work with `OutOfTime` when `seconds` have passed since it was made."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds
        self._end = monotonic() + seconds

    def tick(self) -> None:
        """Raise `OutOfTime` once the time is over."""
        if monotonic() > self._end:
            raise OutOfTime(f"stopped after {self.seconds:g} s")


def watched(items: Iterable[Item], watch: Watch) -> Iterator[Item]:
    """Yield the items, with a tick every thousand or so."""
    for number, item in enumerate(items):
        if not number & 1023:
            watch.tick()
        yield item
