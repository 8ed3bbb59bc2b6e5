"""The shell: a dialogue on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable
from concurrent.futures import Future, wait

from prompt_toolkit.input import Input
from prompt_toolkit.output import Output

from .dialogue import Dialogue
from .history import History
from .output import put
from .pager import Pager
from .plain import converse
from .prompt import Prompt
from .status import Status
from .telling import place, told, told_below
from .words import StatementError

AT_ONCE = 0.1
"""Seconds that the prompt waits for what is left; what is known later is shown above it."""


TURN = 0.0005
"""Seconds for which a thread that computes keeps the others waiting; a key takes many short turns to be shown."""

_NO_CONSOLE = "NoConsoleScreenBufferError"
"""What is raised on Windows where the terminal is no console; its class can be imported nowhere else."""


def shell(dialogue: Dialogue, history: History) -> int:
    """Talk on the terminal, plainly where it can't do more, and return the exit status."""
    try:
        opened = Shell(dialogue, history)
    except Exception as error:
        if type(error).__name__ != _NO_CONSOLE:
            raise
        return converse(dialogue, prompts=True)
    return opened.run()


class Shell:
    """Reads lines until the user leaves. `show` prints a text and its line end."""

    def __init__(
        self,
        dialogue: Dialogue,
        history: History,
        show: Callable[[str], None] = put,
        input: Input | None = None,
        output: Output | None = None,
    ) -> None:
        self._dialogue = dialogue
        self._history = history
        self._told = False
        self._show = show
        self._prompt = Prompt(dialogue, history, input, output)
        self._pager = Pager(show, input, output)
        dialogue.bench.tell = lambda: show("working; Ctrl-C stops it")

    def run(self) -> int:
        """Read lines until the user leaves, and return the exit status."""
        interval = sys.getswitchinterval()
        sys.setswitchinterval(TURN)
        try:
            return self._run()
        finally:
            sys.setswitchinterval(interval)

    def _run(self) -> int:
        dialogue = self._dialogue
        begun, column = "", 0
        self._show(dialogue.greeting)
        while not dialogue.over:
            self._tell_trouble()
            try:
                line = self._prompt.line(begun, column)
                begun, column = self._take(line)
            except KeyboardInterrupt:
                begun, column = "", 0
            except EOFError:
                begun, column = self._take("leave")
        return Status.YES

    def _take(self, line: str) -> tuple[str, int]:
        """Take a line and show what comes back; return the line that is given back to be mended, and the place."""
        dialogue = self._dialogue
        prompt, job, begun = dialogue.prompt, dialogue.session.said, ("", 0)
        answered = False
        try:
            for heard in dialogue.take(line):
                if isinstance(heard, StatementError):
                    below = "\n" not in line  # what was pasted has several lines: each fault names its own
                    self._show(told_below(line, heard, prompt, dialogue.page) if below else str(heard))
                    if dialogue.assists.mending and not begun[0]:
                        begun = line, place(line, heard)[1]
                else:
                    text = ("\n" if answered else "") + told(heard, dialogue.page)
                    answered = True
                    self._pager.show(text, stops=dialogue.assists.pages, below=self._prompt.rows)
        finally:  # also where the keyboard interrupts what is shown
            new = dialogue.session.said != job
            if new or dialogue.bench.outlook is None:
                self._look(echo=new and dialogue.assists.counts and not answered)
        return begun

    def _look(self, *, echo: bool) -> None:
        """Find out what is left of the job, for the toolbar and the completions, and say so."""
        dialogue, prompt = self._dialogue, self._prompt
        looking = dialogue.bench.look()
        looking.add_done_callback(lambda _: prompt.refresh())
        if echo and wait((looking,), AT_ONCE).done:
            self._tell_left()
        elif echo:
            looking.add_done_callback(self._tell_above)

    def _tell_above(self, looked: Future[None]) -> None:
        if not (looked.cancelled() or looked.exception()):
            self._prompt.show_above(self._tell_left)

    def _tell_left(self) -> None:
        if left := self._dialogue.left():
            self._show(left)

    def _tell_trouble(self) -> None:
        if self._history.trouble and not self._told:
            self._show(self._history.trouble)
            self._told = True
