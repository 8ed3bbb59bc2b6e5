"""The sessions in the docs: found in the text, run, and written back.

A fenced block whose info string is `console` holds lines `$ COMMAND`, each with all that the command prints below it.
A block with `file=NAME` in its info string is the content of a file that the commands may read. A block whose info
string is `python` and that has `>>>` prompts is run by doctest. A block with `screen=NAME` in its info string is the
screen of a terminal, typed as captures.py says.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parent.parent
DOCUMENTS = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]

SCREEN = re.compile(r"\bscreen=([\w-]+)")

_FENCE = re.compile(r"^```([^\n`]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Block(NamedTuple):
    """A fenced block: its info string, its text, where the text starts, and on which line."""

    info: str
    text: str
    start: int
    line: int


def blocks(text: str) -> Iterator[Block]:
    """Yield the fenced blocks of a document."""
    for found in _FENCE.finditer(text):
        yield Block(found[1].strip(), found[2], found.start(2), text.count("\n", 0, found.start(2)) + 1)


def files(text: str) -> Iterator[tuple[str, str]]:
    """Yield the files that a document shows: the blocks with `file=NAME` in their info string."""
    for block in blocks(text):
        if name := re.search(r"\bfile=([\w./-]+)", block.info):
            yield name[1], block.text


def write_files(documents: Iterable[Path], folder: Path) -> None:
    """Write the files that documents show into a folder."""
    for document in documents:
        for name, text in files(document.read_text("utf-8")):
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, "utf-8")


def commands(session: str) -> Iterator[tuple[str, str]]:
    """Yield each command of a session, and what stands below it."""
    for part in re.split(r"^\$ ", session, flags=re.MULTILINE)[1:]:
        command, _, output = part.partition("\n")
        yield command, output


def run(command: str, folder: Path) -> str:
    """Run a command with the installed `fitwright` and return all that it prints; nothing of the user's is read."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("FITWRIGHT", "XDG_", "PYTHON"))}
    paths = {name: os.environ[name] for name in ("PYTHONPATH",) if name in os.environ}
    places = {"HOME": str(folder), "XDG_CACHE_HOME": str(folder / "cache"), "COLUMNS": "100", "PYTHONUTF8": "1"}
    programs = f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}"
    done = subprocess.run(
        ["bash", "-c", command],
        cwd=folder,
        env={**kept, **paths, **places, "PATH": programs},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        timeout=60,
        check=False,
    )
    return done.stdout.decode("utf-8")
