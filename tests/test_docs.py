"""What the docs show is what happens: every session in them is run again."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest
from sessions import DOCUMENTS, Block, blocks, commands, run, write_files

_SESSIONS = [
    pytest.param(document, block.text, id=f"{document.name}:{block.line}")
    for document in DOCUMENTS
    for block in blocks(document.read_text("utf-8"))
    if block.info == "console"
]
_PYTHON = [
    pytest.param(document, block, id=f"{document.name}:{block.line}")
    for document in DOCUMENTS
    for block in blocks(document.read_text("utf-8"))
    if block.info == "python" and ">>>" in block.text
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home for all sessions, with the files that the docs show, so that catalogs are read once."""
    home = tmp_path_factory.mktemp("home")
    write_files(DOCUMENTS, home)
    return home


def test_there_are_sessions_in_the_docs() -> None:
    assert len(_SESSIONS) >= 5


@pytest.mark.parametrize(("document", "session"), _SESSIONS)
def test_each_session_prints_what_the_docs_show(document: Path, session: str, folder: Path) -> None:
    shown = list(commands(session))
    assert shown
    for command, output in shown:
        assert run(command, folder) == output, command


@pytest.mark.parametrize(("document", "block"), _PYTHON)
def test_each_python_example_gives_what_the_docs_show(document: Path, block: Block) -> None:
    test = doctest.DocTestParser().get_doctest(block.text, {}, document.name, str(document), block.line)
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    failures: list[str] = []
    runner.run(test, out=failures.append)
    assert not failures, "".join(failures)
