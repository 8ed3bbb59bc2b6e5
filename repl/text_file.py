"""Text files of the user's: read with one clear error, written so that nothing is lost half-way."""

from __future__ import annotations

import os
import stat
import sys

LARGEST = 1_000_000
"""Texts of more bytes are refused: something else was given by mistake."""


class FileError(Exception):
    """A file that can't be read or written: `what` is wrong, a `hint` at what would be right, more `lines` on it."""

    def __init__(self, what: str, hint: str = "", lines: tuple[str, ...] = ()) -> None:
        super().__init__(f"{what}; {hint}" if hint else what)
        self.what, self.hint, self.lines = what, hint, lines


def read_text(file: str, what: str = "job", largest: int = LARGEST) -> str:
    """Return what a file holds, `-` standing for standard input. Raises `FileError`; `what` is what it should be."""
    try:
        found = _bytes_of_input(what, largest + 1) if file == "-" else _bytes_of(file, largest + 1)
    except (OSError, ValueError) as error:
        raise FileError(f"{file} can't be read: {_reason(error)}") from None
    if len(found) > largest:
        raise FileError(f"{file} is longer than {largest:,} bytes", f"that is no {what}")
    try:
        return found.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = found.count(b"\n", 0, error.start) + 1
        raise FileError(f"{file} is not UTF-8 text (line {line})", "save it as UTF-8") from None


def read_named(file: str, what: str) -> str:
    """Return what a file holds that was named in a job: no pipe and no device, which could make a session wait."""
    try:
        mode = os.stat(file).st_mode
    except (OSError, ValueError) as error:
        raise FileError(f"{file} can't be read: {_reason(error)}") from None
    if not stat.S_ISREG(mode):
        raise FileError(f"{file} is {'a directory' if stat.S_ISDIR(mode) else 'no file'}", f"name the file of a {what}")
    text = read_text(file, what)
    if "\0" in text:
        raise FileError(f"{file} is no text", f"name the file of a {what}")
    return text


def write_text(file: str, text: str) -> None:
    """Put a text in the place of what a file holds, all of it or nothing. Raises `FileError`."""
    target = os.path.realpath(file)
    draft = f"{target}.{os.getpid()}.draft"
    try:
        if os.path.exists(target):
            refuse_unwritable(file)
        with open(draft, "x", encoding="utf-8", newline="\n") as written:
            try:
                written.write(text)
                written.flush()
                os.fsync(written.fileno())
                if os.path.exists(target):
                    os.chmod(draft, stat.S_IMODE(os.stat(target).st_mode))
                os.replace(draft, target)
            except BaseException:
                os.unlink(draft)
                raise
    except (OSError, ValueError) as error:
        raise FileError(f"{file} can't be written: {_reason(error)}") from None


def refuse_unwritable(file: str) -> None:
    """Raise `FileError` for what exists and is no file, or is one that may not be written."""
    if not stat.S_ISREG(os.stat(file).st_mode):
        raise FileError(f"{file} is {'a directory' if os.path.isdir(file) else 'no file'}", "name another file")
    if not os.access(file, os.W_OK):
        raise FileError(f"{file} can't be written: it is read-only", "name another file")


def _bytes_of_input(what: str, most: int) -> bytes:
    if sys.stdin is None:
        raise FileError(f"there is no standard input to read the {what} from", "name its file")
    return sys.stdin.buffer.read(most)


def _bytes_of(file: str, most: int) -> bytes:
    with open(file, "rb") as source:
        return source.read(most)


def _reason(error: Exception) -> str:
    return error.strerror if isinstance(error, OSError) and error.strerror else str(error)
