"""What looks over the solver's shoulder: progress, and a limit on time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from threading import Event
from time import monotonic
from typing import TypeVar

Item = TypeVar("Item")


COURTESY = 0.1
"""Seconds for which work stands still at most, at each tick."""


class OutOfTime(Exception):
    """The question took longer than its limit; everything that was there before is as it was."""


class Interrupted(Exception):
    """The user stopped the question; everything that was there before is as it was."""


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


class Stopwatch(Watch):
    """Stops the work with `OutOfTime` when `seconds` have passed since the last start, with `Interrupted` when told to.

    Without `seconds` the work may take as long as it takes. `stop` may come from any thread, and is for good. While
    `free` is not set the work stands still for a moment: something short is in a hurry.
    """

    def __init__(self, seconds: float | None = None, free: Event | None = None) -> None:
        self.seconds = seconds
        self._free = free
        self._limit = Watch()
        self._stopped = Event()

    def start(self) -> None:
        """Begin to count for a new question."""
        self._limit = Watch() if self.seconds is None else Deadline(self.seconds)

    def stop(self) -> None:
        """Let every tick from now on stop the work."""
        self._stopped.set()

    def tick(self) -> None:
        """Raise `OutOfTime` once the time is over, `Interrupted` once the work is to stop."""
        if self._stopped.is_set():
            raise Interrupted("interrupted")
        if self._free and not self._free.is_set():
            self._free.wait(COURTESY)
        self._limit.tick()


class Relay(Watch):
    """Passes each tick on, for work that outlives a question: `to` is the watch of the one that is being asked."""

    def __init__(self) -> None:
        self.to = Watch()

    def tick(self) -> None:
        """Let the present watch decide."""
        self.to.tick()


def watched(items: Iterable[Item], watch: Watch) -> Iterator[Item]:
    """Yield the items, with a tick every thousand or so."""
    for number, item in enumerate(items):
        if not number & 1023:
            watch.tick()
        yield item
