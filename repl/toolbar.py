"""The line at the bottom of the screen: the job as it stands, or what is wrong with what is being typed."""

from __future__ import annotations

from ..solver.length import Unit, format_span
from ..solver.statement import Door
from .answer import Outcome
from .page import columns_of
from .vocabulary import Scene
from .words import StatementError

BETWEEN = " | "
COMPUTING = "…"


def toolbar(scene: Scene, unit: Unit, left: str, verdict: Outcome | None, width: int) -> str:
    """Write what the job is about, its door and lock, what is left and the last verdict, as far as there is room."""
    if scene.application is None:
        return _cut("no job yet: `use` says what it is about; `help` and `tour` tell more", width)
    door = next((said for said in reversed(scene.said) if isinstance(said, Door)), None)
    fields = [
        scene.application.name,
        f"door {format_span(door.thickness, unit)}" if door else "",
        f"into {scene.host.code}" if scene.host else "",
        left,
        f"last: {verdict}" if verdict else "",
    ]
    for dropped in (_HOST, _DOOR, _VERDICT):
        if columns_of(_joined(fields)) > width:
            fields[dropped] = ""
    return _cut(_joined(fields), width)


_DOOR, _HOST, _VERDICT = 1, 2, 4


def warning(error: StatementError, width: int) -> str:
    """Write what is wrong, marked by the word."""
    return _cut(f"wrong: {error.message}", width)


def _joined(fields: list[str]) -> str:
    return BETWEEN.join(field for field in fields if field)


def _cut(text: str, width: int) -> str:
    if columns_of(text) <= width:
        return text
    while text and columns_of(text) > width - len(COMPUTING):
        text = text[:-1]
    return text + COMPUTING
