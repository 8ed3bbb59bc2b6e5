"""Work in a process of its own, so that it can be stopped and its memory measured."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Generator, Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any


class TooLong(Exception):
    """The next step took longer than its limit; the process has been stopped."""


class Died(Exception):
    """The process ended before its work did; the text says how, as far as is known."""


Work = Callable[..., Iterator[Any]]
"""A function at the top of a module that yields what it has done step by step."""


def isolated(work: Work, arguments: tuple[Any, ...], limit: float, preparation: float = 600) -> Generator[Any]:
    """Run the work in a fresh process and yield what it yields.

    A step may take `limit` seconds, one that ends by yielding None (preparing) `preparation` seconds. Raises
    `TooLong` and `Died`. The process never outlives the generator.
    """
    context = multiprocessing.get_context("spawn")
    receiver, sender = context.Pipe(duplex=False)
    process = context.Process(target=_send, args=(work, arguments, sender), daemon=True)
    process.start()
    sender.close()
    allowed = preparation
    try:
        while True:
            if not receiver.poll(allowed):
                raise TooLong
            try:
                word, step = receiver.recv()
            except EOFError:
                raise Died("killed, or out of memory") from None
            if word == "end":
                return
            if word == "error":
                raise Died(step)
            allowed = limit if step is None else preparation
            if step is not None:
                yield step
    finally:
        process.kill()
        process.join()
        receiver.close()


def _send(work: Work, arguments: tuple[Any, ...], sender: Connection) -> None:
    try:
        for step in work(*arguments):
            sender.send(("step", step))
        sender.send(("end", None))
    except (ArithmeticError, AttributeError, LookupError, MemoryError, RuntimeError, TypeError, ValueError) as error:
        sender.send(("error", f"{type(error).__name__}: {error}"))


def peak_memory() -> int | None:
    """Return the most memory that this process ever held, in bytes; None where the system does not tell.

    It is the high-water mark of the process itself: what `getrusage` says may be its parent's.
    """
    status = Path("/proc/self/status")
    if not status.exists():
        return None
    (line,) = (line for line in status.read_text().splitlines() if line.startswith("VmHWM:"))
    return int(line.split()[1]) * 1024
