"""One thread beside that of the keyboard: it does the computing, one task after the other."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from queue import SimpleQueue
from threading import Thread
from typing import Any, TypeVar
from weakref import finalize

Result = TypeVar("Result")
Tasks = SimpleQueue[tuple[Future[Any], Callable[[], Any]] | None]


class Worker:
    """Does tasks in the order in which they come; one that is cancelled before its turn is left out.

    The thread ends once nobody has the worker any more, or with the program, whatever it is doing: nobody waits for it.
    """

    def __init__(self) -> None:
        self._tasks: Tasks = SimpleQueue()
        Thread(target=_work, args=(self._tasks,), name="worker", daemon=True).start()
        finalize(self, self._tasks.put, None)

    def submit(self, task: Callable[[], Result]) -> Future[Result]:
        """Put a task at the end; what it returns or raises is in the future."""
        future: Future[Result] = Future()
        self._tasks.put((future, task))
        return future


def _work(tasks: Tasks) -> None:
    while taken := tasks.get():
        future, task = taken
        if future.set_running_or_notify_cancel():
            try:
                future.set_result(task())
            except BaseException as error:  # it belongs to the one who waits
                future.set_exception(error)
        del taken, future, task  # not kept until the next one comes
