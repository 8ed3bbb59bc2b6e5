"""What is shown of what was heard: an answer, the fault of a statement, what can be put in."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..solver.catalog import Catalog
from .answer import Answer
from .page import Page, columns_of
from .prose import prose
from .words import StatementError

if TYPE_CHECKING:
    from .completion import Suggestion

_WORD = re.compile(r"[^\s,;]*")


def told(heard: Answer | StatementError, page: Page) -> str:
    """Write it out; where there is no answer the first word says so."""
    if isinstance(heard, StatementError):
        return str(heard)
    if heard.outcome in ("error", "stopped"):
        line = f"{heard.outcome}: {heard.question}: {'; '.join(heard.message)}"
        return "\n".join(page.wrapped(line))
    return prose(heard, page)


def nothing_asked(catalog: Catalog) -> str:
    """Say that a job is empty, and what one could say with this catalog."""
    used = next(iter(catalog.applications), None)
    example = f"use {used}; door 1-3/4 in; fit" if used else "list; parts"
    return f"there is nothing to ask; a job says for example: {example}"


def place(line: str, fault: StatementError) -> tuple[int, int]:
    """Return from where to where the word is wrong in the line that the statement stands in; ends may be equal."""
    start = min(max(line.find(fault.text), 0) + fault.column, len(line))
    found = _WORD.match(line, start)
    return start, found.end() if found else start


def told_below(line: str, fault: StatementError, prompt: str, page: Page) -> str:
    """Write a fault below the line that was just typed: a caret under the word, then what is wrong."""
    before = columns_of(prompt + line[: place(line, fault)[0]])
    caret = [] if page.width and before >= page.width else [" " * before + "^"]
    return "\n".join([*caret, *page.wrapped(fault.message)])


def suggestion_words(suggestion: Suggestion) -> str:
    """Write what is shown beside a completion: how many assemblies it leaves or why none, and what it means."""
    if suggestion.count == 0:
        return f"no: {suggestion.reason}" if suggestion.reason else "no: nothing would be left"
    count = "" if suggestion.count is None else f"{suggestion.count:,} left"
    return "  ".join(word for word in (count, suggestion.meaning) if word)
