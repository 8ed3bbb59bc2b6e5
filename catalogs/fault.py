"""What is wrong in a catalog, where, and what would be right."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from typing import NamedTuple

MOST_SHOWN = 60
"""How many faults the message of a CatalogError spells out; `faults` always holds every one."""

_MOST_NAMES = 8


class Fault(NamedTuple):
    """One fault at one place; lines and columns count from 1, and 0 stands for the whole file or folder."""

    file: str
    line: int
    column: int
    where: str
    what: str
    hint: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        where = f"{self.where}: " if self.where else ""
        hint = f"; {self.hint}" if self.hint else ""
        return f"{place}: {where}{self.what}{hint}"


class CatalogError(Exception):
    """Catalogs that cannot be used; `faults` holds everything that is wrong with them, in reading order."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__(faults)
        self.faults = tuple(faults)

    def __str__(self) -> str:
        lines = [str(fault) for fault in self.faults[:MOST_SHOWN]]
        if len(self.faults) > MOST_SHOWN:
            lines.append(f"... and {len(self.faults) - MOST_SHOWN} more faults")
        return "\n".join(lines)


class Faults:
    """A growing list of faults. Those that share a `cause` are one fault that says how often it was met."""

    def __init__(self) -> None:
        self._first: dict[Hashable, Fault] = {}
        self._count: dict[Hashable, int] = {}

    def __len__(self) -> int:
        return len(self._first)

    def add(self, fault: Fault, cause: Hashable = None) -> None:
        """Note a fault; without a cause it stands for itself (a fault noted twice is still one)."""
        fault = fault._replace(where=_one_line(fault.where), what=_one_line(fault.what), hint=_one_line(fault.hint))
        key = fault if cause is None else cause
        self._first.setdefault(key, fault)
        self._count[key] = self._count.get(key, 0) + (cause is not None)

    def listed(self) -> list[Fault]:
        """Return the faults, file by file as they were read and from top to bottom."""
        order: dict[str, int] = {}
        for fault in self._first.values():
            order.setdefault(fault.file, len(order))
        told = [_counted(fault, self._count[key]) for key, fault in self._first.items()]
        return sorted(told, key=lambda fault: (order[fault.file], fault.line, fault.column))


def _one_line(words: str) -> str:
    """Keep what a catalog's author wrote from breaking the line, or the terminal that shows it."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in words).split())


def _counted(fault: Fault, times: int) -> Fault:
    if times < 2:
        return fault
    more = "1 more place" if times == 2 else f"{times - 1} more places"
    return fault._replace(what=f"{fault.what} (and in {more})")


def suggestion(word: str, known: Iterable[str]) -> str:
    """Return a hint for an unknown word: the known name nearest to it, or what there is to choose from."""
    from difflib import get_close_matches  # only faulty catalogs pay for it

    names = list(dict.fromkeys(known))
    if not names:
        return "none is defined"
    by_fold = {name.casefold(): name for name in names}
    close = get_close_matches(word.casefold()[:100], by_fold, n=1)
    if close:
        return f"did you mean `{by_fold[close[0]]}`?"
    return f"known: {listing(names)}"


def listing(names: Sequence[str], most: int = _MOST_NAMES) -> str:
    """Write names as a sentence's part, cut after the first few."""
    shown = ", ".join(names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"
