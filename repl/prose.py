"""An answer as plain text: the verdict first, what was left open and the cautions last."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from ..solver.finding import Finding, Verdict
from ..solver.length import format_exactly, format_length
from ..solver.part import STATUSES
from .answer import Answer, Line, Shown
from .changes import changed_lines
from .page import Page
from .reasons import refusal_lines
from .summary import summary_lines
from .wording import check_words, measure_words, price, share

_STREAM = Page()


def prose(answer: Answer, page: Page = _STREAM) -> str:
    """Write an answer as lines of text, without a line end after the last."""
    return "\n".join(piece.rstrip() for line in _lines(answer, page) for piece in page.wrapped(line))


def _lines(answer: Answer, page: Page) -> Iterator[str]:
    if answer.outcome:
        yield answer.outcome
    yield from answer.message
    if answer.refusal:
        yield from refusal_lines(answer.refusal, answer.unit, answer.currency)
    if answer.changed:
        yield from changed_lines(answer.changed, answer.count or 0, answer.unit, answer.currency, page)
    elif answer.detail == "table" and answer.assemblies:
        yield from _table(answer, page)
    else:
        for shown in answer.assemblies:
            yield from _in_full(answer, shown, page)
    if answer.rows:
        yield from _rows(answer, page)
    if answer.unstated:
        open_checks = (f"{name} ({', '.join(checks)})" for name, checks in answer.unstated.items())
        yield f"not checked, because the job does not say: {', '.join(open_checks)}"
    for caution in answer.cautions:
        yield f"caution: {caution}"


def _rows(answer: Answer, page: Page) -> Iterator[str]:
    heads = list(answer.rows[0])
    numbers = frozenset(place for place, head in enumerate(heads) if isinstance(answer.rows[0][head], int))
    body = [[f"{cell:,}" if isinstance(cell, int) else cell or "" for cell in row.values()] for row in answer.rows]
    yield from page.table(heads, body, numbers)


def _table(answer: Answer, page: Page) -> Iterator[str]:
    """Yield the assemblies, a line each; what is equal in all of them stands once, above."""
    cells = [_cells(answer, shown) for shown in answer.assemblies]
    common = [name for name in cells[0] if len(cells) > 1 and all(own[name] == cells[0][name] for own in cells)]
    if alike := [f"{name} {cells[0][name]}" for name in common if cells[0][name]]:
        yield f"in all of them: {', '.join(alike)}"
    heads = [name for name in cells[0] if name not in common and any(own[name] for own in cells)]
    numbered = [[str(number), *(own[name] or "-" for name in heads)] for number, own in enumerate(cells, answer.first)]
    right = frozenset({0, len(heads)} if heads and heads[-1] == "price" else {0})
    yield from page.table(["", *heads], numbered, right)


def _cells(answer: Answer, shown: Shown) -> dict[str, str]:
    positions = answer.application.positions if answer.application else {}
    found = {
        name: " + ".join(item(answer, line) for line in shown.lines if line.position == name) for name in positions
    }
    if any(each.verdict is not Verdict.FITS for each in answer.assemblies):
        selected = shown.verdict is Verdict.SELECTED
        found["verdict"] = shown.verdict.value
        found["expected to fit"] = share(shown.share) if selected else ""
        found["beyond a limit at worst"] = format_length(shown.shortfall, answer.unit) if selected else ""
    if any(each.status != STATUSES[0] for each in answer.assemblies):
        found["status"] = shown.status
    return {**found, "price": price(shown.cost, answer.currency)}


def item(answer: Answer, line: Line) -> str:
    """Write a line of a bill as `check` reads it: `2 x CODE`, `CODE cut 2-1/8 in`, `CODE cut to measure`."""
    times = f"{line.quantity} x " if line.quantity > 1 else ""
    cut = " cut to measure" if line.part.design.cut else ""
    if line.cut is not None:
        cut = f" cut {format_exactly(line.cut, answer.unit)}"
    return f"{times}{line.part.code}{cut}"


def _in_full(answer: Answer, shown: Shown, page: Page) -> Iterator[str]:
    """Yield the bill of an assembly and its findings: all of them, in short, or those that are not plain fits."""
    if shown.lines:
        bill = [
            [line.position, item(answer, line), line.part.title, _price(line), _status(line)] for line in shown.lines
        ]
        yield from page.columns(bill, frozenset({3}))
        yield f"price {price(shown.cost, answer.currency)}"
    if shown.verdict is Verdict.SELECTED:
        yield (
            f"{share(shown.share)} expected to fit, "
            f"{format_length(shown.shortfall, answer.unit)} beyond a limit in the worst case"
        )
    if answer.detail == "summary":
        yield from summary_lines(shown.findings, answer.unit, _titles(answer))
        return
    told = [each for each in shown.findings if answer.detail == "findings" or each.verdict is not Verdict.FITS]
    for where, group in groupby(told, key=lambda each: each.where):
        yield _where(answer, where)
        for each in group:
            yield from _finding(answer, each)


def _price(line: Line) -> str:
    return price(line.price) if line.bought else "-"


def _status(line: Line) -> str:
    if not line.bought or line.part.status == STATUSES[0]:
        return ""
    return f"{line.part.status}, replaced by {line.part.replaced_by}" if line.part.replaced_by else line.part.status


def _where(answer: Answer, where: str) -> str:
    title = _titles(answer).get(where)
    return f"{where}: {title}" if title else where


def _titles(answer: Answer) -> dict[str, str]:
    return {f"stack {stack.name}": stack.title for stack in answer.application.stacks} if answer.application else {}


def _title(answer: Answer, position: str) -> str:
    known = answer.application.positions.get(position) if answer.application else None
    return f"the {known.title}" if known and known.title else f"the {position}"


def _finding(answer: Answer, finding: Finding) -> Iterator[str]:
    if finding.check == "filled":
        yield f"  missing: {_title(answer, finding.where)}"
        return
    if finding.check == "mated":
        yield f"  {finding.verdict.value}: {finding.because}" + (f" [{finding.source}]" if finding.source else "")
        return
    yield f"  {finding.verdict.value}: {check_words(finding, answer.unit)}"
    if measured := measure_words(finding, answer.unit):
        yield f"    {measured}"
    yield f"    {finding.because}" + (f" [{finding.source}]" if finding.source else "")
