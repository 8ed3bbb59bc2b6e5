"""A position that can be filled in too many ways: which, in how many, and what would leave fewer."""

from __future__ import annotations

from collections.abc import Iterator
from math import comb

from ..solver.application import Position
from ..solver.part import Part
from ..solver.setting import TooManyWays
from ..solver.shelf import places
from .job import Job
from .near import listing


def told(job: Job, error: TooManyWays) -> str:
    """Write out why a job can't be asked, with the numbers of the position that is too wide."""
    position = job.application.positions[error.position]
    return _wide(position, position.up_to or 1, list(_admitted(job, position)))


def _wide(position: Position, most: int, parts: list[Part]) -> str:
    ways = comb(len(parts) + most, most) - (not position.optional)
    told = f"the position {position.name} can be filled in {ways:,} ways, with up to {most} of {len(parts):,} parts"
    had = {name for part in parts for name in part.traits}
    telling = sorted(name for name in had if len({part.traits.get(name) for part in parts}) > 1)
    if telling:
        return f"{told}: too many; say `want` or `without` with {listing(telling, 'or')}"
    return f"{told}: too many; leave some of them out with `without CODE, ...`"


def _admitted(job: Job, position: Position) -> Iterator[Part]:
    admitted = job.setting.admitted(position)
    for shelf in job.catalog.shelves(position.kinds):
        for place in places(admitted(shelf)):
            yield shelf.parts[place]
