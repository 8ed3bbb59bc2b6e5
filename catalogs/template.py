"""A text with options in braces, as `ALD-T{size}-{keyway}`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_PIECE = re.compile(r"\{([^{}]*)\}|([{}])")


@dataclass(frozen=True, slots=True)
class Template:
    """Literal pieces and, between each two of them, the option that stands there."""

    literals: tuple[str, ...]
    options: tuple[str, ...] = ()

    @classmethod
    def parse(cls, words: str) -> Template:
        """Split a text at its braces. Raises ValueError, with the offset, for a brace without its mate."""
        literals, options, at = [], [], 0
        for piece in _PIECE.finditer(words):
            if piece[2]:
                raise ValueError(piece.start())
            literals.append(words[at : piece.start()])
            options.append(piece[1].strip())
            at = piece.end()
        return cls((*literals, words[at:]), tuple(options))

    def fill(self, values: Mapping[str, str]) -> str:
        """Return the text with each option's value in its place."""
        if not self.options:
            return self.literals[0]
        filled = [self.literals[0]]
        for option, literal in zip(self.options, self.literals[1:], strict=True):
            filled.append(values[option])
            filled.append(literal)
        return "".join(filled)
