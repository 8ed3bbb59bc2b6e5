"""What must change for a job to be another one: what stays, goes and comes, and in which order to work, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..solver.fate import Fate
from ..solver.length import Length
from ..solver.nearest import Distance
from ..solver.statement import Statement

Work = Literal["take out", "cut", "put in"]
"""What is done in a step."""

Keying = Literal["", "the keys in use", "new keys"]
"""To what a part that is put in must be pinned; empty for one without keys."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work on so many pieces of a part; `cut` is the length that they are cut to."""

    work: Work
    pieces: int
    code: str
    position: str
    cut: Length | None = None
    pinned_to: Keying = ""


@dataclass(frozen=True, slots=True)
class Change:
    """One of the nearest assemblies: what becomes of every part, how far it is, what comes costs, and the steps."""

    fates: tuple[Fate, ...]
    distance: Distance
    cost: int
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Changed:
    """What was asked `to` be so, the `job` with it, what was `left_out` for it, and the nearest assemblies shown."""

    to: tuple[str, ...]
    job: tuple[Statement, ...]
    left_out: tuple[str, ...]
    changes: tuple[Change, ...]
    has_keys: bool
