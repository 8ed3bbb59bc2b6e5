"""A catalog file as a tree of nodes that keep every word as its author wrote it, with its line and column.

The tree is built on PyYAML's event stream, on the C parser where there is one. Nothing is resolved: `no` is a
word and `1_0` is not ten. Whatever a reader could not see at a glance (anchors, tags, several documents in one
file, one key twice) is refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable
from typing import Any

import yaml

from ..solver.finding import Source
from ..solver.length import Unit
from .advice import MOST_DEPTH, TOO_DEEP, advice
from .fault import Fault, Faults

try:
    from yaml.cyaml import CParser as EventParser  # type: ignore[attr-defined]
except ImportError:  # PyYAML built without libyaml
    from yaml import Loader as EventParser  # type: ignore[assignment]

MOST_SCALAR = 10_000
MOST_BYTES = 50_000_000

_CORE = "tag:yaml.org,2002:"
_CORE_TAGS = {None, *(_CORE + word for word in ("str", "int", "float", "bool", "null", "map", "seq"))}
_QUOTES = ("'", '"')
_NO_ALIAS = "anchors and aliases are not used here: write the value out at each place"
_NOT_YAML = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class Page:
    """One file while it is read: its name, the unit of its bare numbers, and where its faults go."""

    __slots__ = ("faults", "file", "unit")

    def __init__(self, file: str, faults: Faults) -> None:
        self.file = file
        self.faults = faults
        self.unit: Unit | None = None

    def fault(self, line: int, column: int, what: str, hint: str = "", cause: Hashable = None) -> None:
        """Note a fault of the file's text."""
        self.faults.add(Fault(self.file, line, column, "", what, hint), cause)


class Node:
    """A place in a file, and the node or page that it stands in."""

    __slots__ = ("column", "line", "parent")
    sort = "nothing"

    def __init__(self, parent: Node | Page, line: int, column: int) -> None:
        self.parent = parent
        self.line = line
        self.column = column

    @property
    def page(self) -> Page:
        """The file it stands in."""
        above = self.parent
        while isinstance(above, Node):
            above = above.parent
        return above

    @property
    def above(self) -> Node:
        """What it stands in; itself at the top of the file."""
        return self.parent if isinstance(self.parent, Node) else self

    @property
    def source(self) -> Source:
        """File and line, as answers show them."""
        return Source(self.page.file, self.line)

    @property
    def where(self) -> str:
        """The way to it from the top of the file, as `parts > ALD-T2 > features`."""
        steps: list[str] = []
        node: Node = self
        while isinstance(node.parent, Node):
            steps.append(node.parent.step(node))
            node = node.parent
        return " > ".join(step[:60] for step in reversed(steps) if step)

    def step(self, child: Node) -> str:
        """Say which of its children this is."""
        return ""

    def fault(self, what: str, hint: str = "", *, shift: int = 0, cause: Hashable = None) -> None:
        """Note a fault here, `shift` columns to the right."""
        page = self.page
        page.faults.add(Fault(page.file, self.line, self.column + shift, self.where, what, hint), cause)


class Scalar(Node):
    """A word or a text."""

    __slots__ = ("text",)
    sort = "a single value"

    def __init__(self, parent: Node | Page, line: int, column: int, text: str) -> None:
        self.parent = parent
        self.line = line
        self.column = column
        self.text = text


class Listing(Node):
    """A list of nodes."""

    __slots__ = ("items",)
    sort = "a list"

    def __init__(self, parent: Node | Page, line: int, column: int) -> None:
        super().__init__(parent, line, column)
        self.items: list[Node] = []

    def step(self, child: Node) -> str:
        """Name an entry by its code if it has one, otherwise by its number from 1."""
        if isinstance(child, Table):
            code = child.fields.get("code")
            if isinstance(code, Scalar):
                return code.text
        return str(next((number for number, item in enumerate(self.items, 1) if item is child), ""))


class Table(Node):
    """Keys with their values, in the author's order."""

    __slots__ = ("fields", "keys")
    sort = "a table of keys and values"

    def __init__(self, parent: Node | Page, line: int, column: int) -> None:
        super().__init__(parent, line, column)
        self.keys: dict[str, Scalar] = {}
        self.fields: dict[str, Node] = {}

    def step(self, child: Node) -> str:
        """Name a key or a value by its key."""
        if isinstance(child, Scalar) and self.keys.get(child.text) is child:
            return child.text
        return next((key for key, value in self.fields.items() if value is child), "")


class Unreadable(Node):
    """What stands where something was refused already: reading it says nothing more."""

    __slots__ = ()


def parse(content: bytes, page: Page) -> Node | None:
    """Return the tree of one file, or None where its text cannot be read at all; faults go to the page."""
    text = _decoded(content, page)
    if text is None:
        return None
    try:
        parser = EventParser(text)
        return _Builder(parser.get_event, page).root()
    except _Abandoned:
        return None
    except yaml.MarkedYAMLError as error:
        page.fault(*advice(error, text))
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        what = f"not YAML: {' '.join(str(error).split())[:200]}"
        page.fault(1, 1, what, "write it as YAML 1.1 in UTF-8")
    return None


def _decoded(content: bytes, page: Page) -> str | None:
    if len(content) > MOST_BYTES:
        page.fault(0, 0, f"larger than {MOST_BYTES // 1_000_000} MB", "split it into several files")
        return None
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        before = content[: error.start]
        page.fault(
            before.count(b"\n") + 1,
            error.start - before.rfind(b"\n"),
            f"not UTF-8: byte 0x{content[error.start]:02x}",
            "save the file as UTF-8",
        )
        return None
    wrong = _NOT_YAML.search(text, 1 if text.startswith("\ufeff") else 0)
    if wrong is not None:
        start = wrong.start()
        page.fault(
            text.count("\n", 0, start) + 1,
            start - text.rfind("\n", 0, start),
            f"not YAML: the character U+{ord(wrong.group()):04X} may not stand in it",
            "remove it",
        )
        return None
    return text


class _Abandoned(Exception):
    """The rest of a file is not worth reading; why has been noted."""


class _Builder:
    """Folds the events of one file into a tree. Depth is bounded, so it may recurse."""

    def __init__(self, event: Callable[[], Any], page: Page) -> None:
        self._event = event
        self._page = page

    def root(self) -> Node | None:
        """Return the tree of the one document; None if there is none."""
        event = self._event
        event()  # the start of the stream
        if type(event()) is yaml.StreamEndEvent:
            return None
        node = self._value(event(), self._page, 0)
        event()  # the end of the document
        after = event()
        if type(after) is not yaml.StreamEndEvent:
            self._page.fault(
                after.start_mark.line + 1,
                1,
                "a second document in one file",
                "remove the line `---`, or split the file",
            )
        return node

    def _value(self, found: Any, parent: Node | Page, depth: int) -> Node:
        mark = found.start_mark
        line, column, sort = mark.line + 1, mark.column + 1, type(found)
        if sort is yaml.AliasEvent:
            self._page.fault(line, column, f"the alias `*{found.anchor[:40]}`", _NO_ALIAS, (self._page, "alias"))
            return Unreadable(parent, line, column)
        if found.anchor is not None:
            self._page.fault(line, column, f"the anchor `&{found.anchor[:40]}`", _NO_ALIAS, (self._page, "alias"))
        if found.tag not in _CORE_TAGS:
            self._page.fault(
                line,
                column,
                f"the tag `{found.tag[:40]}`",
                "tags are not used here: write the plain value",
                (self._page, "tag"),
            )
        if sort is yaml.ScalarEvent:
            return self._scalar(found, parent, line, column)
        if depth == MOST_DEPTH:
            self._page.fault(line, column, *TOO_DEEP)
            raise _Abandoned
        if sort is yaml.SequenceStartEvent:
            return self._listing(Listing(parent, line, column), depth + 1)
        return self._table(Table(parent, line, column), depth + 1)

    def _scalar(self, found: Any, parent: Node | Page, line: int, column: int) -> Node:
        text = found.value
        if len(text) > MOST_SCALAR:
            self._page.fault(line, column, f"a value of more than {MOST_SCALAR} characters", "shorten it")
            return Unreadable(parent, line, column)
        if found.style == '"' and (wrong := _NOT_YAML.search(text)):
            self._page.fault(line, column, f"the character U+{ord(wrong.group()):04X}", "leave it out")
            return Unreadable(parent, line, column)
        return Scalar(parent, line, column + 1 if found.style in _QUOTES else column, text)

    def _listing(self, listing: Listing, depth: int) -> Listing:
        event, add = self._event, listing.items.append
        while type(found := event()) is not yaml.SequenceEndEvent:
            add(self._value(found, listing, depth))
        return listing

    def _table(self, table: Table, depth: int) -> Table:
        event, keys, fields = self._event, table.keys, table.fields
        while type(found := event()) is not yaml.MappingEndEvent:
            key = self._value(found, table, depth)
            value = self._value(event(), table, depth)
            if not isinstance(key, Scalar):
                self._page.fault(key.line, key.column, "a key that is not a single word", "write a plain word")
            elif key.text in keys:
                first = keys[key.text].line
                what = f"the key `{key.text[:40]}` twice, first in line {first}"
                self._page.fault(key.line, key.column, what, "keep one of the two")
            else:
                keys[key.text] = key
                fields[key.text] = value
        return table
