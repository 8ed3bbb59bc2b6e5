"""Catalog folders and their files, as bytes."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from .fault import CatalogError, Fault

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

_ENDINGS = (".yaml", ".yml")
_MOST_BYTES = 50_000_000


def files_in(folder: str | os.PathLike[str]) -> list[tuple[str, bytes]]:
    """Return the catalog files that lie directly in a folder, by name: the name to show and the content.

    Raises CatalogError, with one fault, for what is no folder, holds no catalog file, or cannot be read.
    """
    path = Path(folder)
    shown = path.name or path.resolve().name or str(path)
    try:
        found = _yaml_files(path)
        if not found:
            raise _error(shown, *_why_empty(path))
        return [(f"{shown}/{file.name}", _content(file)) for file in found]
    except FileNotFoundError as error:
        raise _error(shown, f"there is no folder {path}", "give the path of a folder of catalog files") from error
    except NotADirectoryError as error:
        raise _error(shown, f"{path} is a file", f"give its folder, {path.parent}") from error
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else str(error)
        raise _error(shown, f"{path} cannot be read ({why})", "check its name and permissions") from error


def bundled_files() -> Iterator[tuple[str, bytes]]:
    """Yield the files of every catalog that comes with the package."""
    from importlib.resources import files

    for folder in sorted(files(__package__).iterdir(), key=lambda entry: entry.name):
        if folder.is_dir():
            for file in _yaml_files(folder):
                yield f"{folder.name}/{file.name}", _content(file)


def _yaml_files(folder: Traversable) -> list[Traversable]:
    return sorted(
        (
            entry
            for entry in folder.iterdir()
            if entry.name.lower().endswith(_ENDINGS) and not entry.name.startswith(".") and entry.is_file()
        ),
        key=lambda entry: entry.name,
    )


def _content(file: Traversable) -> bytes:
    with file.open("rb") as opened:
        return opened.read(_MOST_BYTES + 1)  # one more than allowed, so that the reader sees that it is too large


def _why_empty(folder: Path) -> tuple[str, str]:
    below = sorted(entry.name for entry in folder.iterdir() if entry.is_dir() and _yaml_files(entry))
    if below:
        return "no catalog file lies directly in this folder", f"give one of its folders: {', '.join(below[:8])}"
    return "no catalog file in this folder", "catalog files end in .yaml or .yml"


def _error(shown: str, what: str, hint: str) -> CatalogError:
    return CatalogError([Fault(shown, 0, 0, "", what, hint)])
