"""An answer as JSON: the format `fitwright/1`, described in docs/language.md."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from ..solver.finding import Finding
from ..solver.length import Length, Unit, format_exactly, format_length
from .answer import Answer, Line, Shown
from .changes import changed_form
from .reasons import reason_form, way_form
from .wording import check_words, price
from .words import StatementError

FORMAT = "fitwright/1"


def document(answers: Iterable[dict[str, Any]]) -> str:
    """Write answers as one document."""
    return json.dumps({"format": FORMAT, "answers": list(answers)}, indent=2, ensure_ascii=False)


def answer_form(answer: Answer) -> dict[str, Any]:
    """Return an answer as JSON data; every key is there in every answer."""
    return {
        "question": answer.question,
        "verdict": answer.outcome,
        "message": "; ".join(answer.message),
        "count": answer.count,
        "assemblies": [_assembly(answer, shown) for shown in answer.assemblies],
        "rows": [dict(row) for row in answer.rows],
        "reasons": [reason_form(answer.refusal, answer.unit)] if answer.refusal else [],
        "ways": [way_form(way, answer.currency) for way in answer.refusal.ways] if answer.refusal else [],
        "change": changed_form(answer.changed, answer.unit, answer.currency) if answer.changed else None,
        "unstated": {name: list(checks) for name, checks in (answer.unstated or {}).items()},
        "cautions": list(answer.cautions),
    }


def statement_error_form(error: StatementError) -> dict[str, Any]:
    """Return a faulty statement as an answer, with its place: line and column from 1."""
    return {**error_form(error.message, error.text), "line": error.line, "column": error.column + 1}


def error_form(message: str, question: str | None = None) -> dict[str, Any]:
    """Return an error as an answer that has nothing else."""
    return {
        "question": question,
        "verdict": "error",
        "message": message,
        "count": None,
        "assemblies": [],
        "rows": [],
        "reasons": [],
        "ways": [],
        "change": None,
        "unstated": {},
        "cautions": [],
    }


def _assembly(answer: Answer, shown: Shown) -> dict[str, Any]:
    positions = answer.application.positions if answer.application else {}
    held: dict[str, Any] = {}
    for name, position in positions.items():
        own = [_line(line, answer.unit) for line in shown.lines if line.position == name]
        # Always a list where the application lets the position be repeated; a wrong bill may fill any one twice.
        held[name] = own if position.up_to or len(own) > 1 else own[0] if own else None
    return {
        "positions": held,
        "verdict": shown.verdict.value,
        "cost": price(shown.cost),
        "currency": answer.currency or None,
        "share": round(shown.share, 6),
        "shortfall": format_length(shown.shortfall, answer.unit),
        "findings": [_finding(each, answer.unit) for each in shown.findings],
    }


def _line(line: Line, unit: Unit) -> dict[str, Any]:
    return {
        "code": line.part.code,
        "quantity": line.quantity,
        "cut": None if line.cut is None else format_exactly(line.cut, unit),
        "status": line.part.status,
    }


def _finding(finding: Finding, unit: Unit) -> dict[str, Any]:
    span = finding.measure
    return {
        "where": finding.where,
        "check": check_words(finding, unit),
        "verdict": finding.verdict.value,
        "nominal": _length(span.nominal if span else None, unit),
        "low": _length(span.low if span else None, unit),
        "high": _length(span.high if span else None, unit),
        "margin": _length(finding.margin, unit),
        "unit": unit if span else None,
        "compared": finding.compared or None,
        "because": finding.because,
        "source": str(finding.source) if finding.source else None,
    }


def _length(length: Length | None, unit: Unit) -> str | None:
    return None if length is None else format_length(length, unit)
