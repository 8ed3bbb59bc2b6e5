"""Compare fitwright with general solvers on generated jobs, in one run.

From the top of the project: python -m tests.benchmarks.compare --help
Ends with 1 where anybody counts otherwise than fitwright, or fails.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter

from .engine import measure
from .generate import KINDS
from .report import TITLES, Case, write
from .rival import Trial, compete

SIZES = (300, 1000, 5000, 20_000)
QUICK_SIZES = (300, 1000)
QUESTION = "use rim; door 1-3/4 in; into YEW-30; want finish 626; fit 3"
"""What the one-shot command is asked, of the bundled catalogs."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the comparison and return the exit status."""
    options = _options().parse_args(arguments)
    sizes = options.sizes or (QUICK_SIZES if options.quick else SIZES)
    limit = options.limit or (3.0 if options.quick else 20.0)
    repeats = options.repeats or (3 if options.quick else 7)
    cases = [case(kind, size, options.only, limit, repeats) for kind in options.kinds for size in sizes]
    text = write(
        cases, [] if options.no_command else one_shot(options.question, 3 if options.quick else 9), repeats, limit
    )
    print(text, end="")
    if options.markdown:
        options.markdown.write_text(text, encoding="utf-8")
    faults = [fault for each in cases for fault in each.disagreements]
    faults += [
        f"{each.kind} {each.size}: {trial.rival} failed: {trial.died}"
        for each in cases
        for trial in each.trials
        if trial.died
    ]
    for fault in faults:
        print(fault, file=sys.stderr)
    return 1 if faults else 0


def case(kind: str, size: int, rivals: Sequence[str], limit: float, repeats: int) -> Case:
    """Measure the engine and the rivals on one generated job."""
    _tell(f"{kind} {size}: fitwright")
    measured = measure(kind, size, repeats)
    trials: list[Trial] = []
    for rival in rivals:
        _tell(f"{kind} {size}: {rival}")
        trials.append(compete(rival, kind, size, limit, min(3, repeats)))
    return Case(kind, size, measured, trials)


def one_shot(question: str, repeats: int) -> list[float]:
    """Return the seconds of `fitwright ask` as a process, its cache warm; none where it can't be run."""
    command = Path(sys.executable).with_name("fitwright.exe" if os.name == "nt" else "fitwright")
    seconds = []
    for run in range(repeats + 1):
        start = perf_counter()
        try:
            done = subprocess.run([command, "ask", question], capture_output=True, check=False, timeout=60)
        except (OSError, subprocess.TimeoutExpired) as error:
            _tell(f"the one-shot command was not measured: {error}")
            return []
        if done.returncode != 0:
            _tell(f"the one-shot command was not measured: it ended with {done.returncode}")
            return []
        if run:
            seconds.append(perf_counter() - start)
    return seconds


def _options() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.compare",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--quick", action="store_true", help="small sizes, few runs, 3 s for each rival")
    parser.add_argument("--sizes", type=_numbers, metavar="N,N", help=f"items (default {_listed(SIZES)})")
    parser.add_argument(
        "--kinds", type=_Names(KINDS), default=KINDS, metavar="KIND,KIND", help=f"of {', '.join(KINDS)} (default both)"
    )
    parser.add_argument(
        "--only",
        type=_Names(TITLES),
        default=tuple(TITLES),
        metavar="RIVAL,RIVAL",
        help=f"rivals, of {', '.join(TITLES)}, or none (default all)",
    )
    parser.add_argument("--limit", type=float, metavar="SECONDS", help="for one run of a rival (default 20)")
    parser.add_argument("--repeats", type=int, metavar="N", help="runs of the engine (default 7)")
    parser.add_argument("--question", default=QUESTION, help="what the one-shot command is asked")
    parser.add_argument("--no-command", action="store_true", help="leave the one-shot command out")
    parser.add_argument("--markdown", type=Path, metavar="FILE", help="write the report there too")
    return parser


def _numbers(text: str) -> tuple[int, ...]:
    try:
        found = tuple(int(word) for word in text.split(","))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text} is not a list of numbers such as 300,5000") from None
    if min(found) < 150:
        raise argparse.ArgumentTypeError("a catalog needs at least 150 items")
    return found


class _Names:
    """Reads names from a closed list, divided by commas; `none` for no name."""

    def __init__(self, known: Sequence[str] | dict[str, str]) -> None:
        self._known = tuple(known)

    def __call__(self, text: str) -> tuple[str, ...]:
        found = () if text == "none" else tuple(text.split(","))
        unknown = [name for name in found if name not in self._known]
        if unknown:
            raise argparse.ArgumentTypeError(f"{', '.join(unknown)}: not one of {', '.join(self._known)}")
        return found


def _listed(numbers: Sequence[int]) -> str:
    return ",".join(map(str, numbers))


def _tell(progress: str) -> None:
    print(progress, file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())
