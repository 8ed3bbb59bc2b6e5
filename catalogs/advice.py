"""What the errors of the YAML parser mean for the author of a catalog."""

from __future__ import annotations

import re
from typing import NamedTuple

import yaml

FORMAT = "fitwright-catalog/1"
"""What the `format` of every catalog file says."""

MOST_DEPTH = 20
TOO_DEEP = (f"nested deeper than {MOST_DEPTH} levels", "write it flatter")
BEGIN = f"begin with format: {FORMAT}"

_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
_QUOTE = "quote text that holds `: `, ` #`, quotes or brackets, and indent with spaces"
_INDENT = "indent the keys of one table alike, and what belongs to a key further than the key, with spaces"
_MISPLACED = ("mapping values are not allowed", "expected key", "expected '-' indicator", "expected <block end>")


class Advice(NamedTuple):
    """Where a text cannot be read, what is wrong there and what would be right; lines and columns count from 1."""

    line: int
    column: int
    what: str
    hint: str


def advice(error: yaml.MarkedYAMLError, text: str) -> Advice:
    """Say what an error of the parser means, from its words (of libyaml and of the parser in Python) and its place."""
    problem = str(error.problem or error.context or "unreadable")
    mark = error.problem_mark or error.context_mark
    if mark is None:
        return Advice(1, 1, f"not YAML: {problem}", _QUOTE)
    line, column = mark.line + 1, mark.column + 1
    lines = _BREAK.split(text)
    before = lines[mark.line][: mark.column] if mark.line < len(lines) else ""
    after = lines[mark.line][mark.column :] if mark.line < len(lines) else ""
    if after.startswith("\t") and ("tab" in problem or "cannot start any token" in problem):
        return Advice(line, column, "a tab", "indent with spaces")
    if "nesting depth" in problem:
        return Advice(line, column, *TOO_DEEP)
    if "<document start>" in problem:
        return Advice(line, column, "this is no catalog: text after a single value", BEGIN)
    if "could not find expected ':'" in problem and error.context_mark is not None:
        start = error.context_mark
        return Advice(start.line + 1, start.column + 1, "a line without `key: value`", _INDENT)
    if any(words in problem for words in _MISPLACED) and _leads(before, problem):
        return Advice(line, column, f"not YAML: {problem}", _INDENT)
    return Advice(line, column, f"not YAML: {problem}", _QUOTE)


def _leads(before: str, problem: str) -> bool:
    """Tell whether the parser stopped at the first thing of a line: its place is wrong then, not its words."""
    if problem.startswith("mapping values"):
        return ":" not in before and not before.lstrip().startswith(("'", '"', "{", "["))
    return not before.strip()
