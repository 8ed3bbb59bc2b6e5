"""Long answers, a screenful at a time."""

from __future__ import annotations

from collections.abc import Callable

from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.output import ColorDepth, Output
from prompt_toolkit.shortcuts import PromptSession

from .wording import counted

_NEXT, _ALL, _LEAVE = "next", "all", "leave"
_KEYS = {
    _NEXT: ("enter", " ", "pagedown", "down"),
    _ALL: ("a",),
    _LEAVE: ("q", "escape", "c-c", "c-d"),
}


class Pager:
    """Shows texts; one that is taller than the screen stops at each screenful until a key is pressed."""

    def __init__(self, show: Callable[[str], None], input: Input | None = None, output: Output | None = None) -> None:
        self._show = show
        self._more = PromptSession[str](
            key_bindings=_keys(),
            erase_when_done=True,
            color_depth=ColorDepth.MONOCHROME,
            input=input,
            output=output,
        )

    def show(self, text: str, *, stops: bool, below: int = 1) -> None:
        """Show a text; where it never `stops`, or fits on the screen with so many lines `below` it, all at once."""
        lines = text.split("\n")
        height = max(self._more.app.output.get_size().rows - below, 2)
        if not stops or len(lines) <= height:
            self._show(text)
            return
        while lines:
            self._show("\n".join(lines[:height]))
            lines = lines[height:]
            pressed = self._pressed(len(lines)) if lines else _LEAVE
            if pressed == _ALL:
                self._show("\n".join(lines))
            if pressed != _NEXT:
                return

    def _pressed(self, left: int) -> str:
        more = f"{counted(left, 'line', 'lines')} more: Enter goes on, a shows all, q stops "
        try:
            return self._more.prompt(more)
        except (KeyboardInterrupt, EOFError):
            return _LEAVE


def _keys() -> KeyBindings:
    """Let single keys answer; all others do nothing."""
    keys = KeyBindings()

    def answers(result: str) -> Callable[[KeyPressEvent], None]:
        return lambda event: event.app.exit(result=result)

    @keys.add("<any>")
    def _nothing(event: KeyPressEvent) -> None:
        """Take no other key for text."""

    for result, names in _KEYS.items():
        for name in names:
            keys.add(name, eager=True)(answers(result))
    return keys
