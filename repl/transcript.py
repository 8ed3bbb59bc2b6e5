"""A session as plain text: what was said, and what was answered to it; written as it goes, read to be replayed."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import unified_diff

from ..solver.length import Unit
from .text_file import FileError, read_named

HEADER = "# fitwright-transcript/1"
"""The first line: the format and its version."""

MOST_DIFFERENCES = 40
"""So many lines of differences at most are shown for each answer."""

_OPTION = re.compile(r"# (limit|units): (\d{1,9}|in|mm)", re.ASCII)
_SAID = "> "


@dataclass(frozen=True, slots=True)
class Entry:
    """A statement and the lines that answered it; none for a fact."""

    said: str
    answer: tuple[str, ...]

    def differences(self, now: Sequence[str]) -> list[str]:
        """Return the lines in which another answer differs, as a unified difference without its heads."""
        return list(unified_diff(self.answer, list(now), n=1, lineterm=""))[2:]


@dataclass(frozen=True, slots=True)
class Recorded:
    """What a transcript holds, and the options under which it was answered."""

    entries: tuple[Entry, ...]
    limit: int | None = None
    unit: Unit | None = None


class Transcript:
    """A file that entries are added to, each of them at once. Raises `FileError`."""

    def __init__(self, file: str, limit: int | None = None, unit: Unit | None = None) -> None:
        self.file = file
        if os.path.exists(file):
            text = read_named(file, "transcript")
            if text.strip() and text.splitlines()[0].strip() != HEADER:
                raise FileError(f"{file} holds something else", "name another file")
            if any(line.startswith(_SAID) for line in text.splitlines()):
                raise FileError(f"{file} holds what was recorded before", "name another file, or delete it first")
        options = [f"# limit: {limit}"] if limit is not None else []
        options += [f"# units: {unit}"] if unit else []
        self._write("w", [HEADER, *options])

    def note(self, said: str, answer: str | None) -> None:
        """Add what was said, on one line, and the answer to it."""
        lines = [] if answer is None else answer.splitlines()
        # A line of an answer that looked like a statement would be read as one.
        self._write("a", [f"{_SAID}{said}", *(f" {line}" if line.startswith(_SAID) else line for line in lines)])

    def _write(self, mode: str, lines: Sequence[str]) -> None:
        try:
            with open(self.file, mode, encoding="utf-8", newline="\n") as stream:
                stream.writelines(f"{line}\n" for line in lines)
        except OSError as error:
            raise FileError(f"{self.file} can't be written: {error.strerror or error}") from None


def recorded(file: str) -> Recorded:
    """Read a transcript. Raises `FileError` where it is none."""
    lines = read_named(file, "transcript").splitlines()
    if not lines or lines[0].strip() != HEADER:
        raise FileError(f"{file} is no transcript", f"the first line of one is `{HEADER}`")
    entries: list[tuple[str, list[str]]] = []
    options: dict[str, str] = {}
    for number, line in enumerate(lines[1:], 2):
        if line.startswith(_SAID):
            entries.append((line.removeprefix(_SAID), []))
        elif entries:
            entries[-1][1].append(line.removeprefix(" ") if line.startswith(f" {_SAID}") else line)
        elif option := _OPTION.fullmatch(line.strip()):
            options[option[1]] = option[2]
        elif line.strip() and not line.startswith("#"):
            raise FileError(f"{file}, line {number}: an answer stands before any statement", "begin with `> ` and one")
    limit, unit = options.get("limit", ""), options.get("units", "")
    return Recorded(
        tuple(Entry(said, _trimmed(answer)) for said, answer in entries),
        int(limit) if limit.isdecimal() else None,
        "in" if unit == "in" else "mm" if unit == "mm" else None,
    )


def _trimmed(lines: list[str]) -> tuple[str, ...]:
    """Return an answer without the empty lines behind it."""
    while lines and not lines[-1].strip():
        lines.pop()
    return tuple(lines)
