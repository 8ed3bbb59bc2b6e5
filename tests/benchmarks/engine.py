"""What fitwright itself takes for each question, in a process of its own."""

from __future__ import annotations

import gc
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from time import perf_counter
from typing import Any

from fitwright.solver.answers import Answers
from fitwright.solver.setting import Setting

from .generate import setting
from .isolated import isolated, peak_memory

MOST_LISTED = 5_000_000
ENGINE_LIMIT = 600.0
QUESTIONS = ("count", "choices", "cheapest", "first 1,000 in order")


@dataclass(slots=True)
class Measured:
    """Seconds of each run by question (`listing`: assemblies a second), the count, the peak memory in bytes.

    `first` is the first count in a fresh process that holds the catalog, before anything of it has been asked.
    """

    count: int = 0
    first: float = 0.0
    runs: dict[str, list[float]] = field(default_factory=dict)
    memory: int | None = None


def measure(kind: str, size: int, repeats: int) -> Measured:
    """Ask everything `repeats` times, each time of a job stated anew against the catalog in memory."""
    (measured,) = isolated(_measure, (kind, size, repeats), ENGINE_LIMIT)
    return measured if isinstance(measured, Measured) else Measured()


def _measure(kind: str, size: int, repeats: int) -> Iterator[Measured | None]:
    job = setting(kind, size)
    yield None
    found = Measured()
    for run in range(repeats + 1):
        gc.collect()
        answers: Answers | None = None  # the last job is let go before the next is stated
        start = perf_counter()
        answers = Answers(Setting(job.catalog, job.statements))
        _ = answers.network
        stated = perf_counter()
        found.count = answers.count()
        end = perf_counter()
        times = {"count": end - start, "count given the network": end - stated}
        for question, ask in _questions(answers, next(iter(job.application.positions))):
            start = perf_counter()
            ask()
            times[question] = perf_counter() - start
        if run == 0:
            found.first = times["count"]
            # Listing holds nothing of its own but boxes; everything asked so far is what a session would hold.
            found.memory = peak_memory()
        else:
            for question, seconds in times.items():
                found.runs.setdefault(question, []).append(seconds)
            start = perf_counter()
            listed = _list(answers, min(found.count, MOST_LISTED))
            found.runs.setdefault("listing", []).append(listed / (perf_counter() - start))
    yield found


def _questions(answers: Answers, position: str) -> list[tuple[str, Callable[[], Any]]]:
    return [
        ("choices", lambda: answers.choices(position)),
        ("cheapest", answers.cheapest),
        ("first 1,000 in order", lambda: deque(islice(answers.in_order(), 1000), maxlen=0)),
    ]


def _list(answers: Answers, number: int) -> int:
    """List so many assemblies as tuples of parts; RuntimeError where there are fewer."""
    listing = iter(answers)
    deque(islice(listing, number - 1), maxlen=0)
    if next(listing, None) is None:
        raise RuntimeError(f"fewer than the {number} assemblies that were counted")
    return number
