"""The line that is typed: its prompt, completions, marks, keys and the toolbar below."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable, Iterable
from concurrent.futures import Future
from contextlib import suppress

from prompt_toolkit.application import get_app, run_in_terminal
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition, completion_is_selected, has_completions
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.history import History as LineHistory
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.layout.processors import Processor, Transformation, TransformationInput
from prompt_toolkit.layout.utils import explode_text_fragments
from prompt_toolkit.output import ColorDepth, Output
from prompt_toolkit.shortcuts import CompleteStyle, PromptSession
from prompt_toolkit.styles import Style

from .dialogue import Dialogue
from .history import History
from .menu import Menu
from .standing import Standing
from .telling import place
from .toolbar import warning
from .words import StatementError

_STYLE = Style.from_dict(
    {
        "wrong": "underline",
        "completion-menu": "noinherit",
        "completion-menu.completion": "noinherit",
        "completion-menu.completion.current": "noinherit reverse",
        "completion-menu.meta.completion": "noinherit",
        "completion-menu.meta.completion.current": "noinherit reverse",
        "scrollbar.background": "noinherit",
        "scrollbar.button": "noinherit reverse",
        "bottom-toolbar": "reverse",
    }
)
"""Attributes, no colours: they look right on any background, and say nothing that words don't."""


MENU_ROWS = 6
"""So many rows are kept free for the menu, and one more for the line itself."""


MOMENT = 0.02
"""Seconds in which a search that is over has gone from the keyboard's thread too."""


class Prompt:
    """Reads lines from a terminal, and shows beside them what is known of the job."""

    def __init__(
        self, dialogue: Dialogue, history: History, input: Input | None = None, output: Output | None = None
    ) -> None:
        self._dialogue = dialogue
        self._seen: tuple[str, Standing, StatementError | None] = ("", Standing.FINE, None)
        self._late: deque[Callable[[], None]] = deque()
        self._menu = Menu(dialogue, self.refresh)
        self._session: PromptSession[str] = PromptSession(
            message=lambda: dialogue.prompt,
            completer=self._menu,
            complete_while_typing=Condition(lambda: dialogue.assists.menu),
            input_processors=[_Marks(self)],
            key_bindings=_keys(dialogue, self._menu),
            history=_Kept(history),
            style=_STYLE,
            color_depth=ColorDepth.MONOCHROME,
            enable_suspend=True,
            input=input,
            output=output,
        )
        self._session.default_buffer.on_text_changed += lambda _: self._look_at_line()

    def line(self, begun: str = "", column: int = 0) -> str:
        """Return the next line. Raises `EOFError` at the end, `KeyboardInterrupt` where it is given up."""
        assists, session = self._dialogue.assists, self._session
        session.bottom_toolbar = self._toolbar if assists.toolbar else None
        session.complete_style = CompleteStyle.COLUMN if assists.menu else CompleteStyle.READLINE_LIKE
        session.reserve_space_for_menu = MENU_ROWS if assists.menu else 0
        return session.prompt(default=Document(begun, column), pre_run=self._show_late)

    @property
    def rows(self) -> int:
        """How many rows of the screen the line and what stands below it take."""
        assists = self._dialogue.assists
        return 1 + assists.menu * MENU_ROWS + assists.toolbar

    def show_above(self, show: Callable[[], None]) -> None:
        """Show something above the line while one is being typed; call it from any thread."""
        if not self._soon(lambda: run_in_terminal(show)):
            self._late.append(show)

    def refresh(self) -> None:
        """Show what has become known; call it from any thread."""
        self._soon(self._renew)

    def _renew(self) -> None:
        state, redraw = self._session.default_buffer.complete_state, self._session.app.invalidate
        redraw()
        if state:
            suggested = self._menu.suggest(state.original_document)
            suggested.add_done_callback(lambda _: self._soon(lambda: self._menu.renew(state, suggested)))
            suggested.add_done_callback(lambda _: self._soon(redraw))

    def _soon(self, act: Callable[[], object]) -> bool:
        """Let the thread of the keyboard act while a line is being typed; tell whether one is."""
        if loop := self._session.app.loop:
            with suppress(RuntimeError):  # the line was finished in this moment
                loop.call_soon_threadsafe(act)
                return True
        return False

    def _show_late(self) -> None:
        while self._late:
            self._late.popleft()()

    @property
    def fault(self) -> StatementError | None:
        """What is wrong with the line as it is, as far as it has been looked at."""
        text, standing, error = self._seen
        same = text == self._session.default_buffer.text
        return error if standing is Standing.WRONG and same and self._dialogue.assists.checks else None

    def _look_at_line(self) -> None:
        text = self._session.default_buffer.text
        if not self._dialogue.assists.checks:
            return

        def seen(future: Future[tuple[Standing, StatementError | None]]) -> None:
            if not future.cancelled() and not future.exception():
                self._seen = (text, *future.result())
                self._soon(self._session.app.invalidate)

        self._dialogue.bench.judge(text).add_done_callback(seen)

    def _toolbar(self) -> StyleAndTextTuples:
        width = get_app().output.get_size().columns
        if self.fault:
            return [("", warning(self.fault, width))]
        return [("", self._dialogue.toolbar(width))]


class _Marks(Processor):
    """Underlines the word that is wrong."""

    def __init__(self, prompt: Prompt) -> None:
        self._prompt = prompt

    def apply_transformation(self, transformation_input: TransformationInput) -> Transformation:
        """Mark it, where it stands in this line."""
        pieces, fault = explode_text_fragments(transformation_input.fragments), self._prompt.fault
        if fault and not transformation_input.lineno:
            start, end = place(transformation_input.document.text, fault)
            pieces[start:end] = [(f"{style} class:wrong", text) for style, text, *_ in pieces[start:end]]
        return Transformation(pieces)


class _Kept(LineHistory):
    """The lines of earlier sessions, and those of this one."""

    def __init__(self, history: History) -> None:
        super().__init__()
        self._history = history

    def load_history_strings(self) -> Iterable[str]:
        """Return the lines, the latest first."""
        return reversed(self._history.lines())

    def append_string(self, string: str) -> None:
        """Keep a line that is not the same as the one before."""
        if string.strip() and [string] != self._loaded_strings[:1]:
            super().append_string(string)

    def store_string(self, string: str) -> None:
        """Keep it for later sessions."""
        self._history.add(string)


def _keys(dialogue: Dialogue, menu: Menu) -> KeyBindings:
    keys = KeyBindings()

    @keys.add("backspace", filter=Condition(lambda: dialogue.assists.menu))
    def _look_again(event: KeyPressEvent) -> None:
        """Offer what can stand at the cursor now, as after any other key."""
        buffer = event.current_buffer
        buffer.delete_before_cursor(event.arg)
        if buffer.text.strip():
            buffer.start_completion(select_first=False)
            event.app.create_background_task(_offered(buffer, menu))

    @keys.add("escape", filter=has_completions)
    def _close_menu(event: KeyPressEvent) -> None:
        event.current_buffer.cancel_completion()

    @keys.add("enter", filter=completion_is_selected)
    def _take_completion(event: KeyPressEvent) -> None:
        event.current_buffer.complete_state = None

    return keys


async def _offered(buffer: Buffer, menu: Menu) -> None:
    """Open the menu once it is known what belongs into it: a search for a longer text may have been under way."""
    document = buffer.document
    await asyncio.wait((asyncio.wrap_future(menu.suggest(document)),))
    await asyncio.sleep(MOMENT)
    if buffer.document == document and not buffer.complete_state:
        buffer.start_completion(select_first=False)
