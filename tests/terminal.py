"""A terminal in memory: what the shell writes is drawn by pyte, which also answers when it asks where the cursor is."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Thread

import pyte
from fitwright.repl.assists import Assists
from fitwright.repl.dialogue import Dialogue
from fitwright.repl.history import History
from fitwright.repl.session import Session
from fitwright.repl.shell import Shell
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output.vt100 import Vt100_Output

PATIENCE = 10.0
"""Seconds after which what was waited for has not come."""

REST = 0.5
"""Seconds after which a screen that has not changed is taken to be as it will be."""

KEYS = {"enter": "\r", "tab": "\t", "up": "\x1b[A", "down": "\x1b[B", "c-c": "\x03", "c-d": "\x04", "escape": "\x1b"}


class Terminal:
    """A shell that runs on a screen of `columns` and `rows`. `raw` is all that it has written."""

    def __init__(
        self, session: Session, assists: Assists, history: History, keyboard: PipeInput, columns: int, rows: int
    ) -> None:
        self.columns, self.rows = columns, rows
        self.dialogue = Dialogue(session, assists, lambda: self.columns)
        self.raw = ""
        self.status: int | None = None
        self._keyboard = keyboard
        self._screen = pyte.HistoryScreen(columns, rows, history=10_000)
        self._screen.write_process_input = keyboard.send_text
        self._stream = pyte.Stream(self._screen)
        output = Vt100_Output(self, lambda: Size(self.rows, self.columns), term="xterm-256color")
        self.shell = Shell(self.dialogue, history, self.show, keyboard, output)
        self._thread = Thread(target=self._run, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        self.status = self.shell.run()

    def show(self, text: str) -> None:
        """Print a text and its line end, as the shell's own printing does on a terminal."""
        self.write(text.replace("\n", "\r\n") + "\r\n")

    def write(self, text: str) -> None:
        """Draw."""
        self.raw += text
        self._stream.feed(text)

    def flush(self) -> None:
        """All is drawn already."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        """Be one."""
        return True

    def fileno(self) -> int:
        """Stand for no file."""
        return -1

    def press(self, *keys: str) -> None:
        """Press keys by their names; what is no name is typed."""
        for key in keys:
            self._keyboard.send_text(KEYS.get(key, key))

    def enter(self, line: str, *expected: str) -> None:
        """Type a line, take it, and wait for what is to come."""
        self.press(line)
        self.wait(line)
        self.press("enter")
        for text in expected:
            self.wait(text)

    def resize(self, columns: int, rows: int) -> None:
        """Let the window have another size; the shell finds out by itself."""
        self.columns, self.rows = columns, rows
        self._screen.resize(rows, columns)

    @property
    def text(self) -> str:
        """The screen as it is, without blanks at the end of its lines."""
        return "\n".join(line.rstrip() for line in self._screen.display).rstrip()

    @property
    def underlined(self) -> str:
        """What on the screen is underlined."""
        cells = self._screen.buffer
        return "".join(
            cells[row][column].data
            for row in range(self.rows)
            for column in range(self.columns)
            if cells[row][column].underscore
        )

    def wait(self, text: str | Callable[[str], bool]) -> str:
        """Wait until a text stands on the screen, or the screen is as said, and return it."""
        end = time.monotonic() + PATIENCE
        while not (text in self.text if isinstance(text, str) else text(self.text)):
            assert time.monotonic() < end, f"{text} has not come:\n{self.text}"
            time.sleep(0.005)
        return self.text

    def settle(self) -> str:
        """Wait until nothing is computed any more and the screen stays as it is, and return it."""
        end = time.monotonic() + PATIENCE
        last, since = "", time.monotonic()
        while time.monotonic() - since < REST:
            assert time.monotonic() < end, f"it does not come to rest:\n{self.text}"
            if self.text != last or "| …" in last:
                last, since = self.text, time.monotonic()
            time.sleep(0.01)
        return last

    def leave(self) -> int | None:
        """Wait until the shell has ended, and return its status."""
        self._thread.join(PATIENCE)
        assert not self._thread.is_alive(), self.text
        return self.status


@contextmanager
def terminal(
    session: Session,
    assists: Assists | None = None,
    history: History | None = None,
    columns: int = 100,
    rows: int = 30,
) -> Iterator[Terminal]:
    """Open a shell in a terminal, wait for its prompt, and close it."""
    with create_pipe_input() as keyboard:
        opened = Terminal(session, assists or Assists(), history or History(None), keyboard, columns, rows)
        opened.wait(opened.dialogue.prompt.rstrip())
        try:
            yield opened
        finally:
            if opened.status is None:
                opened.press("c-c", "c-d")
            opened.leave()
