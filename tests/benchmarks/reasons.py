"""Compare the time that fitwright and an unrelated library need to say why nothing fits, in one run.

From the top of the project: python -m tests.benchmarks.reasons --help
Ends with 1 where a conflict that somebody found is not least, or somebody fails.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import median

from .generate import KINDS
from .isolated import Died, TooLong, isolated
from .library_reason import TOOLS, theirs
from .overconstrained import DEMANDS, ours
from .report import heading, seconds_words, spread, table_lines

SIZES = (1000, 20_000)
HEADS = ("catalog", "asked too much", "members", "fitwright", "CPMpy", "states it in", "finds it in", "times as long")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the comparison and return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.reasons", description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="+", default=SIZES, metavar="N", help="items (default 1000 20000)")
    parser.add_argument("--limit", type=float, default=120.0, metavar="SECONDS", help="for a run of the library")
    parser.add_argument("--repeats", type=int, default=5, metavar="N", help="runs of fitwright (default 5)")
    parser.add_argument("--markdown", type=Path, metavar="FILE", help="write the report there too")
    options = parser.parse_args(arguments)
    faults: list[str] = []
    rows = [
        row
        for kind in KINDS
        for size in options.sizes
        for demand in DEMANDS
        for row in _rows(kind, size, demand, options, faults)
    ]
    text = "\n".join([*heading(options.repeats, options.limit), "", *table_lines(HEADS, rows)]) + "\n"
    print(text, end="")
    if options.markdown:
        options.markdown.write_text(text, encoding="utf-8")
    for fault in faults:
        print(fault, file=sys.stderr)
    return 1 if faults else 0


def _rows(kind: str, size: int, demand: str, options: argparse.Namespace, faults: list[str]) -> Iterator[list[str]]:
    print(f"{kind} {size}: {demand}", file=sys.stderr, flush=True)
    first, *runs = isolated(ours, (kind, size, demand, options.repeats), 600)
    own = [seconds for seconds, _ in runs]
    members = ", ".join(first[1])
    for tool in TOOLS:
        begun = [f"{kind} {size:,}", demand, members, spread(own), tool]
        try:
            ((stating, finding, names, least),) = isolated(theirs, (kind, size, demand, tool, 1), options.limit)
        except TooLong:
            yield [*begun, "", f"> {options.limit:g} s with stating", f"> {options.limit / median(own):.3g}"]
            continue
        except Died as end:
            faults.append(f"{kind} {size}, {demand}: {tool} failed: {end}")
            continue
        if not least:
            faults.append(f"{kind} {size}, {demand}: what {tool} found is not least: {', '.join(names)}")
        yield [*begun, seconds_words(stating), seconds_words(finding), f"{(stating + finding) / median(own):.3g}"]


if __name__ == "__main__":
    sys.exit(main())
