"""What looks over the solver's shoulder: progress, and a limit on time."""

from __future__ import annotations

from time import monotonic


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
