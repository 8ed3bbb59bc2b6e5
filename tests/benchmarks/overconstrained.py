"""Generated jobs that ask too much, and why nothing fits: by fitwright, each time from the statements on."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from dataclasses import replace
from time import perf_counter

from fitwright.solver.answers import Answers
from fitwright.solver.element import Element
from fitwright.solver.length import MM
from fitwright.solver.reason import cores, reason_of
from fitwright.solver.setting import Setting
from fitwright.solver.soft import SoftNetwork
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Used

from .generate import setting

DEMANDS = ("thick door", "wrong cam")
"""What is asked too much: a door of 90 mm, or a cam that stands in no assembly for the job."""


def overconstrained(kind: str, size: int, demand: str) -> Setting:
    """Return a generated job without answers. ValueError for an unknown demand, or where every cam is in an answer."""
    job = setting(kind, size)
    if demand == "thick door":
        door = Door(Span.plus_minus(90 * MM, MM // 2), text="door 90 mm ± 0.5")
        return replace(job, statements=tuple(door if isinstance(said, Door) else said for said in job.statements))
    if demand == "wrong cam":
        known = Answers(job).choices("cam")
        wrong = [part.code for part in job.catalog.parts.values() if part.kind == "cam" and part not in known]
        if not wrong:
            raise ValueError("every cam is in some answer")
        return replace(job, statements=(*job.statements, Used((wrong[0],), text=f"use {wrong[0]}")))
    raise ValueError(f"nothing is known of the demand {demand}; one of {', '.join(DEMANDS)}")


def ours(kind: str, size: int, demand: str, repeats: int) -> Iterator[tuple[float, list[str]] | None]:
    """Yield (seconds, members) of each run: a reason with its numbers, verified. RuntimeError if it is not."""
    job = overconstrained(kind, size, demand)
    yield None
    for _ in range(repeats + 1):
        gc.collect()
        start = perf_counter()
        soft = SoftNetwork(Setting(job.catalog, job.statements))
        core = next(cores(soft))
        reason = reason_of(soft, core)
        seconds = perf_counter() - start
        if not reason.verified:
            raise RuntimeError("the reason is not one")
        yield seconds, [name_of(element) for element in core]


def name_of(element: Element) -> str:
    """Return the name of a statement, or of the joint, stack, rule or look that a check belongs to."""
    return f"`{element.statement.text}`" if element.statement else element.where


def is_least(job: Setting, names: list[str]) -> bool:
    """Tell whether these, each as a whole, can't hold together, and can where any is left out."""
    soft = SoftNetwork(job)

    def holds(some: list[str]) -> bool:
        return soft.exists(element for element in soft.elements if name_of(element) in some)

    return not holds(names) and all(holds([name for name in names if name != left_out]) for left_out in names)
