"""What helps at the prompt, each of which can be switched off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Assists:
    """Which helps are on; `NAMES` says what each of them does."""

    toolbar: bool = True
    menu: bool = True
    checks: bool = True
    counts: bool = True
    mending: bool = False
    pages: bool = True
    tables: bool = True


NAMES: Mapping[str, str] = {
    "toolbar": "the line at the bottom: the job as it stands",
    "menu": "what can stand at the cursor is shown while you type; else the Tab key lists it",
    "checks": "what is wrong is marked while you type",
    "counts": "after a fact you are told how many assemblies are left",
    "mending": "a line with a fault comes back by itself to be mended; else the Up key brings it",
    "pages": "an answer that is taller than the screen stops at each screenful",
    "tables": "rows stand in columns where they fit on the screen; else they are lists",
}
"""Each help with its meaning."""

QUIET = Assists(**dict.fromkeys(NAMES, False))
"""For screen readers: nothing moves while one types, and answers are lists."""


def assists(quiet: bool, environment: Mapping[str, str]) -> Assists:
    """Return the helps that a session begins with; `FITWRIGHT_QUIET`, set to anything but 0, switches them off."""
    return QUIET if quiet or environment.get("FITWRIGHT_QUIET", "0") not in ("", "0") else Assists()
