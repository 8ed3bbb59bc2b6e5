"""What a certificate may claim: the shape of its JSON, and how it names statements and checks."""

from __future__ import annotations

from typing import Any

from ..solver.element import Element

FORMAT = "fitwright-certificate/1"

_BILL = {"parts": {str: [str]}, "cuts": {str: int}}
_MEMBERS = ({"statement": str}, {"where": str, "check": str, "source": (str, type(None))})
_CLAIMS = (
    {"claim": "fits", "statements": [str], **_BILL, "verdict": str},
    {"claim": "least", "statements": [str], **_BILL, "verdict": str, "preference": int},
    {"claim": "refusal", "statements": [str], "members": [_MEMBERS]},
    {"claim": "minimal", "statements": [str], "members": [tuple({**each, "without": _BILL} for each in _MEMBERS)]},
)

CERTIFICATE = {
    "format": FORMAT,
    "catalog": str,
    "answers": [{"question": str, "asked": [str], "used": [str], "claims": [_CLAIMS]}],
}
"""The shape, as `shape.parsed` takes it. Lengths are in tenths of a nanometre."""


def member_form(element: Element) -> dict[str, Any]:
    """Return how a statement or check is named."""
    if element.statement:
        return {"statement": element.statement.text}
    source = getattr(element.check, "source", None)
    return {"where": element.where, "check": str(element.check), "source": str(source) if source else None}
