"""What lines of text are laid out on: a stream that takes any line, or a screen of some width."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

Cells = Sequence[str]

_NO_NUMBERS: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Page:
    """How wide the lines may be, in columns of the screen (None: as wide as they are), and whether tables may stand.

    Where a table may not stand, or is too wide, each of its rows becomes a line that names what it holds.
    """

    width: int | None = None
    tables: bool = True

    def table(self, heads: Cells, rows: Sequence[Cells], numbers: frozenset[int] = _NO_NUMBERS) -> Iterator[str]:
        """Yield rows under their heads, those of number columns to the right."""
        yield from self._laid([heads, *rows], numbers) or (_named(heads, row) for row in rows)

    def columns(self, rows: Sequence[Cells], numbers: frozenset[int] = _NO_NUMBERS) -> Iterator[str]:
        """Yield rows that need no heads."""
        yield from self._laid(rows, numbers) or (_listed(row) for row in rows)

    def _laid(self, rows: Sequence[Cells], numbers: frozenset[int]) -> list[str]:
        """Return the rows with their cells one below the other; none where they may not stand so."""
        if not self.tables:
            return []
        widths = [max(map(columns_of, column)) for column in zip(*rows, strict=True)]
        lines = ["  ".join(_padded(cells, widths, numbers)).rstrip() for cells in rows]
        return lines if self.width is None or max(map(columns_of, lines)) <= self.width else []

    def wrapped(self, line: str) -> Iterator[str]:
        """Yield a line in pieces that fit, broken at blanks, those after the first moved in."""
        if self.width is None or columns_of(line) <= self.width:
            yield line
            return
        body = line.lstrip(" ")
        indent = " " * (len(line) - len(body))
        piece = indent
        for word in body.split(" "):
            longer = f"{piece} {word}" if piece.strip() else piece + word
            if piece.strip() and columns_of(longer) > self.width:
                yield piece
                longer = f"{indent}  {word}"
            piece = longer
        yield piece


def columns_of(text: str) -> int:
    """Return how many columns of a screen a text takes: two for wide characters, none for those that combine."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(character) else 2 if unicodedata.east_asian_width(character) in "WF" else 1
        for character in text
    )


def _padded(cells: Cells, widths: Sequence[int], numbers: frozenset[int]) -> Iterator[str]:
    for place, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        blanks = " " * (width - columns_of(cell))
        yield blanks + cell if place in numbers else cell + blanks


def _named(heads: Cells, row: Cells) -> str:
    """Write a row as its first cell and what the others are; of two cells under heads the second needs no name."""
    first, *rest = row
    plain = len(row) == 2 and bool(heads[0])
    named = [cell if plain else f"{head} {cell}" for head, cell in zip(heads[1:], rest, strict=True) if cell.strip()]
    return f"{first}{': ' if heads[0] else '  '}{', '.join(named)}" if named else first


def _listed(row: Cells) -> str:
    return f"{row[0]}: {', '.join(cell for cell in row[1:] if cell.strip())}"
