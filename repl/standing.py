"""How a line stands while it is typed: right, unfinished, or beyond mending by typing on."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from ..solver.catalog import Catalog
from ..solver.statement import Statement
from .job_file import Rehearsal
from .ledger import Ledger
from .parse import pieces, read
from .places import Place, places
from .vocabulary import Scene
from .words import StatementError


class Standing(Enum):
    """What typing on can still do for a line."""

    FINE = "fine"
    UNFINISHED = "unfinished"
    WRONG = "wrong"


def standing(
    text: str, catalog: Catalog, said: Ledger | Sequence[Statement] = ()
) -> tuple[Standing, StatementError | None]:
    """Judge a line that would be said after `said`, with the error where it is wrong.

    It is unfinished if only its end is wrong and may become right by typing on. The error's text is the line, its
    column a place in it.
    """
    ledger = said if isinstance(said, Ledger) else Ledger(tuple(said))
    desk = Rehearsal(catalog)
    for piece in pieces(text):
        scene = Scene(catalog, ledger.facts)
        ends = tuple(places(piece.text, scene)) if piece.end == len(text) else ()
        if _in_the_middle(ends, scene):
            return Standing.UNFINISHED, None
        reading = read(piece.text, catalog, ledger, desk)
        if not reading.errors:
            ledger = reading.ledger
            continue
        error = reading.errors[0]
        at = len(piece.text) - len(piece.text.lstrip()) + error.column
        if any(place.since <= at and place.may_take(scene) for place in ends):
            return Standing.UNFINISHED, None
        return Standing.WRONG, StatementError(piece.number, piece.line, piece.column + at, error.what, error.hint)
    return Standing.FINE, None


def _in_the_middle(ends: Sequence[Place], scene: Scene) -> bool:
    """Tell whether it is plain without reading that the last word is not finished, or is one that is slow to read."""
    begun = [place for place in ends if place.typed and place.may_take(scene)]
    if any(place.slot.slow and place.slot.slow(place.typed) for place in begun):
        return True
    read_before = [place for place in begun if not place.since]
    return bool(read_before) and not any(place.slot.takes(place.typed, scene, place.before) for place in read_before)
