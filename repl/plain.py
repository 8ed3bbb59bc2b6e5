"""Lines read plainly: from a pipe or file, or from a terminal that can do no more."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator

from .command_line import UsageError
from .dialogue import Dialogue, Heard
from .output import complain, put
from .status import Status
from .telling import nothing_asked, told
from .text_file import LARGEST
from .words import StatementError


def converse(dialogue: Dialogue, *, prompts: bool) -> int:
    """Answer line by line until the input ends, and return the exit status.

    Where nobody sees `prompts`, a job that asked nothing is asked `fit`, as a job in a file is, and an interrupt ends
    the work. Raises `UsageError` where nothing was said at all.
    """
    if not prompts and isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(encoding="utf-8", errors="surrogateescape")  # as the statement with it is refused
    if prompts:
        put(dialogue.greeting)
    first = True
    for number, line in enumerate(_lines(dialogue, prompts), 1):
        try:
            for heard in dialogue.take(line):
                if isinstance(heard, StatementError):
                    heard.line = number
                _show(heard, dialogue, "" if first or prompts else "\n")
                first = False
        except KeyboardInterrupt:
            if not prompts:
                raise
            put("")
        if dialogue.over or (dialogue.status is Status.INTERRUPTED and not prompts):
            break
    else:
        if not (prompts or dialogue.heard):
            if not dialogue.session.said:
                raise UsageError(nothing_asked(dialogue.session.catalog))
            for heard in dialogue.take("fit"):
                _show(heard, dialogue, "")
    return Status.YES if prompts else dialogue.status


def _lines(dialogue: Dialogue, prompts: bool) -> Iterator[str]:
    while True:
        try:
            if prompts:
                yield input(dialogue.prompt)
            elif line := sys.stdin.readline(LARGEST):
                yield line.removeprefix("\ufeff")
            else:
                return
        except KeyboardInterrupt:
            if not prompts:
                raise
            put("")
        except EOFError:
            put("")
            return


def _show(heard: Heard, dialogue: Dialogue, before: str) -> None:
    text = before + told(heard, dialogue.page)
    if isinstance(heard, StatementError) or heard.outcome in ("error", "stopped"):
        complain(text)
    else:
        put(text)
