"""The answer to a question, as data. The prose and the JSON are both made from it, and from nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from ..solver.application import Application
from ..solver.finding import Finding, Verdict
from ..solver.length import Length, Unit
from ..solver.part import STATUSES, Part
from .changed import Changed
from .refusal import Refusal
from .status import Status

Outcome = Literal["fits", "fits if selected", "does not fit", "error", "stopped"]
"""The words that an answer's first line may consist of."""

Cell = str | int | None
Row = Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a bill: so many of a part in a position, cut to a length. What is in hand is not `bought`.

    A part that is cut to measure has no `cut` as long as the job leaves open what its length depends on.
    """

    position: str
    part: Part
    quantity: int
    cut: Length | None
    bought: bool

    @property
    def price(self) -> int:
        """What all of them cost, in hundredths of the currency."""
        return self.part.price * self.quantity if self.bought else 0


@dataclass(frozen=True, slots=True)
class Shown:
    """An assembly with its bill and everything that was found on it.

    `share` is the expected part of such assemblies that fit, `shortfall` how far beyond a limit the worst
    of them is.
    """

    lines: tuple[Line, ...]
    findings: tuple[Finding, ...]
    verdict: Verdict
    share: float
    shortfall: Length

    @property
    def status(self) -> str:
        """The least welcome status of the parts to buy."""
        bought = [line.part.status for line in self.lines if line.bought]
        return max(bought, key=STATUSES.index, default=STATUSES[0])

    @property
    def cost(self) -> int:
        """What the parts to buy cost, in hundredths of the currency."""
        return sum(line.price for line in self.lines)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a question brought.

    `outcome` is None where there is nothing to fit (lists, help). `message` holds sentences. `count` is exact.
    `first` is the number of the first assembly shown. `rows` are a table whose columns are the keys of its first
    row. `refusal` says why there is no answer, `changed` what an assembly was changed into. `unstated` says what the
    job leaves open, each with the checks that were therefore not made. `detail` is how much the prose shows of each
    assembly.
    """

    question: str
    outcome: Outcome | None
    message: tuple[str, ...] = ()
    count: int | None = None
    assemblies: tuple[Shown, ...] = ()
    first: int = 1
    detail: Literal["table", "summary", "findings", "faults"] = "table"
    rows: tuple[Row, ...] = ()
    refusal: Refusal | None = None
    changed: Changed | None = None
    unstated: Mapping[str, tuple[str, ...]] | None = None
    cautions: tuple[str, ...] = ()
    application: Application | None = None
    unit: Unit = "in"
    currency: str = ""
    status: Status = Status.YES
