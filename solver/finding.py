"""What one check found: its numbers, its verdict and where the catalog asks for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, NamedTuple

from .length import Length
from .span import Span

if TYPE_CHECKING:
    from .check import Check, Ref


class Source(NamedTuple):
    """A place in a catalog file; lines count from 1."""

    file: str
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


class Verdict(Enum):
    """How a check came out, from best to worst."""

    FITS = "fits"
    SELECTED = "fits if selected"
    FAILS = "does not fit"

    @property
    def rank(self) -> int:
        """0 for the best verdict, 2 for the worst."""
        return _RANKS[self]


_RANKS = {verdict: rank for rank, verdict in enumerate(Verdict)}


def worst(verdicts: list[Verdict]) -> Verdict:
    """Return the worst of the verdicts; nothing found means that it fits."""
    return max(verdicts, key=lambda verdict: verdict.rank, default=Verdict.FITS)


@dataclass(frozen=True, slots=True)
class Finding:
    """One check on one joint, stack, rule or statement of an assembly.

    `check` is the catalog's check, or the words of a demand that no catalog line makes. `measure` is the quantity
    compared (worst case low..high), `margin` its distance from the nearest limit in the worst case (negative: that
    much is missing); both are None where words are compared, and `compared` then says which. `share` is the
    expected part of assemblies that fit (root-sum-square). `read` are the dimensions that the check read.
    """

    where: str
    check: Check | str
    verdict: Verdict
    because: str
    source: Source | None
    measure: Span | None = None
    margin: Length | None = None
    compared: str = ""
    share: float = 1.0
    read: tuple[tuple[Ref, Span], ...] = ()

    @classmethod
    def fault(cls, where: str, check: str, because: str, source: Source | None = None) -> Finding:
        """Return the finding that something does not fit, where there are no numbers to compare."""
        return cls(where, check, Verdict.FAILS, because, source, share=0.0)
