"""The hand of a door, named by someone who stands on the key side."""

from __future__ import annotations

from difflib import get_close_matches
from enum import Enum
from typing import Literal, TypeAlias

from .notation import NotationError

Hinges: TypeAlias = Literal["left", "right"]
Opens: TypeAlias = Literal["away", "towards"]


class Hand(Enum):
    """The four hands of the North American trade; the value is the trade's short name."""

    LH = "LH"
    RH = "RH"
    LHR = "LHR"
    RHR = "RHR"

    @property
    def hinges(self) -> Hinges:
        """The side the hinges are on, seen from the key side."""
        return "left" if self in (Hand.LH, Hand.LHR) else "right"

    @property
    def opens(self) -> Opens:
        """Which way the door swings, seen from the key side."""
        return "away" if self in (Hand.LH, Hand.RH) else "towards"

    @property
    def from_other_side(self) -> Hand:
        """The hand the same door has where the key is used from the other side."""
        return hand_of(
            "right" if self.hinges == "left" else "left",
            "towards" if self.opens == "away" else "away",
        )


_HANDS: dict[tuple[Hinges, Opens], Hand] = {(hand.hinges, hand.opens): hand for hand in Hand}

_NAMES = {
    **{hand.value.lower(): hand for hand in Hand},
    "left hand": Hand.LH,
    "right hand": Hand.RH,
    "left hand reverse": Hand.LHR,
    "right hand reverse": Hand.RHR,
}


def hand_of(hinges: Hinges, opens: Opens) -> Hand:
    """The hand of a door from the side of its hinges and its swing, both seen from the key side.

    Raises ValueError for any other word.
    """
    hand = _HANDS.get((hinges, opens))
    if hand is None:
        raise ValueError(f"hinges are left or right and a door opens away or towards, not {hinges!r}, {opens!r}")
    return hand


def parse_hand(text: str) -> Hand:
    """Read a hand by its short or long name (`LHR`, `left-hand reverse`), capitals or not.

    Raises NotationError, which suggests a near name.
    """
    name = " ".join(text.replace("-", " ").lower().split())
    if name in _NAMES:
        return _NAMES[name]
    column = len(text) - len(text.lstrip())
    near = get_close_matches(name[:40], _NAMES, n=1, cutoff=0.5)
    guess = _NAMES[near[0]].value if near else None
    hint = f"did you mean {guess}?" if guess else "use LH, RH, LHR or RHR, as seen from the key side"
    if not name:
        raise NotationError(text, 0, "there is no hand here", hint)
    raise NotationError(text, column, f"{text.strip()[:40]!r} is not a hand", hint)
