"""A statement's text, read word by word; what cannot be read is an error with its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple, TypeVar

from ..solver.notation import NotationError
from .near import suggestion

LONGEST_STATEMENT = 4_000
MOST_NUMBER = 10_000

_WORD = re.compile(r"[^\s,]+|,")
_ITEM = re.compile(r"[^,]*")

Value = TypeVar("Value")


class StatementError(ValueError):
    """A statement that can't be taken: its `line` (from 1), `text`, `column` (from 0), `what` is wrong, a `hint`."""

    def __init__(self, line: int, text: str, column: int, what: str, hint: str = "") -> None:
        super().__init__(line, text, column, what, hint)
        self.line, self.text, self.column, self.what, self.hint = line, text, column, what, hint

    @property
    def message(self) -> str:
        """What is wrong, and what would be right."""
        return shown(f"{self.what}; {self.hint}" if self.hint else self.what)

    def __str__(self) -> str:
        """Three lines: the message, the statement (or the part around the place), a caret under the place."""
        start = max(0, self.column - 60)
        return (
            f"line {self.line}: {self.message}\n"
            f"    {shown(self.text[start : start + 100])}\n    {' ' * (self.column - start)}^"
        )


def shown(text: str) -> str:
    """Return a text that can be printed on one line: anything else in it becomes a question mark, blanks blanks."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)


class Word(NamedTuple):
    """A word or phrase of a statement and where it starts."""

    text: str
    column: int

    def __str__(self) -> str:
        return self.text if len(self.text) <= 40 else f"{self.text[:40]}..."


class Words:
    """One statement and how far it has been read. Words are parted by blanks; commas stand for themselves."""

    def __init__(self, text: str, line: int = 1, at: int = 0) -> None:
        self.text = text
        self.line = line
        self.at = at

    def error(self, column: int, what: str, hint: str = "") -> StatementError:
        """Return the error of something in that column."""
        return StatementError(self.line, self.text, column, what, hint)

    def notation_error(self, error: NotationError, column: int) -> StatementError:
        """Return the error of a text that starts in that column and was read by another."""
        return self.error(column + error.column, error.what, error.hint)

    def peek(self) -> Word | None:
        """Return the next word without taking it; None at the end."""
        found = _WORD.search(self.text, self.at)
        return Word(found[0], found.start()) if found else None

    def take(self, what: str, hint: str = "") -> Word:
        """Take the next word; the error of its absence says that `what` is missing."""
        word = self.peek()
        if word is None or word.text == ",":
            column = len(self.text.rstrip()) + 1 if word is None else word.column
            raise self.error(column, f"{what} is missing", hint)
        self.at = word.column + len(word.text)
        return word

    def rest(self, what: str, hint: str = "") -> Word:
        """Take everything that is left as one phrase."""
        start = self.take(what, hint).column
        self.at = len(self.text)
        return Word(self.text[start:].rstrip(), start)

    def listed(self, what: str, hint: str = "") -> list[Word]:
        """Take everything that is left as phrases parted by commas."""
        self.peek() or self.take(what, hint)
        found = []
        while True:
            item = _ITEM.match(self.text, self.at)
            phrase = item[0] if item else ""
            column = self.at + len(phrase) - len(phrase.lstrip())
            if not phrase.strip():
                raise self.error(min(column, len(self.text.rstrip()) + 1), f"{what} is missing", hint)
            found.append(Word(phrase.strip(), column))
            self.at += len(phrase) + 1
            if self.at > len(self.text):
                self.at = len(self.text)
                return found

    def separate(self, what: str, hint: str = "") -> list[Word]:
        """Take everything that is left as words parted by commas or blanks."""
        found = [self.take(what, hint)]
        while word := self.peek():
            if word.text == ",":
                self.at = word.column + 1
            found.append(self.take(what, hint))
        return found

    def number(self, what: str, otherwise: int | None = None, most: int = MOST_NUMBER) -> int:
        """Take a whole number from 1 to `most`; `otherwise` stands in for one that is not there."""
        if otherwise is not None and self.peek() is None:
            return otherwise
        word = self.take(what, "give a whole number such as 3")
        if not (word.text.isascii() and word.text.isdecimal()):
            raise self.error(word.column, f"{word} is not a whole number", "give one such as 3")
        if len(word.text) > 9 or not 1 <= int(word.text) <= most:
            raise self.error(word.column, f"{word} is out of range", f"give a number from 1 to {most}")
        return int(word.text)

    def named(self, word: Word, known: Mapping[str, Value], what: str, otherwise: str = "") -> tuple[str, Value]:
        """Return the known name that a word stands for (capitals or not), and its value."""
        if word.text in known:
            return word.text, known[word.text]
        for name in (word.text.upper(), word.text.lower(), word.text.casefold()):
            if name in known:
                return name, known[name]
        raise self.error(word.column, f"no {what} is named {word}", suggestion(word.text, known, otherwise))

    def end(self) -> None:
        """Refuse anything that is left."""
        if word := self.peek():
            raise self.error(word.column, f"{word} is too much here", "leave it out, or start a new statement")
