"""Texts that are not right yet, and would be if one typed on: lengths, hands, numbers."""

from __future__ import annotations

import re
from collections.abc import Callable

from ..solver.hand import Hand
from ..solver.notation import parse_span

_FOREIGN = re.compile(
    r"(?!(?:in|inch|inches|mm|millimet(?:re|er)s?|ft|foot|feet|to)(?![^\W\d_]))(?<![^\W\d_])[^\W\d_]+", re.IGNORECASE
)
_MARK = re.compile(r"[^\W\d_]|['\"″”’′]")  # noqa: RUF001

_ENDS = (
    *("", "in", "1 in", "2 in", "4 in", "5 in", "6 in", "8 in", "9 in", "16 in", "28 in"),
    *("1/64 in", "7/8 in", "-7/8 in"),
    *("mm", "0 mm", "9 mm", "99 mm", ".99 mm", "/64 in", "'", "200 mm", ".200 mm", "9999 mm", "99 in"),
    *("/-0 in", "/-0.01 mm", "-0.01 mm", "-0.01 in", "0.01/-0.01 mm", "0.01/-0.01 in", "01/-0 in", "- 1/64 in"),
)
"""What may follow a length that has been begun, whichever way it was: an end for each of its places."""


def foreign(text: str) -> bool:
    """Tell whether a text has a unit in it other than the inch, the foot and the millimetre, written out."""
    return _FOREIGN.search(text) is not None


def length(text: str, read: Callable[[str], object] = parse_span) -> bool:
    """Tell whether a text may become a length, or a span with its tolerance, that `read` takes.

    `read` raises ValueError for what it does not take. It is never called with a foreign unit: to look one up takes
    longer than a keystroke, so that any passes until it is read in earnest.
    """
    if not text.strip():
        return True
    takes = read
    if foreign(text):
        takes = parse_span
        text = _FOREIGN.sub("mm", re.sub(r"(?<![^\W\d_])t$", "to", text, flags=re.IGNORECASE))
    elif not _MARK.search(text):  # without a unit it may be in the smallest; only the notation can be judged
        takes = parse_span
    wholes = (text + blank + end for end in _ENDS for blank in ("", " "))
    return any(_takes(takes, whole) for whole in wholes if not foreign(whole))


def _takes(read: Callable[[str], object], text: str) -> bool:
    try:
        read(text)
    except ValueError:
        return False
    return True


def hands() -> dict[str, str]:
    """Return the hands of a door, each with its plain meaning; last those that were seen from inside."""
    meant = {hand.value: f"hinges {hand.hinges}, opens {hand.opens}, seen from the key side" for hand in Hand}
    return {**meant, **{f"{name} from inside": f"{name}, seen from inside" for name in meant}}


_HANDS = [
    f"{name}{side}"
    for name in (
        *(hand.value.lower() for hand in Hand),
        *(f"{side} hand{way}" for side in ("left", "right") for way in ("", " reverse")),
    )
    for side in ("", " from inside", " from the inside", " from outside", " from the outside")
]


def hand(text: str) -> bool:
    """Tell whether a text may become the hand of a door."""
    begun = " ".join(text.replace("-", " ").lower().split())
    return any(name.startswith(begun) for name in _HANDS)


def minutes(text: str) -> bool:
    """Tell whether a text may become a number of minutes."""
    return re.fullmatch(r"\d+\s*(?:m|mi|min|minu|minut|minute)?", text, re.ASCII | re.IGNORECASE) is not None


def number(most: int) -> Callable[[str], bool]:
    """Return a test whether a text is a whole number from 1 to `most`."""
    return lambda text: text.isascii() and text.isdecimal() and len(text) <= 9 and 1 <= int(text) <= most


def times(text: str) -> bool:
    """Tell whether a text may become a number of equal parts, such as `2x`."""
    return re.fullmatch(r"[1-9]\d{0,8}x?", text, re.ASCII | re.IGNORECASE) is not None


def words(text: str) -> bool:
    """Tell whether a text can be printed: free text has no other rule."""
    return text.isprintable()
