"""The screens that the docs show: what is typed for each, on a terminal of which size."""

from __future__ import annotations

from typing import NamedTuple

from fitwright.catalogs import load
from fitwright.repl.session import Session
from terminal import terminal


class Capture(NamedTuple):
    """Lines that are entered one by one, then keys that are pressed, on a screen of some size."""

    columns: int
    rows: int
    lines: tuple[str, ...]
    keys: tuple[str, ...] = ()


CAPTURES = {
    "answer": Capture(100, 22, ("use rim", "door 1-3/4 in; into YEW-30", "fit 3")),
    "prompt": Capture(
        100, 16, ("use mortise; door 1-3/4 in", "into OAK-220; want finish 626; count"), ("want keyway ",)
    ),
    "menu": Capture(90, 14, ("use rim; door 1-3/4 in; into YEW-30; want finish 613",), ("keep ALD-T",)),
    "fault": Capture(60, 14, ("use rim; door 1-3/4 in; into YEW-30", "want finsh 626; fit"), ("want keywya",)),
}
"""The screens by the name that stands in the info string of a block: `screen=NAME`."""


def capture(name: str) -> str:
    """Return a screen as the lines of a block."""
    wanted = CAPTURES[name]
    with terminal(Session(load()), columns=wanted.columns, rows=wanted.rows) as screen:
        for line in wanted.lines:
            screen.press(line, "enter")
            screen.settle()
        screen.press(*wanted.keys)
        return f"{screen.settle()}\n"
