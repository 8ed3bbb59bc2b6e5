"""How long the questions of `tests/cases/` take on the bundled catalogs, one session for all, the job's count known.

Run by hand: python -m tests.benchmarks.questions. No test asserts a time.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import yaml
from fitwright.catalogs import load
from fitwright.repl.question import Question
from fitwright.repl.session import Session

from .report import spread

CASES = Path(__file__).parent.parent / "cases"
KINDS = ("why", "why-not", "change", "instead", "substitutes")
ROUNDS = 3


def main() -> None:
    """Measure and print: for each kind of question the time of the first round, and of the later ones."""
    session = Session(load())
    for kind in KINDS:
        cases = yaml.safe_load((CASES / f"{kind}.yaml").read_text("utf-8"))
        jobs = [case["job"] for case in cases]
        first, *later = [[seconds for job in jobs for seconds in asked(session, job)] for _ in range(ROUNDS)]
        print(f"{kind}: first {spread(first)}; later {spread([each for own in later for each in own])}")


def asked(session: Session, job: str) -> Iterator[float]:
    """Yield how long each question of a job takes, its facts said and counted before."""
    for said in session.read(f"clear; {job}").said:
        if not isinstance(said, Question):
            session.do(said)
            continue
        for counted in session.read("count").said if session.said else ():
            session.do(counted)
        begun = time.perf_counter()
        session.do(said)
        yield time.perf_counter() - begun


if __name__ == "__main__":
    main()
