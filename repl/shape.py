"""Plain JSON data held against a shape; whatever is not of it is an error with its place."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, NamedTuple

LARGEST = 10**60
"""Numbers beyond this, either way, are no lengths, prices or preferences."""

Shape = Any
"""What data must be: a type; a text, for that very text; `[shape]` for a list; `{str: shape}` for an object of any
keys, `{"key": shape}` for one of these keys; a tuple for one of several shapes."""

_NAMES = {str: "a text", int: "a whole number", list: "a list", dict: "an object", type(None): "null"}


class ShapeError(ValueError):
    """Data that is of another shape: the message has the place and what belongs there."""

    def __init__(self, place: str, what: str) -> None:
        super().__init__(f"{place}: {what}" if place else what)


class At(NamedTuple):
    """A piece of the data and its place, such as `answers[0].claims[2]`."""

    place: str
    value: Any

    def at(self, key: str | int) -> At:
        """Return the piece under a key or number."""
        step = f"[{key}]" if isinstance(key, int) else f".{key}" if self.place else key
        return At(f"{self.place}{step}", self.value[key])

    def each(self) -> Iterator[At]:
        """Yield the items of a list, or the values of an object."""
        yield from map(self.at, self.value if isinstance(self.value, dict) else range(len(self.value)))


def parsed(text: str, shape: Shape) -> At:
    """Return what a JSON text of a shape says. Raises `ShapeError`."""
    try:
        found = At("", json.loads(text, object_pairs_hook=_once))
        _hold(found, shape)
    except RecursionError:
        raise ShapeError("", "it is nested too deeply") from None
    except json.JSONDecodeError as error:
        raise ShapeError("", f"it is no JSON: {error.msg} (line {error.lineno}, column {error.colno})") from None
    except ShapeError:
        raise
    except ValueError:  # digits by the thousand
        raise ShapeError("", "a number in it is too large") from None
    return found


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(key for at, (key, _) in enumerate(pairs) if key in dict(pairs[:at]))
        raise ShapeError("", f"an object has the key {twice[:40]!r} twice")
    return found


def _hold(data: At, shape: Shape) -> None:
    """Raise `ShapeError` at the first place that is of another shape."""
    value = data.value
    if isinstance(shape, tuple):
        shape = max(shape, key=lambda each: _likeness(value, each))
    if isinstance(shape, list) and type(value) is list:
        for item in data.each():
            _hold(item, shape[0])
    elif isinstance(shape, dict) and type(value) is dict:
        if str not in shape and (wrong := sorted(shape.keys() ^ value.keys())):
            known = "is missing" if wrong[0] in shape else "does not belong here"
            raise ShapeError(data.place, f"the key {wrong[0][:40]!r} {known}")
        for key in value:
            _hold(data.at(key), shape[str] if str in shape else shape[key])
    elif isinstance(shape, str):
        if value != shape:
            raise ShapeError(data.place, f"{shape!r} belongs here")
    elif not isinstance(shape, type) or type(value) is not shape:
        raise ShapeError(data.place, f"{_NAMES[shape if isinstance(shape, type) else type(shape)]} belongs here")
    elif isinstance(value, int) and abs(value) > LARGEST:
        raise ShapeError(data.place, "the number is too large")


def _likeness(value: Any, shape: Shape) -> int:
    """Tell how much data is like a shape; a text that is asked for to the letter says most."""
    if not isinstance(shape, dict) or not isinstance(value, dict):
        return int(type(value) is shape)
    return sum(100 * (value[key] == own) if isinstance(own, str) else 1 for key, own in shape.items() if key in value)
