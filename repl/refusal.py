"""Why a job, or something asked of it, has no answer: the reason and the ways out, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..solver.reason import Reason

if TYPE_CHECKING:
    from .answer import Shown


@dataclass(frozen=True, slots=True)
class Way:
    """A changed job that has answers: which statements are left `out`, which are put `into` it, and what it brings."""

    out: tuple[str, ...]
    into: tuple[str, ...]
    count: int
    best: Shown

    @property
    def changes(self) -> int:
        """How many statements differ: one that is replaced counts once."""
        return max(len(self.out), len(self.into))


@dataclass(frozen=True, slots=True)
class Refusal:
    """What can't hold together. `asked` is what was asked beside the job's own statements, empty for the job itself.
    `again` is the question for the next reason.

    `number` is the reason's; each has checks that no earlier one has. `more` says whether another one stands beside
    it, `apart`, with no member in common, or `sharing statements` with it.
    `tried` says what was looked for in vain. The prose shows the numbers and the ways out where it is `full`.
    """

    reason: Reason
    asked: str = ""
    again: str = ""
    number: int = 1
    more: Literal["apart", "sharing statements"] | None = None
    ways: tuple[Way, ...] = ()
    tried: tuple[str, ...] = ()
    detail: Literal["short", "full"] = "full"
