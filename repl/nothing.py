"""What to say when nothing fits: the first statement after which nothing was left, and whether selecting would help."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from ..solver.reason import cores, reason_of
from ..solver.setting import JobError
from ..solver.soft import SoftNetwork
from ..solver.span import Span
from ..solver.statement import Door, Selective, Statement, Use
from ..solver.watch import OutOfTime
from .answer import Answer
from .job import Job
from .refusal import Refusal


def nothing(job: Job, question: str) -> Answer:
    """Return the answer to a question on a job without assemblies."""
    refusal = None
    try:
        said, blame = _blame(job)
        message = (blame, *_way_out(job))
        refusal = _refusal(said) or _refusal(job)
    except OutOfTime:
        message = ("the time was over before the reason was found",)
    return replace(job.answer(question, "does not fit"), count=0, message=message, refusal=refusal)


def _refusal(job: Job) -> Refusal | None:
    """Return the reason in short; None where none was verified."""
    try:
        soft = SoftNetwork(job.setting, job.watch)
    except JobError:  # with its statements left out the job is too open to be asked
        return None
    core = next(cores(soft), ())
    found = reason_of(soft, core)
    return Refusal(found, detail="short") if core and found.verified else None


def _blame(job: Job) -> tuple[Job, str]:
    """Return the job as it was said up to the first statement that left nothing, and a line about that statement."""
    # The application comes first, since nothing can be asked before it; so does what only ever adds assemblies.
    first = [said for said in job.statements if isinstance(said, Use | Selective)]
    order = first + [said for said in job.statements if said not in first]
    # Each further statement only takes assemblies away, so the first to leave none can be found by halving.
    at = bisect_left(range(len(first), len(order)), True, key=lambda size: not _left(job, order[:size]))
    if at == 0:
        return job, f"the catalog holds nothing that goes together for the application {job.application.name}"
    *before, last = order[: len(first) + at]
    told = f"nothing is left after `{last.text}`; before it there were assemblies"
    return job.having((*before, last)), told


def _left(job: Job, statements: Sequence[Statement]) -> bool:
    try:
        return job.having(statements).answers.exist
    except JobError:  # a job so open that it can't be asked has not run out of assemblies
        return True


def _way_out(job: Job) -> tuple[str, ...]:
    if job.setting.selective:
        return ()
    ranged = [said for said in job.statements if isinstance(said, Door) and said.thickness.width]
    if ranged and any(_fits_some_door(job, said) for said in ranged):
        return ("no one assembly fits the whole range of the door; some fit some doors in it",)
    if not job.having((*job.statements, Selective(text="selective"))).answers.exist:
        return ()
    of = " and for some of the doors in the range" if ranged else ""
    return (f"some assemblies fit if parts are selected{of}: add `selective` to accept that",)


def _fits_some_door(job: Job, door: Door) -> bool:
    """Tell whether the job has an answer for the nominal, the thinnest or the thickest door of a range."""
    span = door.thickness
    return any(
        job.having(
            replace(door, thickness=Span.exact(length)) if said is door else said for said in job.statements
        ).answers.exist
        for length in (span.nominal, span.low, span.high)
    )
