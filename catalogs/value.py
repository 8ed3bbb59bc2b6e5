"""Readers of single values: names, words, codes, numbers, prices, lengths and sums of dimensions."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple, TypeAlias

from ..solver.check import Ref
from ..solver.length import Length, Unit
from ..solver.notation import NotationError, parse_length, parse_span
from ..solver.part import STATUSES
from ..solver.span import Span
from ..solver.thread import Thread, parse_thread
from .fault import suggestion
from .node import Listing, Node, Scalar
from .reading import Misread, Reader, one_or_more, refuse, text

MOST_TIMES = 99
"""The largest count, quantity, `up to`, factor or divisor."""

MOST_PRICE = 10**11
"""In hundredths: a price must stay below the rank that a status has in a part's preference."""

_NAME = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
_LABEL = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_WORD = re.compile(r"[^\s,;:{}\[\]\"'`#]+")
_CODE_PIECE = re.compile(r"[A-Z0-9./-]+")
_CODE = re.compile(r"[A-Z0-9][A-Z0-9./-]*")
_WHOLE = re.compile(r"[0-9]{1,9}")
_PRICE = re.compile(r"(?P<whole>[0-9]{1,12})(?:\.(?P<part>[0-9]+))?")
_TERM = re.compile(
    r"(?P<sign>-?)\s*(?:(?P<times>[0-9]{1,9})\s*x\s+)?(?P<owner>[^\W\d][^\s./]*)\.(?P<name>[^\s/]+)"
    r"(?:\s*/\s*(?P<parts>[0-9]{1,9}))?"
)


def is_code(word: str) -> bool:
    """Tell whether a word could be the code of a part."""
    return _CODE.fullmatch(word) is not None


def is_code_piece(word: str) -> bool:
    """Tell whether a word may stand in a code."""
    return _CODE_PIECE.fullmatch(word) is not None


def _shaped(pattern: re.Pattern[str], node: Node, sort: str, hint: str) -> str:
    words = text(node)
    if not pattern.fullmatch(words):
        refuse(node, f"`{words[:60]}` is no {sort}", hint)
    return words


def name(node: Node) -> str:
    """Read the name of a definition."""
    return _shaped(_NAME, node, "name", "write lower-case words joined by hyphens, a letter first")


def label(node: Node) -> str:
    """Read a name that may be a number, as published preparations have it."""
    return _shaped(_LABEL, node, "name", "write lower-case words or digits joined by hyphens")


def word(node: Node) -> str:
    """Read one word: the value of a trait or a token."""
    return _shaped(_WORD, node, "single word", "write one word without blanks, commas, colons, quotes or brackets")


def words(node: Node) -> tuple[str, ...]:
    """Read one word or a list of different ones, in one order whatever the author's."""
    found = one_or_more(word)(node)
    twice = next((one for index, one in enumerate(found) if one in found[:index]), None)
    if twice is not None:
        refuse(node, f"`{twice}` is listed twice", "list each once")
    return tuple(sorted(found))


def code(node: Node) -> str:
    """Read the code of a part."""
    return _shaped(_CODE, node, "code", "write capitals, digits and -./, a capital or digit first")


def code_piece(node: Node) -> str:
    """Read what stands in a code."""
    return _shaped(_CODE_PIECE, node, "piece of a code", "write capitals, digits and -./ only")


def choice(*known: str) -> Reader[str]:
    """Make a reader of one word out of a few."""

    def read(node: Node) -> str:
        found = text(node)
        if found not in known:
            near = suggestion(found, known)
            hint = near if near.startswith("did") else "choose one of these"
            refuse(node, f"`{found[:60]}` is not one of {', '.join(known)}", hint)
        return found

    return read


status = choice(*STATUSES)
_flag = choice("true", "false")


def flag(node: Node) -> bool:
    """Read true or false."""
    return _flag(node) == "true"


def times(least: int = 1) -> Reader[int]:
    """Make a reader of a small whole number."""

    def read(node: Node) -> int:
        found = text(node)
        if not _WHOLE.fullmatch(found) or not least <= int(found) <= MOST_TIMES:
            refuse(node, f"`{found[:60]}` is no whole number from {least} to {MOST_TIMES}", "write one in digits")
        return int(found)

    return read


def price(node: Node) -> int:
    """Read a price, in hundredths."""
    found = text(node)
    shape = _PRICE.fullmatch(found)
    if shape is None:
        negative = re.fullmatch(r"-\s*[0-9.]+", found)
        refuse(
            node,
            "a price below nothing" if negative else f"`{found[:60]}` is no price",
            "write a price such as 12.50, without sign, currency or commas",
        )
    part = shape["part"] or ""
    if len(part) > 2:
        refuse(node, f"the price {found[:60]} has more than two places", "round it to hundredths")
    hundredths = int(shape["whole"]) * 100 + int(part.ljust(2, "0"))
    if hundredths >= MOST_PRICE:
        refuse(node, "a price of a thousand million or more", "check the number")
    return hundredths


def _unreadable(node: Node, error: NotationError) -> Misread:
    node.fault(error.what, error.hint, shift=error.column)
    return Misread()


def length(node: Node) -> Length:
    """Read one exact length, of either sign."""
    try:
        return parse_length(_raw(node), node.page.unit, signed=True)
    except NotationError as error:
        raise _unreadable(node, error) from error


def positive_length(node: Node) -> Length:
    """Read one exact length above nothing."""
    found = length(node)
    if found <= 0:
        refuse(node, f"`{text(node)}` is not more than 0", "give a length above 0")
    return found


def tolerance(node: Node) -> Length:
    """Read what a length may be off at most, either way."""
    found = length(node)
    if found < 0:
        refuse(node, "a tolerance below 0", "give it without a sign")
    return found


def span(node: Node) -> Span:
    """Read a dimension with its tolerance."""
    try:
        return _span(_raw(node), node.page.unit)
    except NotationError as error:
        raise _unreadable(node, error) from error


@lru_cache(maxsize=4096)
def _span(words: str, unit: Unit | None) -> Span:
    return parse_span(words, unit, signed=True)


def thread(node: Node) -> Thread:
    """Read the designation of a screw thread."""
    try:
        return _thread(_raw(node))
    except NotationError as error:
        raise _unreadable(node, error) from error


@lru_cache(maxsize=256)
def _thread(words: str) -> Thread:
    return parse_thread(words)


def _raw(node: Node) -> str:
    """Return the text unstripped, so that columns in it stay true."""
    text(node)
    return node.text if isinstance(node, Scalar) else ""


Look: TypeAlias = Callable[[Ref, Node], None]
"""Refuses a reference that leads nowhere."""


class Share(NamedTuple):
    """A dimension taken some times, or a part of it: a term as an author writes it."""

    factor: Fraction
    ref: Ref


Limit: TypeAlias = Length | tuple[Share, ...]
"""A bound as an author writes it."""


def ref(look: Look) -> Reader[Ref]:
    """Make a reader of `owner.name`."""

    def read(node: Node) -> Ref:
        found = term(look)(node)
        if found.factor != 1:
            refuse(node, f"`{text(node)[:60]}` is not a single name", "write owner.name, without sign or number")
        return found.ref

    return read


def term(look: Look) -> Reader[Share]:
    """Make a reader of `owner.name`, `-owner.name`, `2 x owner.name` or `owner.name / 2`."""

    def read(node: Node) -> Share:
        found = text(node)
        shape = _TERM.fullmatch(found)
        if shape is None or not _NAME.fullmatch(shape["owner"]) or not _NAME.fullmatch(shape["name"]):
            hint = "write owner.name, -owner.name, 2 x owner.name or owner.name / 2"
            refuse(node, f"`{found[:60]}` is no term", hint)
        factor, parts = int(shape["times"] or "1"), int(shape["parts"] or "1")
        for sort, number in (("factor", factor), ("divisor", parts)):
            if not 1 <= number <= MOST_TIMES:
                refuse(node, f"the {sort} {number} is not from 1 to {MOST_TIMES}", "write a small whole number")
        meant = Ref(shape["owner"], shape["name"])
        look(meant, node)
        return Share(Fraction(-factor if shape["sign"] else factor, parts), meant)

    return read


def terms(look: Look) -> Reader[tuple[Share, ...]]:
    """Make a reader of sums: one term, or a list of them with each dimension once."""

    def read(node: Node) -> tuple[Share, ...]:
        found = one_or_more(term(look))(node)
        seen: set[Ref] = set()
        for one in found:
            if one.ref in seen:
                refuse(node, f"`{one.ref}` stands twice in one sum", f"write it once, as 2 x {one.ref}")
            seen.add(one.ref)
        return tuple(found)

    return read


def bound(look: Look) -> Reader[Limit]:
    """Make a reader of limits: a length, a dimension, or a list of dimensions to add up."""

    def read(node: Node) -> Limit:
        if isinstance(node, Listing) or _TERM.fullmatch(text(node)):
            return terms(look)(node)
        return length(node)

    return read
