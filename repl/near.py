"""Which known names a mistyped one may have been meant for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

MOST_SUGGESTIONS = 3
MOST_LISTED = 8
"""So many names are listed in a hint when none is near."""

LONGEST_WORD = 60
"""Longer words are not slips of the finger; nothing is suggested for them."""

_NUMBER = re.compile(r"((?:[0-9]+-)?[0-9]+/[1-9][0-9]*(?![0-9./])|[0-9]+(?:\.[0-9]+)?)")


def natural(name: str) -> list[str | Fraction]:
    """Return what a name is sorted by: numbers in it count as numbers, so that 20 comes before 180, 1/2 before 1."""
    pieces = _NUMBER.split(name)
    return [sum(map(Fraction, piece.split("-")), Fraction()) if at % 2 else piece for at, piece in enumerate(pieces)]


@lru_cache(maxsize=1 << 17)
def normal(name: str) -> str:
    """Return a name without capitals, hyphens and blanks; strokes and points stay, since 35/30 is not 30/35."""
    return name.casefold().replace("-", "").replace("_", "").replace(" ", "")


def distance(one: str, other: str, most: int) -> int:
    """Return how many slips lie between two words, or `most` + 1 where there are more.

    A slip is a letter left out, put in, replaced, or swapped with the next one (Damerau 1964); the table is the
    restricted one (optimal string alignment), in which swapped letters are not changed again.
    """
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    last = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        row = [i]
        for j, another in enumerate(other, 1):
            slips = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (letter != another))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == another:
                slips = min(slips, before[j - 2] + 1)
            row.append(slips)
        if min(row) > most and min(last) > most:
            return most + 1
        before, last = last, row
    return min(last[-1], most + 1)


def near(word: str, known: Iterable[str]) -> list[str]:
    """Return up to three known names that the word may have been meant for, the nearest first.

    One slip for each four letters is forgiven; only the nearest names are returned. Where there are none, names
    that begin with the word are.
    """
    typed = normal(word[: LONGEST_WORD + 1])
    if not typed or len(typed) > LONGEST_WORD:
        return []
    best = max(1, len(typed) // 4) if len(typed) > 1 else 0
    letters = Counter(typed).items()
    names = list(known)
    found: list[str] = []
    for name in names:
        meant = normal(name)
        # Each slip mends at most one letter that the other word has not.
        if abs(len(meant) - len(typed)) > best or sum([max(0, n - meant.count(c)) for c, n in letters]) > best:
            continue
        slips = distance(typed, meant, best)
        if slips < best:
            best, found = slips, []
        if slips == best:
            found.append(name)
    found = found or [name for name in names if normal(name).startswith(typed)]
    return sorted(set(found))[:MOST_SUGGESTIONS]


def suggestion(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """Return the hint for an unknown or missing word: near names, else all of a few, else `otherwise`."""
    names = list(known)
    guesses = near(word, names)
    if guesses:
        return f"did you mean {listing(guesses, 'or')}?"
    if not names:
        return "there is none"
    return f"use {listing(names, 'or')}" if len(names) <= MOST_LISTED or not otherwise else otherwise


def listing(names: Iterable[str], last: str) -> str:
    """Write names as a phrase, such as `a`, `a or b`, `a, b or c`."""
    *head, tail = list(names) or [""]
    return f"{', '.join(head)} {last} {tail}" if head else tail
