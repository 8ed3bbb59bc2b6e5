"""Holding Python's garbage collector back while many objects are made that all stay."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def paused_collector() -> Iterator[None]:
    """Pause the cyclic garbage collector: it would walk the whole catalog again and again and find nothing."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()
