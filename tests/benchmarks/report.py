"""The tables of a benchmark run, as Markdown, and what the targets say of them."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from statistics import median

from .engine import QUESTIONS, Measured
from .rival import ENUMERATING, Trial

TITLES = {
    "python-constraint2": "python-constraint2, all items",
    "cp-sat": "OR-Tools CP-SAT, all items",
    "clingo": "clingo, all items",
    "dd-cudd": "dd (CUDD, in C), all items",
    "dd-autoref": "dd (autoref, in Python), all items",
    "python-constraint2-given-network": "python-constraint2, given our network",
    "cp-sat-given-classes": "OR-Tools CP-SAT, given our classes",
    "dd-cudd-given-classes": "dd (CUDD), given our classes",
}
PACKAGES = ("python-constraint2", "ortools", "clingo", "dd", "cpmpy")


@dataclass(slots=True)
class Case:
    """One generated job: what the engine did with it, and the rivals."""

    kind: str
    size: int
    measured: Measured
    trials: list[Trial]

    @property
    def disagreements(self) -> list[str]:
        """Say who counted otherwise."""
        return [
            f"{self.kind} {self.size}: {trial.rival} counts {trial.count}, fitwright {self.measured.count}"
            for trial in self.trials
            if trial.count is not None and trial.count != self.measured.count
        ]

    def ratios(self, rivals: Iterable[str]) -> list[tuple[float, bool]]:
        """Return how many times as long each rival took, and whether that is a lower bound only."""
        own = median(self.measured.runs["count"])
        return [
            (trial.least / own, trial.over_time)
            for trial in self.trials
            if trial.rival in rivals and trial.least is not None
        ]


def write(cases: Sequence[Case], one_shot: Sequence[float], repeats: int, limit: float) -> str:
    """Return the report, in Markdown.

    `one_shot` are seconds of the command as a process, none where it was not measured.
    """
    lines = [*heading(repeats, limit), "", "### fitwright", ""]
    lines += table_lines(
        ["catalog", "answers", *QUESTIONS, "listing", "first count in a process", "peak memory"],
        [_own_row(case) for case in cases],
    )
    for case in cases:
        if case.trials:
            lines += ["", f"### Exact count: {_name(case)}, {case.measured.count:,} assemblies", ""]
            lines += table_lines(["who", "time", "times as long"], _rival_rows(case))
    if one_shot:
        lines += ["", f"One-shot command as a process: {spread(one_shot)}."]
    lines += ["", "### Targets", "", *table_lines(["target", "measured", ""], list(_targets(cases, one_shot)))]
    return "\n".join(lines) + "\n"


def heading(repeats: int, limit: float) -> list[str]:
    """Return when, where and how often was measured."""
    return [
        f"{date.today().isoformat()}, {_machine()}.",
        f"Median of {repeats} runs (least to greatest); rivals have {limit:g} s for a run, up to 3 runs." + _load(),
    ]


def _own_row(case: Case) -> list[str]:
    measured = case.measured
    return [
        _name(case),
        f"{measured.count:.3g}" if measured.count > 10**6 else f"{measured.count:,}",
        *(spread(measured.runs[question]) for question in QUESTIONS),
        f"{median(measured.runs['listing']) / 1e6:.1f} M/s",
        seconds_words(measured.first),
        _memory(measured.memory),
    ]


def _rival_rows(case: Case) -> Iterator[list[str]]:
    yield ["fitwright", spread(case.measured.runs["count"]), "1"]
    given = case.measured.runs["count given the network"]
    share = median(given) / median(case.measured.runs["count"])
    yield ["fitwright, given its network", spread(given), f"{share:.3g}"]
    for trial in case.trials:
        name = TITLES[trial.rival]
        if trial.died:
            yield [name, trial.died, ""]
            continue
        took = f"> {trial.limit:g} s" if trial.over_time else spread(trial.seconds)
        ((ratio, _),) = case.ratios([trial.rival])
        yield [name, took, ("> " if trial.over_time else "") + _three_digits(ratio)]


def _targets(cases: Sequence[Case], one_shot: Sequence[float]) -> Iterator[list[str]]:
    """Yield (target, measured, met or missed) for what this run can tell."""
    for case in cases:
        times = {question: median(case.measured.runs[question]) for question in case.measured.runs}
        if case.size >= 20_000:
            limits = (
                {"count": 0.1, "choices": 0.02, "cheapest": 0.02}
                if case.kind == "ordinary"
                else {"count": 2.0, "cheapest": 1.0}
            )
            for question, limit in limits.items():
                yield _target(
                    f"{_name(case)}: {question} < {seconds_words(limit)}",
                    seconds_words(times[question]),
                    times[question] < limit,
                )
            if case.measured.memory is not None:
                yield _target(
                    f"{_name(case)}: memory < 300 MB", _memory(case.measured.memory), case.measured.memory < 300e6
                )
            diagrams = case.ratios(["dd-cudd", "dd-autoref"])
            if diagrams:
                yield _outrun(f"{_name(case)}: 10 times as fast as the BDD library", diagrams, 10)
        if case.kind == "ordinary" and case.measured.count > 10**6:
            yield _target(
                f"{_name(case)}: listing > 3 M/s", f"{times['listing'] / 1e6:.1f} M/s", times["listing"] > 3e6
            )
            listers = case.ratios(ENUMERATING)
            if listers and case.measured.count < 10**7:
                yield _outrun(f"{_name(case)}: 1,000 times as fast as the best that lists", listers, 1000)
    if one_shot:
        yield _target("one-shot command < 300 ms", seconds_words(median(one_shot)), median(one_shot) < 0.3)


def _outrun(what: str, ratios: list[tuple[float, bool]], wanted: float) -> list[str]:
    """The target of being `wanted` times as fast as the fastest; a lower bound below it decides nothing."""
    ratio, bound = min(ratios)
    met = "met" if ratio >= wanted else "not decided within the limit" if bound else "missed"
    return [what, ("> " if bound else "") + _three_digits(ratio), met]


def _target(what: str, measured: str, met: bool) -> list[str]:
    return [what, measured, "met" if met else "missed"]


def table_lines(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Return a table in Markdown."""
    rule = ["---"] * len(heads)
    return ["| " + " | ".join(row) + " |" for row in (heads, rule, *rows)]


def _name(case: Case) -> str:
    return f"{case.kind} {case.size:,}"


def spread(seconds: Sequence[float]) -> str:
    """Write the median, and the least and the greatest where there are several."""
    middle = seconds_words(median(seconds))
    return middle if len(seconds) == 1 else f"{middle} ({seconds_words(min(seconds))} to {seconds_words(max(seconds))})"


def seconds_words(seconds: float) -> str:
    """Write a time with three digits."""
    if seconds < 0.0005:
        return f"{seconds * 1e3:.2f} ms"
    if seconds < 1:
        return f"{seconds * 1e3:.3g} ms"
    return f"{seconds:.3g} s"


def _three_digits(number: float) -> str:
    return f"{float(f'{number:.3g}'):,g}"


def _memory(peak: int | None) -> str:
    return "not known" if peak is None else f"{peak / 1e6:.0f} MB"


def _load() -> str:
    """Say how busy the machine was, the benchmark itself being one process at a time."""
    if not hasattr(os, "getloadavg"):
        return ""
    return f" Load of the last 15 minutes: {os.getloadavg()[2]:.1f}."


def _machine() -> str:
    model = platform.processor() or platform.machine()
    known = Path("/proc/cpuinfo")
    if known.exists():
        names = [
            line.split(":", 1)[1].strip() for line in known.read_text().splitlines() if line.startswith("model name")
        ]
        model = names[0] if names else model
    versions = []
    for package in PACKAGES:
        try:
            versions.append(f"{package} {version(package)}")
        except PackageNotFoundError:
            versions.append(f"{package} not installed")
    return (
        f"{os.cpu_count()} cores of {model}, {platform.system()}, {platform.python_implementation()} "
        f"{'.'.join(map(str, sys.version_info[:3]))}; {', '.join(versions)}"
    )
