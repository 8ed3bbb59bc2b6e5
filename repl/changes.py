"""A change in words, and as JSON: what stays, goes and comes, what else is as near, and the steps."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

from ..solver.fate import Fate
from ..solver.length import Unit, format_exactly
from .changed import Change, Changed, Step
from .near import listing
from .page import Page
from .wording import price

PIECES = ("piece", "pieces")


def changed_lines(changed: Changed, total: int, unit: Unit, currency: str, page: Page) -> Iterator[str]:
    """Yield the lines of a change; `total` is how many assemblies are equally near."""
    if not changed.changes:
        return
    first, *others = changed.changes
    yield _summary(changed, first, currency)
    if changed.left_out:
        yield f"left out of the job: {listing([f'`{text}`' for text in changed.left_out], 'and')}"
    yield from page.columns([_row(fate, unit) for fate in first.fates], frozenset({3}))
    if total > 1:
        are = "is" if total == 2 else "are"
        rest = "" if total - 1 == len(others) else f", the first {len(others):,} of them" if others else ""
        yield f"{total - 1:,} other{'' if total == 2 else 's'} {are} as near{rest}{':' if others else ''}"
    for other in others:
        yield f"- {_difference(first, other, unit)}"
    if first.steps:
        yield "steps (what stays and is in the way comes off before, and goes back after):"
        yield from (f"{number}. {step_words(step, unit)}" for number, step in enumerate(first.steps, 1))


def _summary(changed: Changed, change: Change, currency: str) -> str:
    if not change.steps:
        return "nothing has to change"
    numbers = {word: sum(fate.pieces for fate in change.fates if fate.word == word) for word in _SUMMED}
    told = [f"{number:,} {_SUMMED[word][number != 1]}" for word, number in numbers.items() if number]
    told[0] = told[0].replace(" ", f" {PIECES[told[0].split()[0] != '1']} ", 1)
    bought = f" for {price(change.cost, currency)}" if any(map(_is_bought, change.fates)) else ""
    return f"{listing(told, 'and')}{bought}{_keys(change) if changed.has_keys else ''}"


_SUMMED = {
    "stays": ("stays", "stay"),
    "is cut": ("is cut shorter", "are cut shorter"),
    "moves": ("moves", "move"),
    "goes": ("goes", "go"),
    "comes": ("comes", "come"),
}


def _is_bought(fate: Fate) -> bool:
    return fate.word == "comes" and not fate.host


def _keys(change: Change) -> str:
    if change.distance.rekeyed:
        return "; new keys are needed"
    if change.distance.keyed:
        pinned = {step.code: None for step in change.steps if step.pinned_to}
        return f"; the keys stay if {listing(pinned, 'and')} {'is' if len(pinned) == 1 else 'are'} pinned to them"
    return "; the keys stay"


def _row(fate: Fate, unit: Unit) -> list[str]:
    where = fate.new or fate.old or ""
    if fate.word == "moves":
        where = f"{fate.old} to {fate.new}"
    return [fate.word, where, _piece(fate, unit), price(fate.part.price * fate.pieces) if _is_bought(fate) else ""]


def _piece(fate: Fate, unit: Unit) -> str:
    times = f"{fate.pieces} x " if fate.pieces > 1 else ""
    if fate.shortened and fate.was is not None and fate.cut is not None:
        return f"{times}{fate.part.code} from {format_exactly(fate.was, unit)} to {format_exactly(fate.cut, unit)}"
    cut = fate.was if fate.new is None else fate.cut
    return f"{times}{fate.part.code}{'' if cut is None else f' cut {format_exactly(cut, unit)}'}"


def _difference(first: Change, other: Change, unit: Unit) -> str:
    """Say in which parts another change differs from the first."""
    ours, theirs = ([_at(fate, unit) for fate in each.fates if fate.new] for each in (first, other))
    without, instead = [at for at in ours if at not in theirs], [at for at in theirs if at not in ours]
    told = []
    for new, old in zip_longest(instead, without):
        told.append(f"{new} instead of {old.split(' ', 1)[1]}" if new and old else new or f"without {old}")
    return ", ".join(told)


def _at(fate: Fate, unit: Unit) -> str:
    return f"{fate.new} {_piece(fate, unit)}"


def step_words(step: Step, unit: Unit) -> str:
    """Write a step out."""
    times = f"{step.pieces} x " if step.pieces > 1 else ""
    cut = f" to {format_exactly(step.cut, unit)}" if step.cut is not None else ""
    pinned = f", pinned to {step.pinned_to}" if step.pinned_to else ""
    return f"{step.work} {times}{step.code}{cut} ({step.position}){pinned}"


def changed_form(changed: Changed, unit: Unit, currency: str) -> dict[str, Any]:
    """Return a change as JSON data."""
    return {
        "to": list(changed.to),
        "left out": list(changed.left_out),
        "nearest": [_change_form(each, unit, currency) for each in changed.changes],
    }


def _change_form(change: Change, unit: Unit, currency: str) -> dict[str, Any]:
    preference = change.distance._asdict()
    del preference["preference"]  # it is packed; what it consists of stands in the parts and the cost
    return {
        "parts": [
            {
                "what": fate.word,
                "code": fate.part.code,
                "quantity": fate.pieces,
                "from": fate.old,
                "to": fate.new,
                "was cut": None if fate.was is None else format_exactly(fate.was, unit),
                "cut": None if fate.cut is None else format_exactly(fate.cut, unit),
            }
            for fate in change.fates
        ],
        "distance": preference,
        "cost": price(change.cost),
        "currency": currency or None,
        "steps": [
            {
                "work": step.work,
                "code": step.code,
                "quantity": step.pieces,
                "position": step.position,
                "cut": None if step.cut is None else format_exactly(step.cut, unit),
                "pinned to": step.pinned_to or None,
            }
            for step in change.steps
        ],
    }
