"""The compiled form of catalogs, kept between runs under the hash of their content.

A cache may be lost, cut short, written over or not writable at all: it is then as if there were none.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterable, Sequence
from hashlib import blake2b
from pathlib import Path
from time import time

from ..solver.catalog import Catalog
from .codec import BROKEN, decode, encode
from .compiled import Compiled

FORM = 6
"""Raise it whenever what is compiled from the same files changes: the model's fields, or how anything is read."""

MOST_KEPT = 20
"""The files used last stay; the others go when a new one is written."""

ABANDONED_AFTER = 3600
"""Seconds after which a half-written file belongs to nobody."""

_ENDING = ".catalog.json"
_MARK = "fitwright-compiled"


class Cache:
    """The kept form of one set of files."""

    def __init__(self, files: Sequence[tuple[str, bytes]]) -> None:
        self._key = _hash(part for name, content in files for part in (name.encode(errors="surrogateescape"), content))

    def read(self) -> Catalog | None:
        """Return what is kept, or None if there is nothing that is whole and of this version."""
        try:
            head, _, body = self._path().read_text(encoding="utf-8").partition("\n")
            if head != _head(body):
                return None
            with contextlib.suppress(OSError):
                os.utime(self._path())  # what is read is not the first to go
            return decode(Compiled, json.loads(body)).catalog()
        except (OSError, RuntimeError, *BROKEN):
            return None

    def write(self, compiled: Compiled) -> None:
        """Keep a form, whole or not at all; where that is not possible, go on without."""
        from tempfile import mkstemp

        with contextlib.suppress(OSError, RuntimeError, UnicodeError):
            body = json.dumps(encode(compiled, Compiled), separators=(",", ":"), ensure_ascii=False)
            path = self._path()
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, draft = mkstemp(dir=path.parent, suffix=".draft")
            try:
                with open(handle, "w", encoding="utf-8", newline="\n") as opened:
                    opened.write(f"{_head(body)}\n{body}")
                os.replace(draft, path)
            finally:
                Path(draft).unlink(missing_ok=True)
            _thin(path.parent)

    def _path(self) -> Path:
        return _folder() / f"{self._key}{_ENDING}"


def _folder() -> Path:
    from platformdirs import user_cache_dir

    return Path(user_cache_dir("fitwright"))


def _head(body: str) -> str:
    return f"{_MARK} {FORM} {_hash([body.encode()])}"


def _hash(parts: Iterable[bytes]) -> str:
    """Hash the parts so that none can pass for two: each is led by its length."""
    found = blake2b(f"{_MARK} {FORM}".encode(), digest_size=16)
    for part in parts:
        found.update(f"\n{len(part)}\n".encode())
        found.update(part)
    return found.hexdigest()


def _thin(folder: Path) -> None:
    kept = sorted(folder.glob(f"*{_ENDING}"), key=lambda path: path.stat().st_mtime, reverse=True)
    abandoned = [path for path in folder.glob("*.draft") if path.stat().st_mtime < time() - ABANDONED_AFTER]
    for path in [*kept[MOST_KEPT:], *abandoned]:
        path.unlink(missing_ok=True)
