"""What is printed: to streams that may be closed, full or gone, or that can't show every character."""

from __future__ import annotations

import codecs
import os
import sys
from typing import TextIO


class OutputError(Exception):
    """Standard output can't be written; the message says why. Nobody can be told there any more."""


_PLAIN = {"±": "+/-", "×": "x", "½": "1/2", "–": "-", "—": "-", "…": "...", "’": "'", "“": '"', "”": '"', "″": '"'}  # noqa: RUF001


def prepare() -> None:
    """Let the standard streams take any text. Raises `OutputError` where there is no standard output."""
    codecs.register_error("plain", _plain)
    for stream in (sys.stdout, sys.stderr):
        if reconfigure := getattr(stream, "reconfigure", None):
            reconfigure(errors="plain")
    if sys.stdout is None:
        raise OutputError("it is closed")


def put(text: str, end: str = "\n") -> None:
    """Print to standard output, at once. Raises `OutputError`; `BrokenPipeError` where its reader has gone."""
    if sys.stdout is None:
        raise OutputError("it is closed")
    try:
        print(text, end=end, flush=True)
    except OSError as error:
        _abandon(sys.stdout)
        if isinstance(error, BrokenPipeError):
            raise
        raise OutputError(error.strerror or str(error)) from None


def complain(text: str, end: str = "\n") -> None:
    """Print to standard error, at once; to nobody where it is closed, full or gone."""
    if sys.stderr is None:
        return
    try:
        print(text, end=end, file=sys.stderr, flush=True)
    except OSError:
        _abandon(sys.stderr)


def _abandon(stream: TextIO) -> None:
    """Send nowhere what is still in the stream: the interpreter flushes once more when it ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


def _plain(error: UnicodeError) -> tuple[str, int]:
    r"""Write what can't be encoded in plain characters, else as \uXXXX, as JSON does."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    wrong = error.object[error.start : error.end]
    return "".join(_PLAIN.get(character) or _escaped(character) for character in wrong), error.end


def _escaped(character: str) -> str:
    units = character.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))
