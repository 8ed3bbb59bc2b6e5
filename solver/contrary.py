"""Readers turned round: what they refuse is what is searched for."""

from __future__ import annotations

from typing import Any

from .run import DEAD, Run
from .stack_run import StackRun
from .tally import Tally

LOST = object()
"""The state of a run that can no longer be completed, which is as it should be here."""


class ContraryRun(Run):
    """Accepts what another run refuses, which has been prepared for every reading that there can be."""

    def __init__(self, run: Run) -> None:
        super().__init__(run.positions)
        self._run = run

    def start(self) -> Any:
        """Return where the other starts."""
        return self._run.start()

    def step(self, state: Any, position: str, reading: Any) -> Any:
        """Go along with the other, and stay where it is dead."""
        following = LOST if state is LOST else self._run.step(state, position, reading)
        return LOST if following is DEAD else following

    def accepts(self, state: Any) -> bool:
        """Tell whether the other does not."""
        return state is LOST or not self._run.accepts(state)


class ContraryStackRun(StackRun):
    """Accepts the tallies that another stack run refuses."""

    monotone = False

    def __init__(self, run: StackRun) -> None:
        self.__dict__.update(run.__dict__)

    def accepts(self, total: Tally) -> bool:
        """Tell whether the other does not."""
        return not super().accepts(total)
