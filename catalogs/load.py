"""Loads catalogs: from folders, through the cache, to everything they hold by name."""

from __future__ import annotations

import os
from collections.abc import Sequence

from ..solver.catalog import Catalog
from ..solver.collector import paused_collector
from .cache import Cache
from .fault import CatalogError, Fault
from .folder import bundled_files, files_in

Folder = str | os.PathLike[str]


def load(*folders: Folder, bundled: bool = True, cache: bool = True) -> Catalog:
    """Read the bundled catalogs, and those of `folders` on top, as one.

    The compiled form is kept in the user's cache folder unless `cache` is false. Raises CatalogError with
    every fault found.
    """
    files = _files(folders, bundled)
    with paused_collector():
        kept = Cache(files) if cache else None
        found = kept.read() if kept else None
        if found is None:
            from .compiler import compile_catalogs  # brings the YAML parser in, which a warm cache does without

            compiled = compile_catalogs(files)
            if kept:
                kept.write(compiled)
            found = compiled.catalog()
        return found


def check(folder: Folder, *, bundled: bool = False) -> list[Fault]:
    """Return everything that is wrong with the catalog in a folder; read on top of the bundled ones if asked."""
    return examine(folder, bundled=bundled)[0]


def examine(folder: Folder, *, bundled: bool = False) -> tuple[list[Fault], list[Fault]]:
    """Return everything that is wrong with the catalog in a folder, and where nothing is, what looks forgotten."""
    from .compiler import compile_catalogs
    from .doubts import doubts

    try:
        with paused_collector():
            own = {name for name, _ in _files((folder,), False)}
            catalog = compile_catalogs(_files((folder,), bundled)).catalog()
    except CatalogError as error:
        return list(error.faults), []
    return [], doubts(catalog, own)


def _files(folders: Sequence[Folder], bundled: bool) -> list[tuple[str, bytes]]:
    faults: list[Fault] = []
    files = list(bundled_files()) if bundled else []
    for folder in folders:
        try:
            files += files_in(folder)
        except CatalogError as error:
            faults += error.faults
    if faults:
        raise CatalogError(faults)
    return files
