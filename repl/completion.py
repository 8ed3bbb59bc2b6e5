"""What may come next at a place in a line, the most fitting first."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from heapq import nsmallest
from typing import NamedTuple

from ..solver.statement import Statement
from .ledger import Ledger
from .near import natural, near, normal
from .outlook import Outlook
from .parse import Piece, pieces, read
from .places import Place, places
from .standing import Standing, standing
from .vocabulary import Names, Scene
from .words import StatementError, Words

MOST = 50
"""More suggestions than this are no help."""

_WORD_END = re.compile(r"[^\s,;#]*")
_EXACT, _PREFIX, _PART, _MEANING, _NEAR = range(5)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A text to put in between the column `start` and the cursor, with its meaning.

    `count` is how many assemblies it leaves, None where that is not known (yet) or means nothing here; where it is 0,
    `reason` says why in a few words, once that is known.
    """

    text: str
    start: int
    meaning: str = ""
    count: int | None = None
    reason: str = ""


class _Match(NamedTuple):
    """A name that may be meant: how well it matches what was typed, and where it stands among the others."""

    how: int
    order: int
    name: str


@dataclass(frozen=True, slots=True)
class _Found:
    """A name to offer, what it would say, and how many assemblies that leaves."""

    name: str
    meaning: str
    count: int | None = None
    said: Statement | None = None


def suggestions(
    text: str, cursor: int, scene: Scene, outlook: Outlook | None = None, ledger: Ledger | None = None
) -> list[Suggestion]:
    """Return what may be put in at the cursor, at most fifty, in this order.

    Possible before impossible; exact, then by prefix, by a part of a code, by its meaning, by a slip of the finger;
    frequent before rare; then as the catalog or the language has them, codes in natural order. `scene` is what was
    said before the text, `outlook` the job as it is then, `ledger` the facts with what can be undone, if anything can.
    """
    cursor = max(0, min(cursor, len(text)))
    piece, scene = _here(text, cursor, scene, ledger or Ledger(scene.said))
    if piece is None:
        return []
    if outlook:
        outlook.keystroke()
        outlook = outlook.on(scene.said)
    typed = text[piece.start + piece.column : cursor]
    rest = text[cursor : piece.end]
    tail = _WORD_END.match(rest)[0]  # type: ignore[index]
    found: dict[str, Suggestion] = {}
    for place in places(typed, scene):
        start = piece.start + piece.column + place.column
        for each in _at(place, typed, scene, outlook):
            put = _before_tail(each.name, place.typed, tail)
            if put is None or (rest.strip() and not _stands(typed[: place.column] + put + rest, scene)):
                continue
            reason = outlook.reason(each.said) if outlook and each.said and each.count == 0 else ""
            found.setdefault(put, Suggestion(put, start, each.meaning, each.count, reason))
    return list(found.values())[:MOST]


def _here(text: str, cursor: int, scene: Scene, ledger: Ledger) -> tuple[Piece | None, Scene]:
    """Return the piece of the text that the cursor stands in, and what is said before it."""
    for piece in pieces(text):
        if piece.start + piece.column <= cursor <= piece.end:
            return piece, replace(scene, said=ledger.facts)
        if piece.end < cursor:
            ledger = read(piece.text, scene.catalog, ledger).ledger
    return None, scene


def _stands(text: str, scene: Scene) -> bool:
    return standing(text, scene.catalog, scene.said)[0] is not Standing.WRONG


def _before_tail(name: str, typed: str, tail: str) -> str | None:
    """Return what to put before the rest of a word so that the name is written; None where that is impossible."""
    if not tail:
        return name
    fits = name.casefold().endswith(tail.casefold()) and len(name) >= len(typed) + len(tail)
    return name[: len(name) - len(tail)] if fits else None


def _at(place: Place, typed: str, scene: Scene, outlook: Outlook | None) -> list[_Found]:
    offers = (place.slot.offers or place.slot.names)(scene, place.before)
    taken = {word.casefold() for word in place.before}
    parts = scene.catalog.parts
    states = place.form is not None and not place.form.asks
    frequencies = outlook.frequencies if outlook and states else {}

    def rank(match: _Match) -> tuple[int, int]:
        return match.how, -frequencies.get(match.name, 0)

    matches = (match for match in _matching(place.typed, offers) if match.name.casefold() not in taken)
    chosen = nsmallest(MOST, matches, key=lambda match: (*rank(match), match.order))
    chosen.sort(key=lambda match: (*rank(match), _in_order(match, parts)))
    found = [_Found(match.name, offers[match.name]) for match in chosen]
    if outlook and states:
        found = [_counted(each, typed[: place.column], scene, outlook, place) for each in found]
        found.sort(key=lambda each: each.count == 0)
    return found


def _in_order(match: _Match, parts: Collection[str]) -> tuple[bool, list[str | Fraction], int]:
    """Return what sorts codes in natural order, and other names as the catalog or the language has them."""
    is_part = match.name in parts
    return is_part, natural(match.name) if is_part else [], match.order


def _counted(each: _Found, begun: str, scene: Scene, outlook: Outlook, place: Place) -> _Found:
    """Say the name in the statement, and count what that would leave."""
    assert place.form is not None
    try:
        said = place.form.read(_words_of(begun + each.name), scene)
    except StatementError:
        return each
    if not isinstance(said, Statement):
        return each
    return replace(each, said=said, count=outlook.leaves(said))


def _words_of(text: str) -> Words:
    """Return the words of a statement, its first one taken."""
    words = Words(text.strip())
    words.take("a word")
    return words


def _matching(typed: str, offers: Names) -> Iterator[_Match]:
    """Yield the names that may be meant, each once."""
    begun, plain = typed.casefold(), normal(typed)
    rest = []
    found = 0
    for order, (name, meaning) in enumerate(offers.items()):
        folded = name.casefold()
        if folded.startswith(begun):
            found += 1
            yield _Match(_EXACT if folded == begun else _PREFIX, order, name)
        else:
            rest.append((order, name, meaning))
    if found >= MOST:
        return  # nothing else comes before these
    # A part of a code begins after anything that is neither letter nor figure, or between the two.
    pattern = "[-_ ]?".join(map(re.escape, plain))
    within = re.compile(rf"(?:^|[\W_]|(?<=\d)(?=\D)|(?<=\D)(?=\d)){pattern}", re.IGNORECASE) if plain else None
    told = re.compile(rf"\b{re.escape(begun)}", re.IGNORECASE) if len(begun) > 1 else None
    for order, name, meaning in rest:
        # The plain tests come first: they refuse most, in far less time.
        if within and plain in normal(name) and within.search(name):
            how = _PART
        elif told and begun in meaning.casefold() and told.search(meaning):
            how = _MEANING
        else:
            continue
        found += 1
        yield _Match(how, order, name)
    if not found and len(typed) > 1:
        yield from (_Match(_NEAR, order, name) for order, name in enumerate(near(typed, offers)))
