"""The lines that were typed, kept between sessions in a plain text file that may fail at any time."""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

MOST_LINES = 10_000
MOST_BYTES = 4_000_000
"""Of a longer file only the end is read."""


class History:
    """The history file. `trouble` says why lines are not kept, once there is a reason; nothing is raised."""

    def __init__(self, path: Path | None) -> None:
        self.path = path
        self.trouble = ""

    def lines(self) -> list[str]:
        """Return the lines kept so far, the oldest first, at most `MOST_LINES`; a longer file is cut to that."""
        if self.path is None:
            return []
        try:
            found = [line for line in _text_of(self.path).splitlines() if line and line.isprintable()]
            if len(found) > MOST_LINES:
                found = found[-MOST_LINES:]
                with suppress(OSError):  # it is cut next time
                    _replace(self.path, "".join(f"{line}\n" for line in found))
        except FileNotFoundError:
            return []
        except (OSError, ValueError) as error:
            self._give_up("read", error)
            return []
        return found

    def add(self, line: str) -> None:
        """Keep a line: in one write, so that the lines of several sessions never mix."""
        if self.path is None or self.trouble or not line.isprintable():
            return
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            handle = os.open(self.path, os.O_WRONLY | os.O_APPEND | os.O_CREAT | _AT_ONCE | _AS_IT_IS, 0o600)
            try:
                os.write(handle, f"{line}\n".encode())
            finally:
                os.close(handle)
        except (OSError, ValueError) as error:
            self._give_up("written", error)

    def _give_up(self, what: str, error: OSError | ValueError) -> None:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        self.trouble = f"what is typed is not kept: {self.path} can't be {what}: {reason}"


def history_path(environment: Mapping[str, str]) -> Path | None:
    """Return where lines are kept: as `FITWRIGHT_HISTORY` says (None: `off`), else in the user's state directory."""
    chosen = environment.get("FITWRIGHT_HISTORY", "")
    if chosen.casefold() == "off":
        return None
    if chosen:
        return Path(os.path.expanduser(chosen))
    from platformdirs import user_state_path

    return user_state_path("fitwright", appauthor=False) / "history"


_AS_IT_IS = getattr(os, "O_BINARY", 0)
"""Line ends stay what they are on Windows too."""

_AT_ONCE = getattr(os, "O_NONBLOCK", 0)
"""A pipe in place of the file must not make anyone wait."""


def _text_of(path: Path) -> str:
    handle = os.open(path, os.O_RDONLY | _AT_ONCE | _AS_IT_IS)
    with open(handle, "rb") as file:
        seen = os.fstat(handle)
        if not stat.S_ISREG(seen.st_mode):
            raise ValueError("it is no file")
        if seen.st_size > MOST_BYTES:
            file.seek(-MOST_BYTES, os.SEEK_END)
            file.readline()
        try:
            return file.read().decode("utf-8")
        except UnicodeDecodeError:
            raise ValueError("it is not UTF-8 text") from None


def _replace(path: Path, text: str) -> None:
    from tempfile import mkstemp

    handle, draft = mkstemp(dir=path.parent, prefix=path.name)
    try:
        with open(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.replace(draft, path)
    except OSError:
        os.unlink(draft)
        raise
