"""Turns the model into plain JSON values and back, by the annotations of its classes.

A dataclass or named tuple becomes the list of its fields, a choice between classes is led by the class's name, and
everything else is itself. Reading is strict: whatever is not of the annotated shape raises ValueError, TypeError,
KeyError or AttributeError (`BROKEN`), so that a damaged file can be told from a sound one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

T = TypeVar("T")
Decoder = Callable[[Any], Any]
BROKEN = (ValueError, TypeError, KeyError, AttributeError, IndexError, RecursionError, OverflowError)


def encode(value: Any, hint: Any) -> Any:
    """Return a value, annotated as `hint`, as lists, dictionaries, texts, whole numbers and None."""
    return _encoder(hint)(value)


def decode(hint: Callable[..., T], plain: Any) -> T:
    """Return the value that `encode` made the plain one of."""
    found: T = _decoder(hint)(plain)
    return found


@cache
def _encoder(hint: Any) -> Decoder:
    if hint in (str, int, bool, NoneType):
        return lambda value: value
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        return _union_encoder(inner)
    if origin is not None and issubclass(origin, Mapping):
        each = _encoder(inner[1])
        return lambda value: {key: each(item) for key, item in value.items()}
    if origin is frozenset:
        return sorted
    if origin is tuple and inner[-1] is Ellipsis:
        each = _encoder(inner[0])
        return lambda value: [each(item) for item in value]
    if origin is tuple:
        every = [_encoder(part) for part in inner]
        return lambda value: [encoder(item) for encoder, item in zip(every, value, strict=True)]
    shape = _shape(hint)
    encoders = [(name, _encoder(part)) for name, part in shape]
    return lambda value: [encoder(getattr(value, name)) for name, encoder in encoders]


def _union_encoder(inner: tuple[Any, ...]) -> Decoder:
    classes = {part: _encoder(part) for part in inner if isinstance(part, type) and is_dataclass(part)}
    if len(classes) > 1:
        return lambda value: [type(value).__name__, classes[type(value)](value)]
    rest = [part for part in inner if part not in (NoneType, int)]
    plain = (NoneType, int) if int in inner else (NoneType,)
    other = _encoder(rest[0]) if rest else _encoder(int)
    return lambda value: value if isinstance(value, plain) else other(value)


@cache
def _decoder(hint: Any) -> Decoder:
    if hint in (str, int, bool, NoneType):
        return _exactly(hint)
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        return _union_decoder(inner)
    if origin is not None and issubclass(origin, Mapping):
        each = _decoder(inner[1])
        return lambda plain: {key: each(item) for key, item in plain.items()}
    if origin is frozenset:
        each = _decoder(inner[0])
        return lambda plain: frozenset([each(item) for item in _list(plain)])
    if origin is tuple and inner[-1] is Ellipsis:
        each = _decoder(inner[0])
        return lambda plain: tuple([each(item) for item in _list(plain)])
    if origin is tuple:
        every = [_decoder(part) for part in inner]
        return lambda plain: tuple([read(item) for read, item in zip(every, _list(plain), strict=True)])
    readers = [_decoder(part) for _, part in _shape(hint)]
    return lambda plain: hint(*[read(item) for read, item in zip(readers, _list(plain), strict=True)])


def _union_decoder(inner: tuple[Any, ...]) -> Decoder:
    classes = {part.__name__: _decoder(part) for part in inner if isinstance(part, type) and is_dataclass(part)}
    if len(classes) > 1:
        return lambda plain: classes[plain[0]](plain[1])
    rest = [part for part in inner if part not in (NoneType, int)]
    plain_types = tuple(part for part in inner if part in (NoneType, int))
    other = _decoder(rest[0]) if rest else _exactly(int)
    return lambda plain: plain if type(plain) in plain_types else other(plain)


def _exactly(sort: type) -> Decoder:
    def read(plain: Any) -> Any:
        if type(plain) is not sort:
            raise TypeError(f"{sort.__name__} wanted")
        return plain

    return read


def _list(plain: Any) -> list[Any]:
    if type(plain) is not list:
        raise TypeError("list wanted")
    return plain


def _shape(hint: Any) -> list[tuple[str, Any]]:
    """Return the fields of a class in the order of its constructor, with what they are annotated as."""
    hints = get_type_hints(hint)
    names = [each.name for each in fields(hint) if each.init] if is_dataclass(hint) else list(hint._fields)
    return [(name, hints[name]) for name in names]
