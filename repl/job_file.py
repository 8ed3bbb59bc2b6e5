"""The file that a job is saved in: its facts as plain text, which `run` and `open` take."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from typing import NamedTuple

from ..solver.catalog import Catalog
from ..solver.statement import Statement, Use
from .ledger import Facts
from .text_file import FileError, read_named, write_text

HEADER = "# fitwright-job/1"
"""The first line: the format and its version."""

MOST_FAULTS = 10

_HEADER = re.compile(r"# fitwright-(job|transcript)/(\d+)\s*$", re.MULTILINE | re.ASCII)


class Opened(NamedTuple):
    """The facts of a file, and how many of its lines are no facts and were left out."""

    facts: Facts
    left_out: int = 0


class Desk:
    """The files that jobs are saved in and opened from."""

    def __init__(self, catalog: Catalog) -> None:
        self.catalog = catalog

    def open(self, file: str) -> Opened:
        """Read a file. Raises `FileError`, with every fault in it."""
        return facts_in(read_named(file, "job"), file, self.catalog)

    def save(self, file: str, facts: Facts) -> None:
        """Write facts to a file. Raises `FileError`, also where something else of the user's would be lost."""
        if os.path.exists(file):
            _refuse_to_lose(file)
        write_text(file, job_text(facts))


class Rehearsal(Desk):
    """A desk on which nothing is written; what would have been saved can be opened."""

    def __init__(self, catalog: Catalog) -> None:
        super().__init__(catalog)
        self._saved: dict[str, Facts] = {}

    def open(self, file: str) -> Opened:
        """Read a file, or what was to be saved in it."""
        saved = self._saved.get(os.path.realpath(file))
        return super().open(file) if saved is None else Opened(saved)

    def save(self, file: str, facts: Facts) -> None:
        """Keep in mind what would be in the file."""
        self._saved[os.path.realpath(file)] = in_file_order(facts)


class ShutDesk(Desk):
    """A desk for the text of a file, which neither opens nor saves others."""

    def open(self, file: str) -> Opened:
        """Refuse."""
        raise FileError("a file that is opened can't open another", "write its facts out")

    def save(self, file: str, facts: Facts) -> None:
        """Do nothing: nothing but facts is taken from the text."""


def job_text(facts: Sequence[Statement]) -> str:
    """Return what a file of these facts holds."""
    return "".join(f"{line}\n" for line in (HEADER, *in_file_order(facts)))


def in_file_order(facts: Sequence[Statement]) -> Facts:
    """Put the application first: what is said in its words can only be read after it."""
    return tuple(sorted(facts, key=lambda said: not isinstance(said, Use)))


def facts_in(text: str, file: str, catalog: Catalog) -> Opened:
    """Read the facts of a file's text. Raises `FileError` with the faults, each with its line."""
    from .parse import read  # a text may name a file, which again holds a text

    header = _HEADER.match(text)
    if header and header[1] == "transcript":
        raise FileError(f"{file} is a transcript", "say `replay` with it")
    if header and header[2] != "1":
        raise FileError(f"{file} is of version {header[2]} of its format", "this fitwright reads version 1")
    reading = read(text, catalog, desk=ShutDesk(catalog))
    if reading.errors:
        faults = [f"{file}, line {each.line}, column {each.column + 1}: {each.message}" for each in reading.errors]
        more = [f"and {len(faults) - MOST_FAULTS:,} more"] if len(faults) > MOST_FAULTS else []
        number = "a fault" if len(faults) == 1 else f"{len(faults):,} faults"
        raise FileError(f"{file} has {number}", "the job stays as it is", (*faults[:MOST_FAULTS], *more))
    if not (header or reading.said):
        raise FileError(f"{file} says nothing of a job", "name another file")
    return Opened(reading.ledger.facts, len(reading.asked))


def unreadable(facts: Sequence[Statement], catalog: Catalog) -> tuple[str, ...]:
    """Return what will be wrong with a file of these facts when it is opened."""
    from .parse import read

    return tuple(error.message for error in read(job_text(facts), catalog, desk=ShutDesk(catalog)).errors)


def _refuse_to_lose(file: str) -> None:
    from .language import FORMS

    text = read_named(file, "job")
    if not text.strip():
        return
    first, *rest = text.splitlines()
    if first.strip() != HEADER:
        raise FileError(f"{file} holds something else", "name another file")
    for number, line in enumerate(rest, 2):
        form = FORMS.get(line.partition(" ")[0].casefold())
        if form is None or form.asks or form.acts or {"#", ";"} & set(line):
            raise FileError(f"{file} holds more than facts (line {number}), which would be lost", "name another file")
