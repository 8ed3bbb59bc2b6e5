"""The least that can't hold together: QuickXplain over any test of consistency."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

Item = TypeVar("Item")


def minimal_conflict(items: Sequence[Item], consistent: Callable[[tuple[Item, ...]], bool]) -> tuple[Item, ...]:
    """Return items that are inconsistent together, and no longer so when any one of them is taken out.

    Earlier items are preferred as members. `consistent` must be monotonic: taking an item out never makes the rest
    inconsistent. Empty where nothing at all is inconsistent already. ValueError if all items together are consistent.
    (Junker, QuickXplain: Preferred Explanations and Relaxations for Over-Constrained Problems, AAAI 2004, fig. 1)
    """
    if consistent(tuple(items)):
        raise ValueError("all items together are consistent")
    if not items or not consistent(()):
        return ()

    def explain(fixed: tuple[Item, ...], added: bool, rest: tuple[Item, ...]) -> tuple[Item, ...]:
        if added and not consistent(fixed):
            return ()
        if len(rest) == 1:
            return rest
        first, second = rest[: len(rest) // 2], rest[len(rest) // 2 :]
        of_second = explain(fixed + first, True, second)
        of_first = explain(fixed + of_second, bool(of_second), first)
        return of_first + of_second

    return explain((), False, tuple(items))
