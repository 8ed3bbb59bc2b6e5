"""How what a statement rules out is read, where statements can be left out."""

from __future__ import annotations

from collections.abc import Iterable

from .part import Part
from .run import Reader
from .setting import Setting
from .statement import Sieve


class SieveReader(Reader):
    """Whether a statement rules a part out of a position. Parts in hand for the whole job are spared throughout.

    So leaving a statement out never takes an assembly away.
    """

    def __init__(self, setting: Setting, position: str, sieve: Sieve) -> None:
        super().__init__([position])
        self.sieve = sieve
        self.by_code = sieve.trait is None or sieve.of_bought
        self._in_hand = frozenset(setting.kept) if sieve.of_bought else frozenset[str]()

    def trait_names(self, position: str) -> Iterable[str]:
        """The trait that the sieve tests, where it tests one."""
        return () if self.sieve.trait is None else (self.sieve.trait,)

    def read(self, position: str, part: Part) -> bool:
        """Tell whether the part is ruled out."""
        return self.sieve.refuses(part) and part.code not in self._in_hand

    def gather(self, position: str, readings: tuple[bool, ...]) -> bool:
        """Tell whether one of them is."""
        return any(readings)
