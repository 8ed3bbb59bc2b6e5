"""The thread beside that of the keyboard."""

from __future__ import annotations

import gc
import threading
import time

import pytest
from fitwright.repl.worker import Worker


def test_tasks_are_done_in_order_and_errors_are_for_the_one_who_waits() -> None:
    worker, done = Worker(), list[int]()
    futures = [worker.submit(lambda number=number: done.append(number)) for number in range(5)]  # type: ignore[misc]
    with pytest.raises(ZeroDivisionError):
        worker.submit(lambda: 1 // 0).result(5)
    assert worker.submit(lambda: 7).result(5) == 7
    assert all(future.done() for future in futures)
    assert done == [0, 1, 2, 3, 4]


def test_a_task_that_is_cancelled_before_its_turn_is_left_out() -> None:
    worker, go, done = Worker(), threading.Event(), list[int]()
    first = worker.submit(lambda: go.wait(5))
    second = worker.submit(lambda: done.append(2))
    assert second.cancel()
    go.set()
    assert first.result(5)
    assert worker.submit(lambda: 3).result(5) == 3
    assert done == []


def test_the_thread_ends_once_nobody_has_the_worker() -> None:
    before = set(threading.enumerate())
    worker = Worker()
    (thread,) = set(threading.enumerate()) - before
    worker.submit(lambda: None).result(5)
    del worker
    gc.collect()
    end = time.monotonic() + 5
    while thread.is_alive() and time.monotonic() < end:
        time.sleep(0.01)
    assert not thread.is_alive()
