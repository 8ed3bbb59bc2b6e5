"""What to say when nothing fits: the first statement after which nothing was left, and whether selecting would help."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from ..solver.setting import JobError
from ..solver.statement import Selective, Statement, Use
from ..solver.watch import OutOfTime
from .answer import Answer
from .job import Job
from .wording import counted


def nothing(job: Job, question: str) -> Answer:
    """Return the answer to a question on a job without assemblies."""
    try:
        message = (_blame(job), *_way_out(job))
    except OutOfTime:
        message = ("the time was over before the reason was found",)
    return replace(job.answer(question, "does not fit"), count=0, message=message)


def _blame(job: Job) -> str:
    # The application comes first, since nothing can be asked before it; so does what only ever adds assemblies.
    first = [said for said in job.statements if isinstance(said, Use | Selective)]
    order = first + [said for said in job.statements if said not in first]
    # Each further statement only takes assemblies away, so the first to leave none can be found by halving.
    at = bisect_left(range(len(first), len(order)), True, key=lambda size: not _left(job, order[:size]))
    if at == 0:
        return f"the catalog holds nothing that goes together for the application {job.application.name}"
    blamed, before = order[len(first) + at - 1], job.having(order[: len(first) + at - 1])
    return f"nothing is left after `{blamed.text}`; before it, {_before(before)}"


def _left(job: Job, statements: Sequence[Statement]) -> bool:
    try:
        return job.having(statements).answers.exist
    except JobError:  # a job so open that it can't be asked has not run out of assemblies
        return True


def _before(job: Job) -> str:
    try:
        return counted(job.answers.count(), "assembly fits", "assemblies fit")
    except JobError:
        return "more fit than can be counted"


def _way_out(job: Job) -> tuple[str, ...]:
    if job.setting.selective:
        return ()
    number = job.having((*job.statements, Selective(text="selective"))).answers.count()
    if not number:
        return ()
    return (
        f"{counted(number, 'assembly fits', 'assemblies fit')} if parts are selected: add `selective` to accept that",
    )
